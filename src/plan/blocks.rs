//! What a plan is made of: families, their runs in page columns, the columns.

use super::menu::Choice;

/// One family as planned.
#[derive(Debug, Clone)]
pub struct PlannedFamily {
    /// Index into `facts.families`.
    pub index: usize,
    pub choice: Choice,
    /// Height of each row, quarters of the pitch.
    pub rows: Vec<u32>,
}

/// A run of a family's rows in a page column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlannedRun {
    /// Index into [`super::Plan::families`].
    pub family: usize,
    pub from: usize,
    pub to: usize,
}

/// A page column: blocks that share one spine axis.
#[derive(Debug, Clone)]
pub struct PageColumn {
    pub runs: Vec<PlannedRun>,
    /// Quarters used by headings and rows, without the furniture.
    pub used: u32,
    /// The furniture is at its foot.
    pub furniture: bool,
    /// Least widths, mm.
    pub left: f64,
    pub centre: f64,
    pub right: f64,
}

impl PageColumn {
    /// Least width, mm.
    pub fn width(&self) -> f64 {
        self.left + self.centre + self.right
    }
}
