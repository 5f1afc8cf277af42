//! What makes one plan better than another.
//!
//! J is the sum of 4 x scale loss, 0.06 a split, 0.05 an inversion of the
//! family order, 2 x mean squared slack of the page columns, the menu's own
//! price (cells not shown, turned numbers, squeezed names) and the price of a
//! page that is not full.

/// Price of a scale below the largest one, as a share of it.
pub const SCALE: f64 = 4.0;
/// Price of a split.
pub const SPLIT: f64 = 0.06;
/// Price of the mean squared slack of the page columns.
pub const SLACK: f64 = 2.0;
/// Price of a pair of families out of the sheet's order.
pub const INVERSION: f64 = 0.05;
/// How much row pitches may stretch for nothing.
pub const FREE_STRETCH: f64 = 1.18;
/// How much they may stretch at most.
pub const MOST_STRETCH: f64 = 1.75;
/// Price of stretch beyond the free share.
const STRETCH: f64 = 0.5;
/// Price of a share of the page that stays empty at the foot, or beside the columns.
const HOLE: f64 = 3.0;
/// How much wider than their least width columns may be drawn for nothing: gaps take it up.
const FREE_WIDTH: f64 = 1.3;
/// Price of the columns that the last page of a set lacks, as a share of a page.
const LAST_PAGE: f64 = 0.3;
/// Price of a scale that nobody can reckon with, where a plain one is at hand.
const ODD_SCALE: f64 = 0.13;
/// How much smaller than the largest scale a plain one may be to be at hand.
const NEAR: f64 = 0.03;
/// Scales that are written as a plain ratio.
const PLAIN: [f64; 16] = [
    1.0,
    0.9,
    0.8,
    0.75,
    0.7,
    2.0 / 3.0,
    0.6,
    0.5,
    0.4,
    1.0 / 3.0,
    0.3,
    0.25,
    0.2,
    1.0 / 6.0,
    0.15,
    0.1,
];

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

/// Price of the width of a page that its columns do not use: `used` is the sum
/// of their least widths, `room` the width without gutters, mm.
pub fn width_cost(used: f64, room: f64) -> f64 {
    HOLE * (1.0 - FREE_WIDTH * used / room.max(1.0)).max(0.0)
}

/// Price of a last page that is less full than the others: so many columns in
/// all, so many on a page.
pub fn last_page_cost(total: usize, columns: usize) -> f64 {
    if total <= columns {
        return 0.0;
    }
    let missing = (columns - total % columns) % columns;
    LAST_PAGE * missing as f64 / columns as f64
}

/// The plain scale that is at hand where `largest` is the largest that fits.
pub fn plain_scale(largest: f64) -> Option<f64> {
    PLAIN.into_iter().find(|&p| p <= largest + 1e-9 && p >= largest * (1.0 - NEAR))
}

/// Price of a scale where a plain one is at hand: none for that one.
pub fn odd_scale_cost(scale: f64, largest: f64) -> f64 {
    match plain_scale(largest) {
        Some(plain) if (plain - scale).abs() > 1e-9 => ODD_SCALE,
        _ => 0.0,
    }
}
