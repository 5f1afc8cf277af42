//! The joint choice for sheets of many colours: the same price list, the
//! sheet's own order of families, and a bound on the work.
//!
//! Arrangements are looked at from the cheapest that they could come to
//! upwards, so that the first plan found is a good one and rules out most of
//! the rest. Work is counted, not timed: the same sheet has the same plan
//! on every machine.

use std::ops::RangeInclusive;

use super::fill::{Allowance, least_slack_of_menu};
use super::score::{last_page_cost, odd_scale_cost, scale_loss, stretch_cost};
use super::search::{Best, Candidate, Pick, Search, Setting, Stand};

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
fn first<'s>(search: &'s Search<'_>, scale: f64) -> Option<Candidate<'s>> {
    let mut allowed = allowance(search);
    let order = &search.orders[0];
    for &page in &search.pages {
        for setting in search.modest_settings(page, scale) {
            for columns in search.column_counts(&setting) {
                for stand in search.stands(&setting, columns, |few| totals(search, few, columns)) {
                    let task = search.task(&setting, &stand, order, f64::INFINITY);
                    let mut one = part_of(&allowed);
                    let filled = search.filled(task, &setting, &stand.space, &mut one);
                    allowed.done += one.done;
                    let Some(filled) = filled else { continue };
                    let score = search.menus[setting.pick.menu].cost + filled.cost;
                    let (pick, furniture) = (setting.pick, stand.space.furniture);
                    return Some(Candidate { filled, score, pick, order, columns, furniture });
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
    let most = WORK + WORK_A_COLOUR * search.facts.colours() as u64;
    Allowance { done: 0, most, thinned: true, work: &search.facts.work }
}

/// What one arrangement may take of what is left.
fn part_of<'w>(allowed: &Allowance<'w>) -> Allowance<'w> {
    let most = (allowed.most / ONE).min(allowed.most.saturating_sub(allowed.done));
    Allowance { done: 0, most, ..*allowed }
}

/// The best arrangement over all of `scales`, the largest first; scales are
/// weighed against each other where they are `free`.
pub(super) fn best<'s>(search: &'s Search<'_>, scales: &[f64], free: bool) -> Option<Best<'s>> {
    let mut allowed = allowance(search);
    let order = &search.orders[0];
    let mut best = first(search, scales[0]);
    let mut tried = 1;
    if !free && best.is_none() {
        return None;
    }
    for priced in by_price(search, scales, free) {
        if best.as_ref().is_some_and(|b| priced.known >= b.score) || allowed.is_spent() {
            break;
        }
        let setting = search.setting(priced.pick);
        for PricedStand { least, known, stand } in stands(search, &setting, priced.known) {
            let limit = best.as_ref().map_or(f64::INFINITY, |b| b.score);
            if least >= limit || allowed.is_spent() {
                break;
            }
            tried += 1;
            let task = search.task(&setting, &stand, order, limit - known);
            let mut one = part_of(&allowed);
            let filled = search.filled(task, &setting, &stand.space, &mut one);
            allowed.done += one.done;
            let Some(filled) = filled else { continue };
            let columns = stand.columns;
            let score = known + filled.cost + search.width_cost(&filled, columns, setting.body);
            if score < limit {
                let (pick, furniture) = (setting.pick, stand.space.furniture);
                best = Some(Candidate { filled, score, pick, order, columns, furniture });
            }
        }
    }
    best.map(|candidate| Best { candidate, tried })
}

/// A menu on a page at a scale, and what it costs before anything is measured.
struct Priced {
    known: f64,
    pick: Pick,
}

/// Every scale, page and menu, the cheapest first.
fn by_price(search: &Search<'_>, scales: &[f64], free: bool) -> Vec<Priced> {
    let mut out: Vec<Priced> = Vec::new();
    for &scale in scales {
        let odd = if free { odd_scale_cost(scale, scales[0]) } else { 0.0 };
        for &page in &search.pages {
            for (m, menu) in search.menus.iter().enumerate() {
                let known = scale_loss(scale, scales[0]) + odd + menu.cost;
                out.push(Priced { known, pick: Pick { menu: m, page, scale } });
            }
        }
    }
    out.sort_by(|a, b| a.known.total_cmp(&b.known));
    out
}

/// One arrangement that may become the plan.
struct PricedStand {
    /// What it costs at least.
    least: f64,
    /// What it costs without the white and the splits of its columns.
    known: f64,
    stand: Stand,
}

/// The ways to arrange it of a setting, the cheapest first.
fn stands(search: &Search<'_>, setting: &Setting, known: f64) -> Vec<PricedStand> {
    let mut out = Vec::new();
    for columns in search.column_counts(setting) {
        for stand in search.stands(setting, columns, |few| totals(search, few, columns)) {
            for room in setting.rooms(&stand) {
                let (stand, stretch) = stand.opened(room);
                let known = known + stretch_cost(stretch) + last_page_cost(stand.total, columns);
                let furniture = stand.space.in_column;
                let least =
                    known + least_slack_of_menu(&setting.menu, stand.total, room, furniture);
                out.push(PricedStand { least, known, stand });
            }
        }
    }
    out.sort_by(|a, b| a.least.total_cmp(&b.least));
    out
}
