//! Print values that keep pairs apart.
//!
//! A colour's price is what a buyer minds: how far it is from its aim, whether its hue has turned,
//! and above all whether each pair can still be told apart and differs the same way round. The
//! values are whole bytes from the start, so nothing is lost by rounding in the end.
//!
//! ```text
//! nearest values -> one colour after the other (search) -> groups together (repair)
//!                   dearer what stays broken; nearer to the aims while the mean is over that of
//!                   plain values; from another start where pairs are still broken
//!                -> what holds on papers a little different (elsewhere)
//!                -> what plain values promise (promise)
//! ```

mod elsewhere;
mod order;
mod price;
mod promise;
mod repair;
mod search;

use std::collections::BTreeMap;

pub use order::{hue_swapped, lightness_swapped, strength_swapped, turn};
pub use price::APART;
use price::Prices;
pub use search::KIN;
use search::{Found, Search};

use super::paper::{Bytes, Paper};
use crate::colour::Lab50;

/// Print values.
#[derive(Debug, Clone, PartialEq)]
pub struct Tuned {
    pub values: Vec<Bytes>,
    pub shown: Vec<Lab50>,
    /// The least difference from its aim that each colour could have.
    pub least: Vec<f64>,
}

/// Finds values for `aims` on a paper, `plain` being what would be printed without care.
///
/// Equal aims with equal plain values get equal values.
pub fn tune(paper: &Paper, aims: &[Lab50], plain: &[Bytes]) -> Tuned {
    let mut known: BTreeMap<([u64; 3], Bytes), usize> = BTreeMap::new();
    let (mut own_aims, mut own_plain) = (Vec::new(), Vec::new());
    let own: Vec<usize> = aims
        .iter()
        .zip(plain)
        .map(|(aim, value)| {
            let next = known.len();
            let key = ([aim.l, aim.a, aim.b].map(f64::to_bits), *value);
            *known.entry(key).or_insert_with(|| {
                own_aims.push(*aim);
                own_plain.push(*value);
                next
            })
        })
        .collect();
    let search = found(paper, Search::new(paper, &own_aims, &own_plain));
    Tuned {
        values: own.iter().map(|i| search.values[*i]).collect(),
        shown: own.iter().map(|i| search.shown[*i].lab).collect(),
        least: own.iter().map(|i| search.own[*i].least).collect(),
    }
}

/// The least difference from its aim that each colour could have, CIEDE2000.
pub fn nearest(paper: &Paper, aims: &[Lab50], plain: &[Bytes]) -> Vec<f64> {
    Search::new(paper, aims, plain).own.iter().map(|o| o.least).collect()
}

/// The value that the paper shows nearest to an aim.
pub fn nearest_value(paper: &Paper, aim: Lab50, plain: Bytes) -> Bytes {
    Search::new(paper, &[aim], &[plain]).values[0]
}

/// One way of going about it.
struct Attempt {
    /// How far colours are first taken back from the edge of the gamut.
    back: f64,
    /// Steps that a colour tries when its neighbours have moved, in 255ths.
    steps: &'static [i16],
    prices: Prices,
}

/// Steps of a value, in 255ths.
const FINE: &[i16] = &[3, 1];
const COARSE: &[i16] = &[24, 8, 3, 1];
const WIDE: &[i16] = &[40, 20, 10, 5, 2, 1];

/// The ways in which sets of few colours are tried until one succeeds; large ones in the first only.
fn attempts() -> Vec<Attempt> {
    let way = |back, steps, own, turn| Attempt {
        back,
        steps,
        prices: Prices { own, turn, margin: 0.3, apart: 2.15 },
    };
    vec![
        Attempt { back: 0.0, steps: FINE, prices: Prices::FIRST },
        way(0.0, WIDE, 0.4, 20.0),
        way(0.5, COARSE, 0.4, 5.0),
        way(0.0, COARSE, 0.8, 2.0),
        way(0.25, WIDE, 0.8, 2.0),
        way(0.5, WIDE, 0.8, 0.5),
        way(0.75, COARSE, 0.4, 2.0),
        way(0.0, &[9, 3, 1], 0.8, 0.1),
    ]
}

/// Sets of more colours are tried in one way only.
const FEW: usize = 250;
/// Sets of so many are gone over once more.
const A_HANDFUL: usize = 30;
/// Work for one way, of few and of many colours, and for all of them: the longest takes some ten seconds.
const WORK_OF_FEW: u64 = 5_000_000;
const WORK_OF_MANY: u64 = 50_000_000;
/// How often a broken pair is pressed on, and how often the aim of all is put right.
const ROUNDS: usize = 24;
const TURNS: usize = 10;

/// How good values are: less is better.
#[derive(Clone, Copy, PartialEq, PartialOrd)]
struct Worth {
    /// Are they farther from the aims on average than plain ones?
    over: bool,
    broken: usize,
    mean: f64,
}

impl Worth {
    fn of(search: &Search<'_>, plain: f64) -> Worth {
        let mean = search.mean_off();
        Worth { over: mean > plain, broken: search.broken().len(), mean }
    }

    fn is_good(self) -> bool {
        !self.over && self.broken == 0
    }
}

/// The search, where it ends.
fn found<'a>(paper: &'a Paper, mut search: Search<'a>) -> Search<'a> {
    let plain = search.plain_mean_off();
    let nearest = search.values.clone();
    search.join_pairs();
    let few = search.own.len() <= FEW;
    let mut best: Option<(Worth, Found)> = None;
    for attempt in attempts().into_iter().take(if few { usize::MAX } else { 1 }) {
        begin(&mut search, &attempt, &nearest);
        search.end = search.work + if few { WORK_OF_FEW } else { WORK_OF_MANY };
        search.mend(search.all(), ROUNDS);
        search.repair();
        for _ in 0..TURNS {
            let worth = Worth::of(&search, plain);
            if best.as_ref().is_none_or(|(b, _)| worth < *b) {
                best = Some((worth, search.found()));
            }
            if worth.is_good() || search.is_spent() {
                break;
            }
            if worth.over {
                // Pairs are worth a step away from the aim here and there, not on average.
                search.prices = Prices { own: search.prices.own * 1.5, ..search.prices.tight() };
                search.relax();
                search.mend(search.all(), ROUNDS);
            } else {
                // A hue turns where nothing else keeps a pair apart.
                search.prices.turn = (search.prices.turn * 0.25).max(0.05);
                search.mend(Default::default(), ROUNDS);
            }
            search.repair();
        }
        if best.as_ref().is_some_and(|(worth, _)| worth.is_good()) {
            break;
        }
    }
    if let Some((_, found)) = best {
        search.go_back(found);
    }
    if search.own.len() <= A_HANDFUL {
        polish(&mut search, plain);
    }
    elsewhere::hold(paper, &mut search, plain);
    promise::keep(&mut search, plain);
    search
}

/// Goes over good values once more with wide steps: what a paper shows of sRGB is rough, and the
/// next better value may lie behind a worse one. What does not help is undone.
fn polish(search: &mut Search<'_>, plain: f64) {
    if !Worth::of(search, plain).is_good() {
        return;
    }
    search.prices = Prices::FIRST;
    (search.first, search.later) = (WIDE, WIDE);
    search.ease();
    for back in [0.0, 0.0, 0.1, 0.2, 0.35] {
        let kept = search.found();
        let price = search.total();
        search.end = search.work + WORK_OF_FEW / 4;
        if back > 0.0 {
            search.draw_back(search.all(), back);
        }
        search.mend(search.all(), ROUNDS);
        search.ease();
        if !Worth::of(search, plain).is_good() || search.total() > price {
            search.go_back(kept);
        }
    }
}

fn begin(search: &mut Search<'_>, attempt: &Attempt, nearest: &[Bytes]) {
    (search.prices, search.later) = (attempt.prices, attempt.steps);
    search.ease();
    for (i, value) in nearest.iter().enumerate() {
        search.put(i, *value);
    }
    if attempt.back > 0.0 {
        search.draw_back(search.all(), attempt.back);
    }
}
