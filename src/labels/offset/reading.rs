//! What is measured at the marks of a trial sheet, and how much can be found from it.

use kurbo::{Point, Vec2};

use crate::diag::Span;

/// A mark of the trial sheet: where it is printed and its cut should fall, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mark {
    /// As printed beside it, from 1.
    pub number: usize,
    pub at: Point,
}

/// What was measured at a mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    pub mark: Mark,
    /// How far the cut fell from the mark, mm: right and down are positive.
    pub off: Vec2,
    /// Where that is written.
    pub place: Option<Span>,
}

/// How much could be found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Model {
    Shift,
    /// Shift, turn and one scale.
    Similar,
    /// Shift, turn, scale in x and y, skew.
    Affine,
}

impl Model {
    /// How many numbers it takes.
    pub fn numbers(self) -> usize {
        match self {
            Model::Shift => 2,
            Model::Similar => 4,
            Model::Affine => 6,
        }
    }
}
