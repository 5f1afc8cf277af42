//! What pages are laid out with.

use crate::plan::Style;
use crate::supplies::Naming;

/// The smallest side of a page, mm: on less there is no room for marks and a part.
pub const LEAST_PAGE: f64 = 100.0;
/// The largest, mm.
pub const MOST_PAGE: f64 = 2000.0;

/// What pages are laid out with.
pub struct Staging<'a> {
    pub naming: Naming<'a>,
    pub style: &'a Style,
    /// Width and height of a page, mm.
    pub size: (f64, f64),
    /// A chart that is laid on every page.
    pub chart: Option<StageChart>,
}

/// A chart of reference colours.
#[derive(Debug, Clone, PartialEq)]
pub struct StageChart {
    /// Width and height of all patches together, mm.
    pub size: (f64, f64),
    /// Patches from left to right.
    pub columns: usize,
    /// CIELAB (D50, 2 degrees), row by row from the top left.
    pub patches: Vec<[f64; 3]>,
}
