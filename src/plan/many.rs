//! The joint choice for sheets of many colours: the same price list, the
//! sheet's own order of families, and a bound on the work.
//!
//! Arrangements are looked at from the cheapest that they could come to
//! upwards, so that the first plan found is a good one and rules out most of
//! the rest. Work is counted, not timed: the same sheet has the same plan
//! on every machine.

use std::ops::RangeInclusive;

use super::fill::{Allowance, least_slack};
use super::measure::{SizedMenu, body, size_menu};
use super::score::{last_page_cost, odd_scale_cost, scale_loss, stretch_cost};
use super::solve::{Found, NoFit, Place, Plan, Search};

/// From so many colours on.
pub const FROM: usize = 400;
/// Rows to walk over in search of a plan, in all and for each colour.
const WORK: u64 = 8_000_000;
const WORK_A_COLOUR: u64 = 2_500;
/// The share of it that one arrangement may take.
const ONE: u64 = 4;

/// Does anything fit at this scale?
pub(super) fn fits(search: &Search<'_>, scale: f64) -> bool {
    first(search, scale).is_some()
}

/// The first that fits at a scale, good or not.
fn first<'s>(search: &'s Search<'_>, scale: f64) -> Option<Found<'s>> {
    let mut allowed = allowance(search);
    let order = &search.orders[0].0;
    for &page in &search.pages {
        let body = body(search.facts, page.0, page.1);
        for (menu, sized) in search.modest_menus(body, scale) {
            for columns in search.column_counts(&sized, body) {
                for place in search.places(&sized, menu, body, columns, scale) {
                    let (few, height) = search.totals(&sized, columns, place.room);
                    for total in totals(search, few, columns) {
                        if !search.could_fit(&sized, height, total, &place) {
                            continue;
                        }
                        let task =
                            search.task(&sized, order, columns, total, &place, f64::INFINITY);
                        let mut one = part_of(&allowed);
                        let filled = search.filled(task, &sized, &place, scale, &mut one);
                        allowed.done += one.done;
                        let Some(filled) = filled else { continue };
                        return Some(Found {
                            score: menu.cost + filled.cost,
                            filled,
                            scale,
                            menu: search.menus.iter().position(|m| std::ptr::eq(m, menu))?,
                            page,
                            order,
                            inversions: 0,
                            columns,
                            furniture: place.kind,
                        });
                    }
                }
            }
        }
    }
    None
}

/// Counts of page columns on all pages worth trying, the fewest first. Headings
/// and ends of families leave some white in every column: the more columns,
/// the more of them it may take beside what the rows alone would.
fn totals(search: &Search<'_>, few: RangeInclusive<usize>, columns: usize) -> Vec<usize> {
    let least = *few.start();
    let most = (least + least / 2 + columns).min(columns * search.facts.layout.pages);
    let mut out: Vec<usize> = few.collect();
    let mut more = columns + 1;
    while least + more <= most {
        out.push(least + more);
        more += (more / 3).max(1);
    }
    out
}

fn allowance<'s>(search: &'s Search<'_>) -> Allowance<'s> {
    let colours: usize = search.facts.families.iter().map(|f| f.rows.len()).sum();
    let most = WORK + WORK_A_COLOUR * colours as u64;
    Allowance { done: 0, most, thinned: true, work: &search.facts.work }
}

/// What one arrangement may take of what is left.
fn part_of<'w>(allowed: &Allowance<'w>) -> Allowance<'w> {
    let most = (allowed.most / ONE).min(allowed.most.saturating_sub(allowed.done));
    Allowance { done: 0, most, ..*allowed }
}

/// One arrangement that may become the plan.
struct Stand {
    /// What it costs at least.
    least: f64,
    /// What it costs without the white and the splits of its columns.
    known: f64,
    columns: usize,
    total: usize,
    place: Place,
}

/// The best plan over all of `scales`, the largest first.
pub(super) fn at_scales(
    search: &Search<'_>,
    scales: &[f64],
    asked: Option<f64>,
) -> Result<Plan, NoFit> {
    let mut allowed = allowance(search);
    let mut best = first(search, scales[0]);
    let mut tried = 1;
    if asked.is_some() && best.is_none() {
        return Err(NoFit { asked, largest: search.largest(asked.unwrap_or(1.0)) });
    }
    for (known, scale, page, menu) in by_price(search, scales, asked.is_none()) {
        if best.as_ref().is_some_and(|b| known >= b.score) || allowed.is_spent() {
            break;
        }
        let body = body(search.facts, page.0, page.1);
        let sized = size_menu(search.facts, &search.menus[menu], body, scale);
        for stand in stands(search, &sized, (known, scale, page, menu)) {
            let limit = best.as_ref().map_or(f64::INFINITY, |b| b.score);
            if stand.least >= limit || allowed.is_spent() {
                break;
            }
            tried += 1;
            let Stand { known, columns, total, place, .. } = stand;
            let order = &search.orders[0].0;
            let task = search.task(&sized, order, columns, total, &place, limit - known);
            let mut one = part_of(&allowed);
            let filled = search.filled(task, &sized, &place, scale, &mut one);
            allowed.done += one.done;
            let Some(filled) = filled else { continue };
            let score = known + filled.cost + search.width_cost(&filled, columns, body);
            if score < limit {
                let furniture = place.kind;
                best = Some(Found {
                    filled,
                    score,
                    scale,
                    menu,
                    page,
                    order,
                    inversions: 0,
                    columns,
                    furniture,
                });
            }
        }
    }
    match best {
        Some(found) => Ok(search.plan(found, tried)),
        None => Err(NoFit { asked, largest: None }),
    }
}

/// What is known before anything is measured: price, scale, page, menu.
type Priced = (f64, f64, (f64, f64), usize);

/// Every scale, page and menu, the cheapest first.
fn by_price(search: &Search<'_>, scales: &[f64], free: bool) -> Vec<Priced> {
    let mut out: Vec<Priced> = Vec::new();
    for &scale in scales {
        let odd = if free { odd_scale_cost(scale, scales[0]) } else { 0.0 };
        for &page in &search.pages {
            for (m, menu) in search.menus.iter().enumerate() {
                out.push((scale_loss(scale, scales[0]) + odd + menu.cost, scale, page, m));
            }
        }
    }
    out.sort_by(|a, b| a.0.total_cmp(&b.0));
    out
}

/// The arrangements of a menu at a scale, the cheapest first.
fn stands(search: &Search<'_>, sized: &SizedMenu, priced: Priced) -> Vec<Stand> {
    let (known, scale, page, menu) = priced;
    let body = body(search.facts, page.0, page.1);
    let mut out = Vec::new();
    for columns in search.column_counts(sized, body) {
        for place in search.places(sized, &search.menus[menu], body, columns, scale) {
            let (few, height) = search.totals(sized, columns, place.room);
            for total in totals(search, few, columns) {
                if !search.could_fit(sized, height, total, &place) {
                    continue;
                }
                for room in search.rooms(sized, height, total, place.room) {
                    let stretch = f64::from(place.room) / f64::from(room);
                    let known = known + stretch_cost(stretch) + last_page_cost(total, columns);
                    let least = known + least_slack(sized, total, room, place.column);
                    let place = Place { room, ..place };
                    out.push(Stand { least, known, columns, total, place });
                }
            }
        }
    }
    out.sort_by(|a, b| a.least.total_cmp(&b.least));
    out
}
