//! A solved edition, or why there is none.

use kurbo::Rect;

use super::blocks::{PageColumn, PlannedFamily};
use super::bounds::Bound;
use super::facts::SpineChoice;
use super::furniture::Furniture;
use super::measure::Body;
use super::unshown::Unshown;

/// A solved edition, without coordinates.
#[derive(Debug, Clone)]
pub struct Plan {
    /// Trimmed page, mm, turned if that was better.
    pub width: f64,
    pub height: f64,
    pub scale: f64,
    /// Row pitch as drawn, mm.
    pub pitch: f64,
    /// Height of headings inside a column, quarters.
    pub head: u32,
    /// Height of the heading at a column's top, mm.
    pub head_height: f64,
    /// Quarters that the fullest column uses.
    pub room: u32,
    pub spine: SpineChoice,
    pub turned: bool,
    /// In the order drawn.
    pub families: Vec<PlannedFamily>,
    pub pages: Vec<Vec<PageColumn>>,
    pub furniture: Furniture,
    /// Where loose rows wrap, left and right of the spine, mm.
    pub loose_limits: (f64, f64),
    pub body: Body,
    pub coverage: f64,
    pub splits: usize,
    pub inversions: usize,
    pub score: f64,
    pub bound: Bound,
    /// How many arrangements were looked at.
    pub tried: usize,
    /// The share of the type area that content takes, 0 to 1: the type area is
    /// the page within the style's own margins, between title and foot.
    pub used: f64,
    /// The page within the style's own margins, between title and foot, mm.
    pub type_area: Rect,
    /// The smallest standard sheet that holds the same parts at the same scale,
    /// where this page stays half empty.
    pub smaller: Option<&'static str>,
    /// Samples that are made and have no place.
    pub unshown: Unshown,
}

/// Why nothing fits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoFit {
    /// The scale that was asked for, if one was.
    pub asked: Option<f64>,
    /// The largest scale that would fit, if any does.
    pub largest: Option<f64>,
}
