//! The exact programme at a fixed scale: families in order into page columns.
//!
//! State: (family, row, way). From every state a page column is filled to
//! every place where it may end; labels keep the cheapest cost for each total
//! width (Pareto), so that a wide block in one column can be paid for by
//! narrow ones in the others. No family splits around another, since the
//! order is fixed and the flow is contiguous.

mod labels;
mod price;
mod programme;
mod rest;
mod state;
mod task;
mod walk;

pub use price::{least_slack_of_menu, split_prices};
pub use task::{Allowance, Filled, FilledColumn, Run, Task};

use crate::work::{Work, WorkKind};

/// Fills the page columns, or reports that it is impossible within the limit.
pub fn fill(task: &Task<'_>) -> Option<Filled> {
    let work = Work::default();
    fill_within(task, &mut Allowance::exact(u64::MAX, &work))
}

/// The same, but gives up when the allowance is spent.
pub fn fill_within(task: &Task<'_>, allowed: &mut Allowance<'_>) -> Option<Filled> {
    let before = allowed.done;
    let filled = programme::solve(task, allowed);
    allowed.work.add(WorkKind::Rows, allowed.done - before);
    filled
}
