//! Where the programme is: between page columns, and in one.

/// Where a page column begins or ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct State {
    pub(super) family: u32,
    pub(super) row: u32,
    pub(super) way: u32,
    /// The furniture stands already.
    pub(super) furniture: bool,
}

/// Where a label has no label, or no run, before it.
pub(super) const NONE: u32 = u32::MAX;

/// The end of a page column, and the cheapest that it can come to at some width.
#[derive(Debug, Clone, Copy)]
pub(super) struct Label {
    pub(super) cost: f64,
    pub(super) width: f64,
    pub(super) splits: u32,
    /// Index of the label before, in the column before.
    pub(super) from: u32,
    /// The last run of the column: an index into [`super::walk::Walk::ways`].
    pub(super) path: u32,
    pub(super) state: State,
    /// The furniture is at the foot of this column.
    pub(super) furniture: bool,
}

/// A page column while it is walked down.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Column {
    /// The label that it goes on from, and what that had come to.
    pub(super) from: u32,
    pub(super) page: f64,
    pub(super) before: f64,
    pub(super) splits: u32,
    /// Columns that follow this one.
    pub(super) after: usize,
    pub(super) used: u32,
    pub(super) left: f64,
    pub(super) centre: f64,
    pub(super) right: f64,
    pub(super) runs: usize,
    pub(super) path: u32,
    /// Price of the ways and splits in it.
    pub(super) extra: f64,
}

impl Column {
    pub(super) fn width(&self) -> f64 {
        self.left + self.centre + self.right
    }
}
