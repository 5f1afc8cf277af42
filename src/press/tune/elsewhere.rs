//! Values that hold on papers a little different from the one that is known.
//!
//! No paper is quite its profile: printing gains more or less, a batch is more or less glossy. A
//! pair that is broken on any of a few such papers gets more margin on the known one.

use super::order::Seen;
use super::price::APART;
use super::search::Search;
use super::worth::Worth;
use crate::colour::difference;
use crate::press::paper::{Drift, Paper};

/// How often margins are widened.
const ROUNDS: usize = 3;
/// What a broken pair gets at least, and what it has at most, CIEDE2000 or CIELAB units.
const STEP: f64 = 0.2;
const MOST: f64 = 1.2;
/// Work for it, of each colour.
const WORK: u64 = 12_000;

/// Widens margins where other papers need it, as long as nothing is lost on this one.
pub fn hold(paper: &Paper, search: &mut Search<'_>, plain: f64) {
    let here = Worth::of(search, plain);
    if here.broken > 0 {
        // No room for what there is.
        return;
    }
    let mut broken = widen(paper, search);
    let mut kept = search.found();
    let mut fewest = broken.len();
    search.end = search.work + WORK * search.own.len() as u64;
    for _ in 0..ROUNDS {
        if broken.is_empty() || search.is_spent() {
            break;
        }
        let colours = broken.iter().flat_map(|(i, j)| [*i, *j]).collect();
        search.mend(colours, 4);
        let worth = Worth::of(search, plain);
        broken = widen(paper, search);
        if worth.broken == 0 && worth.over <= here.over && broken.len() < fewest {
            fewest = broken.len();
            kept = search.found();
        }
    }
    search.go_back(kept);
}

/// Gives more margin to pairs that are broken on another paper; returns them.
fn widen(paper: &Paper, search: &mut Search<'_>) -> Vec<(usize, usize)> {
    let mut out = Vec::new();
    for drift in Drift::ALL {
        let shown: Vec<Seen> =
            search.values.iter().map(|v| Seen::of(paper.shows_with(*v, drift))).collect();
        for i in 0..search.kin.len() {
            for kin in &mut search.kin[i] {
                let (own, other) = (&shown[i], &shown[kin.other]);
                if kin.is_broken(own, other) {
                    let close = (kin.distance.min(APART) - difference(own.lab, other.lab)).max(0.0);
                    kin.more = (kin.more + close.max(STEP)).min(MOST);
                    out.push((i, kin.other));
                }
            }
        }
    }
    out
}
