//! Filled outlines as they are drawn.

use std::ops::Range;

use kurbo::{Affine, BezPath};

use crate::graphic::{FillRule, Ramp, Rgb};

use super::source::Words;

/// One colour of a gradient as drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct DrawnStop {
    pub offset: f64,
    pub colour: Rgb,
    pub opacity: f64,
}

/// A paint as drawn.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum DrawnPaint {
    Flat(Rgb),
    Gradient { ramp: Ramp, transform: Affine, stops: Vec<DrawnStop> },
}

/// One filled outline as drawn, mm.
#[derive(Debug, Clone)]
pub(super) struct Drawn {
    pub path: BezPath,
    pub rule: FillRule,
    pub paint: DrawnPaint,
    pub opacity: f64,
    pub words: Words,
    /// A shadow that ends in the white of the paper; see [`super::shape::ShapeLayer::into_paper`].
    pub into_paper: bool,
    /// Made from a stroke; then the path that was stroked.
    pub centre_line: Option<BezPath>,
    /// Fill and stroke of one element share this number.
    pub element: usize,
    pub place: Range<usize>,
}
