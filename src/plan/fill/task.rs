//! What is to be filled, and what comes of it.

use crate::plan::measure::SizedMenu;
use crate::work::Work;

/// One run of a family in a page column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// Index into the order given.
    pub family: usize,
    pub way: usize,
    pub from: usize,
    pub to: usize,
}

/// One page column.
#[derive(Debug, Clone, PartialEq)]
pub struct FilledColumn {
    pub runs: Vec<Run>,
    /// Quarters used, headings and furniture included.
    pub used: u32,
    pub left: f64,
    pub centre: f64,
    pub right: f64,
    /// Quarters of the furniture, if it is at its foot.
    pub furniture: Option<u32>,
}

impl FilledColumn {
    /// Least width, mm.
    pub fn width(&self) -> f64 {
        self.left + self.centre + self.right
    }
}

/// A whole arrangement.
#[derive(Debug, Clone, PartialEq)]
pub struct Filled {
    pub columns: Vec<FilledColumn>,
    pub cost: f64,
    pub splits: usize,
}

/// What is to be filled.
pub struct Task<'a> {
    pub menu: &'a SizedMenu,
    /// Families in the order tried: indices into `menu.families`.
    pub order: &'a [usize],
    /// What a split after each row costs, by family (by index); see [`super::split_prices`].
    pub splits_cost: &'a [Vec<f64>],
    /// Page columns on one page.
    pub columns: usize,
    /// Page columns on all pages; the last page may have fewer.
    pub total: usize,
    /// Quarters in a column.
    pub room: u32,
    /// Width for the columns of one page, gutters taken off, mm.
    pub width: f64,
    /// Height of the furniture if it is in a column, quarters.
    pub furniture: Option<u32>,
    /// Give up above this cost.
    pub limit: f64,
    /// Splits allowed at most.
    pub splits: usize,
}

/// How much was done, in rows walked over: the same on every machine.
#[derive(Debug, Clone, Copy)]
pub struct Allowance<'w> {
    pub done: u64,
    /// When to give up.
    pub most: u64,
    /// Is only the best kept of each page column? Else the result is exact.
    pub thinned: bool,
    /// What all rows are counted with, and asked.
    pub work: &'w Work,
}

impl Allowance<'_> {
    /// So much for an exact result.
    pub fn exact(most: u64, work: &Work) -> Allowance<'_> {
        Allowance { done: 0, most, thinned: false, work }
    }

    /// Nothing more may be done, or nobody waits for it.
    pub fn is_spent(&self) -> bool {
        self.done >= self.most || self.work.is_stopped()
    }
}
