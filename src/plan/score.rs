//! What makes one plan better than another.
//!
//! J is the sum of 4 x scale loss, 0.06 a split, 0.05 an inversion of the
//! family order, 2 x mean squared slack of the page columns, the menu's own
//! price (cells not shown, turned numbers, squeezed names) and the price of a
//! page that is not full.

use super::fill::SLACK;

/// Price of a scale below the largest one, as a share of it.
pub const SCALE: f64 = 4.0;
/// Price of a pair of families out of the sheet's order.
pub const INVERSION: f64 = 0.05;
/// How much row pitches may stretch for nothing.
pub const FREE_STRETCH: f64 = 1.18;
/// How much they may stretch at most.
pub const MOST_STRETCH: f64 = 1.55;
/// Price of stretch beyond the free share.
const STRETCH: f64 = 0.5;
/// Price of a share of the page that stays empty at the foot.
const HOLE: f64 = 3.0;

/// Loss of a scale against the largest.
pub fn scale_loss(scale: f64, largest: f64) -> f64 {
    SCALE * (1.0 - scale / largest).max(0.0)
}

/// Price of opening the rows by `stretch` (1 = not at all).
pub fn stretch_cost(stretch: f64) -> f64 {
    let opened = (stretch.min(MOST_STRETCH) - FREE_STRETCH).max(0.0);
    let hole = (1.0 - MOST_STRETCH / stretch.max(MOST_STRETCH)).max(0.0);
    STRETCH * opened + HOLE * hole
}

/// Least slack price that any arrangement of so many quarters can have: all
/// columns equally empty, white near headings counted at its least.
pub fn least_slack(total: u32, columns: usize, room: u32) -> f64 {
    let share = 1.0 - f64::from(total) / (columns as f64 * f64::from(room.max(1)));
    SLACK * (0.35 * share.max(0.0)).powi(2)
}
