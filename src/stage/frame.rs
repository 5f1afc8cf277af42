//! A page with its marks, and the room that is left for what lies on it.

use kurbo::Point;

use super::marks::{self, DOT};
use super::measures::{CODE, MARGIN};
use crate::capture::page::{CodeMark, StagePage};
use crate::range::PartId;

/// From the head to the field, and the height of the foot over the lowest dots, mm.
pub const UNDER_HEAD: f64 = 3.0;
pub const FOOT: f64 = 20.0;

/// A page with what only its drawing needs.
pub struct PlacedPage {
    pub page: StagePage,
    /// Headings of parts, by the left end of their baselines, and the width of their room.
    pub headings: Vec<(Point, PartId, f64)>,
}

/// A page of a size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    size: (f64, f64),
}

impl Frame {
    /// Width and height of the page, mm.
    pub fn new(size: (f64, f64)) -> Frame {
        Frame { size }
    }

    /// Where the field begins on the left.
    pub fn left(&self) -> f64 {
        MARGIN
    }

    /// Where it begins under the head.
    pub fn top(&self) -> f64 {
        MARGIN + CODE + UNDER_HEAD
    }

    /// The field's width.
    pub fn width(&self) -> f64 {
        self.size.0 - 2.0 * MARGIN
    }

    /// Its height.
    pub fn height(&self) -> f64 {
        self.size.1 - FOOT - self.top()
    }

    /// A page with marks and nothing else.
    pub fn page(&self) -> PlacedPage {
        let (width, _) = self.size;
        let code = CodeMark { left: MARGIN, top: MARGIN, side: CODE, text: String::new() };
        let page = StagePage {
            size: self.size,
            code,
            dots: marks::around(self.size),
            dot_radius: DOT,
            patches: marks::patches((width - MARGIN, MARGIN + CODE)),
            places: Vec::new(),
            chart: None,
            covered: Vec::new(),
            prints: Vec::new(),
        };
        PlacedPage { page, headings: Vec::new() }
    }
}
