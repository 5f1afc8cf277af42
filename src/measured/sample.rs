//! One measured sample: as its file gives it, and as it is handed over.

use crate::diag::{Located, Span};
use crate::read::raw;

use super::conditions::Conditions;

/// A text for a message: of a long one its beginning.
pub fn brief(text: &str) -> String {
    const MOST: usize = 60;
    match text.char_indices().nth(MOST) {
        Some((end, _)) => format!("{} ...", &text[..end]),
        None => text.to_owned(),
    }
}

/// One reading of a colour, or the mean of several.
#[derive(Debug, Clone)]
pub struct Reading {
    /// What the file calls the colour, a key, a number or a name: each column of the file that may tell, the likeliest
    /// first. At least one is not empty.
    pub names: Vec<Located<String>>,
    /// `Lab(...)` under D50 for the 2-degree observer, or `Spectrum(...)` with reflectance from 0 to 1.
    pub value: Located<raw::Value>,
    /// How far its readings are from their mean, CIEDE2000, where the file says so.
    pub spread: Option<f64>,
    /// How many readings it is the mean of, at least 1.
    pub readings: usize,
    /// Where it comes from, in the words of the file.
    pub source: Option<String>,
    pub note: Option<String>,
}

impl Reading {
    /// What the colour is called in a column of [`Reading::names`], else in the first that tells.
    pub fn name(&self, column: usize) -> Option<&Located<String>> {
        let filled = |name: &&Located<String>| !name.is_empty();
        self.names.get(column).filter(filled).or_else(|| self.names.iter().find(filled))
    }
}

/// A sample in the scales of its file.
#[derive(Debug, Clone, Default)]
pub struct Sample {
    pub names: Vec<Located<String>>,
    /// Its first value.
    pub at: Option<Span>,
    pub lab: Option<[f64; 3]>,
    pub xyz: Option<[f64; 3]>,
    pub spectrum: Option<Spectrum>,
    /// The light and the observer that Lab and XYZ are for, and where the file says so.
    pub viewed: Located<Conditions>,
    pub spread: Option<f64>,
    pub readings: Option<usize>,
    pub source: Option<String>,
    pub note: Option<String>,
}

/// A reflectance at even wavelengths, in nm.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Spectrum {
    pub from: f64,
    pub step: f64,
    pub values: Vec<f64>,
}

/// What a perfect white has in the scales of a file, where the file says so.
#[derive(Debug, Clone, Copy, Default)]
pub struct Scales {
    pub xyz: Option<f64>,
    pub spectrum: Option<f64>,
}
