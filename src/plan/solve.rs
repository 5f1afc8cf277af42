//! The joint choice: scale, order, columns, spine, furniture, orientation.

use super::facts::Facts;
use super::furniture::FurnitureHeight;
use super::layout::ScaleRule;
use super::score::plain_scale;
use super::search::Search;
use super::settle::settle;
use super::solution::{NoFit, Plan};
use super::{exact, many};

/// How far under the largest scale the joint choice looks, and in how many steps.
const SCALE_REACH: f64 = 0.2;
const SCALE_STEPS: usize = 16;

/// Solves an edition.
///
/// # Errors
/// Nothing keeps the minimum on this page at the scale asked for.
pub fn solve(facts: &Facts<'_>, furniture: FurnitureHeight<'_>) -> Result<Plan, NoFit> {
    let search = Search::new(facts, furniture);
    match facts.layout.scale {
        ScaleRule::True => at_scales(&search, &[1.0], Some(1.0)),
        ScaleRule::Ratio(r) => at_scales(&search, &[r], Some(r)),
        ScaleRule::Fit => {
            let largest = largest(&search, 1.0);
            let Some(largest) = largest.filter(|s| *s >= facts.layout.least_scale) else {
                return Err(NoFit { asked: None, largest });
            };
            at_scales(&search, &scales(largest), None)
        }
    }
}

/// Does anything fit at this scale? Used by relaxations.
pub fn fits_at(facts: &Facts<'_>, furniture: FurnitureHeight<'_>, scale: f64) -> bool {
    fits(&Search::new(facts, furniture), scale)
}

/// The scales worth trying, the largest first: steps down from the largest, and
/// the plain ratio just under it.
fn scales(largest: f64) -> Vec<f64> {
    let mut out: Vec<f64> = (0..SCALE_STEPS)
        .map(|i| largest * (1.0 - SCALE_REACH * i as f64 / SCALE_STEPS as f64))
        .map(|s| (s * 1000.0).floor() / 1000.0)
        .chain(plain_scale(largest))
        .collect();
    out.sort_by(|a, b| b.total_cmp(a));
    out.dedup();
    out
}

/// Bisection: everything grows with the scale, so 'fits' is monotone.
fn largest(search: &Search<'_>, most: f64) -> Option<f64> {
    if fits(search, most) {
        return Some(most);
    }
    let (mut low, mut high) = (0.02, most);
    if !fits(search, low) {
        return None;
    }
    while high - low > 0.0005 {
        let middle = (low + high) / 2.0;
        if fits(search, middle) { low = middle } else { high = middle }
    }
    Some((low * 1000.0).floor() / 1000.0)
}

fn fits(search: &Search<'_>, scale: f64) -> bool {
    if search.is_large() { many::fits(search, scale) } else { exact::fits(search, scale) }
}

/// The best plan over all of `scales`, the largest first.
fn at_scales(search: &Search<'_>, scales: &[f64], asked: Option<f64>) -> Result<Plan, NoFit> {
    let free = asked.is_none();
    let best = if search.is_large() {
        many::best(search, scales, free)
    } else {
        match exact::best(search, scales, free) {
            None if search.is_spent() && !search.facts.work.is_stopped() => {
                many::best(search, scales, free)
            }
            best => best,
        }
    };
    match best {
        Some(best) => Ok(settle(search, best)),
        None => Err(NoFit { asked, largest: asked.and_then(|asked| largest(search, asked)) }),
    }
}
