//! Answers, and the terms by which one form explains them.

use nalgebra::DVector;

use super::answer::{Distance, Looked, Ready};
use super::reading::{Form, Spot};
use super::tones::{groups, scaled, terms};

/// Answers that are learnt from at most: the last ones.
pub(crate) const MOST: usize = 1500;
/// Answers from which anything is learnt: fewer show nothing.
pub(crate) const LEAST: usize = 6;

/// What answers are about.
#[derive(Debug, Clone, Copy)]
pub struct Answers<'a> {
    pub looked: &'a [Looked],
    /// Bare paper.
    pub bare: Spot,
    /// Channels of a value.
    pub channels: usize,
    pub distance: Distance,
}

/// A form with the sizes of its terms.
#[derive(Debug, Clone)]
pub(crate) struct Scales {
    pub form: Form,
    /// Of each group of terms, CIELAB.
    pub sizes: [f64; 6],
    /// Noise of seeing, CIEDE2000.
    pub seeing: f64,
    /// Factors of the terms to begin with.
    pub start: Option<DVector<f64>>,
}

/// The terms of a spot in a row.
pub(crate) fn row(spot: &Spot, channels: usize, scales: &Scales) -> Vec<f64> {
    if groups(scales.form) == 0 {
        return Vec::new();
    }
    scaled(&terms(spot, channels), scales.form, &scales.sizes)
}

pub(crate) fn ready(looked: &[Looked], channels: usize, scales: &Scales) -> Vec<Ready> {
    looked.iter().map(|l| Ready::of(l, |spot| row(spot, channels, scales))).collect()
}
