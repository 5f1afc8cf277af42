//! Prices of white and of splits in page columns.

use crate::plan::measure::{Sized, SizedMenu};
use crate::plan::score::{SLACK, SPLIT};

/// Quarters of white that a heading or the furniture can take up evenly: more
/// would be a hole in the column.
const TAKEN: u32 = 5;
/// Price of the share of a column that is a hole.
const HOLE: f64 = 1.6;
/// What a quarter that is taken up so costs beside one at the foot.
const LIGHT: f64 = 0.35;
/// What a split between equal colours costs more than one at a leap without end.
const CLOSE_SPLIT: f64 = 0.02;
/// The step, CIEDE2000, at which half of that is left: closer colours are look-alikes.
const LEAP: f64 = 10.0;
/// What furniture costs that does not close the last page column.
pub(super) const EARLY_FURNITURE: f64 = 0.004;

/// What a split after each row but the last costs, by the steps in colour from
/// row to row (CIEDE2000): the wider the step, the less.
pub fn split_prices(steps: &[f64]) -> Vec<f64> {
    steps.iter().map(|step| SPLIT + CLOSE_SPLIT * LEAP / (LEAP + step)).collect()
}

/// Price of what stays empty of a column: its squared share, white that headings
/// and furniture take up evenly counted lightly, and a hole between blocks by
/// its own share. White at the foot of a column that has no place for it is
/// no hole: columns may end early.
pub(super) fn slack_cost(used: u32, places: usize, room: u32) -> f64 {
    let empty = room.saturating_sub(used);
    let taken = empty.min(TAKEN * places as u32);
    let weighed = f64::from(empty - taken) + LIGHT * f64::from(taken);
    let share = |quarters: f64| quarters / f64::from(room.max(1));
    let hole = if places > 0 { HOLE * share(f64::from(empty - taken)) } else { 0.0 };
    SLACK * share(weighed).powi(2) + hole
}

/// Least share of `all` quarters that counts as white where at most `most` are
/// used, and where white can go to so many headings and pieces of furniture.
pub(super) fn least_white(all: u64, most: u64, places: u32) -> f64 {
    let empty = all.saturating_sub(most) as f64;
    let white = (empty * LIGHT).max(empty - (1.0 - LIGHT) * f64::from(TAKEN * places));
    white.max(0.0) / all.max(1) as f64
}

/// The least that the families can cost in so many columns of this room, with
/// the furniture in a column or not: the white that nothing can fill, spread evenly.
pub fn least_slack_of_menu(
    menu: &SizedMenu,
    columns: usize,
    room: u32,
    furniture: Option<u32>,
) -> f64 {
    let rows: u64 = menu
        .families
        .iter()
        .map(|ways| ways.iter().map(Sized::height).max())
        .map(|h| u64::from(h.unwrap_or(0)))
        .sum();
    let heads = menu.families.len().saturating_sub(1) as u32;
    let most = rows + u64::from(heads * menu.head) + u64::from(furniture.unwrap_or(0));
    let places = heads + u32::from(furniture.is_some());
    SLACK * least_white(columns as u64 * u64::from(room), most, places).powi(2)
}
