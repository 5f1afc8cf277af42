//! Print values that keep pairs apart.
//!
//! A colour's price is what a buyer minds: how far it is from its aim, whether its hue has turned,
//! and above all whether each pair is still distinguishable and differs the same way round. The
//! values are whole bytes from the start, so nothing is lost by rounding in the end.
//!
//! ```text
//! nearest values -> one colour after the other (search) -> groups together (repair)
//!                   dearer what stays broken; nearer to the aims while the mean is over that of
//!                   plain values
//!                -> where pairs are still broken, and of many colours as sRGB: all at once (anneal)
//!                -> what holds on papers a little different (elsewhere)
//!                -> what plain values promise (promise)
//! ```

mod anneal;
mod elsewhere;
mod order;
mod price;
mod promise;
mod repair;
mod search;
mod worth;

use std::collections::BTreeMap;

pub use order::{Seen, swaps, turn};
pub use price::APART;
use price::Prices;
pub use search::KIN;
use search::{Found, Search};
use worth::Worth;

use super::paper::{Bytes, ColourMode, Paper};
use crate::colour::Lab50;
use crate::work::{Work, WorkKind};

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
pub fn tune(paper: &Paper, aims: &[Lab50], plain: &[Bytes], work: &Work) -> Tuned {
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
    let mut search = Search::new(paper, &own_aims, &own_plain);
    search.counts = work.clone();
    let search = found(paper, search);
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

/// Steps of a value, in 255ths.
const FINE: &[i16] = &[3, 1];
const WIDE: &[i16] = &[40, 20, 10, 5, 2, 1];

/// Sets of so many are gone over once more.
const A_HANDFUL: usize = 30;
/// From so many colours on sRGB is annealed at once: the search alone gets stuck.
const MANY: usize = 250;
/// Work of the search, of few and of many colours: the longest takes some ten seconds.
const WORK_OF_FEW: u64 = 5_000_000;
const WORK_OF_MANY: u64 = 50_000_000;
/// Work of annealing: of few colours for each, up to a limit; of more colours less for each; and for all
/// tries together. Of many colours it is done once.
const WORK_EACH: u64 = 400_000;
const WORK_ENOUGH: u64 = 24_000_000;
const LEAST_EACH: u64 = 200_000;
const WORK_OF_TRIES: u64 = 96_000_000;
const MOST_TRIES: u64 = 8;
const WORK_OF_MANY_AS_SRGB: u64 = 60_000_000;
/// Beyond so many colours all other work grows, and that of annealing shrinks.
const THOUSAND: u64 = 1000;
/// How often a broken pair is pressed on, and how often the aim of all is put right.
const ROUNDS: usize = 24;
const TURNS: usize = 10;

/// The best values so far.
struct Best {
    plain: f64,
    kept: Option<(Worth, Found)>,
}

impl Best {
    /// Takes what the search has now, if it is better; returns whether nothing is left to correct.
    fn take(&mut self, search: &Search<'_>) -> bool {
        let worth = Worth::of(search, self.plain);
        if self.kept.as_ref().is_none_or(|(kept, _)| worth < *kept) {
            self.kept = Some((worth, search.found()));
        }
        self.is_good()
    }

    fn is_good(&self) -> bool {
        self.kept.as_ref().is_some_and(|(worth, _)| worth.is_good())
    }
}

/// The search, where it ends.
fn found<'a>(paper: &'a Paper, mut search: Search<'a>) -> Search<'a> {
    let plain = search.plain_mean_off();
    let mut best = Best { plain, kept: None };
    search.join_pairs();
    let many = search.own.len() > MANY;
    if many && paper.colour_mode() == ColourMode::Srgb {
        let most = WORK_OF_MANY_AS_SRGB * THOUSAND / (search.own.len() as u64).max(THOUSAND);
        all_at_once(&mut search, &mut best, most, 0);
    } else {
        search.end = search.work + if many { WORK_OF_MANY } else { WORK_OF_FEW };
        press(&mut search, &mut best);
        let count = search.own.len() as u64;
        let work = (WORK_EACH * count).min(WORK_ENOUGH).max(LEAST_EACH * count);
        let tries = if many { 0 } else { WORK_OF_TRIES / work.max(1) };
        for seed in 0..tries.min(MOST_TRIES) {
            if best.is_good() {
                break;
            }
            all_at_once(&mut search, &mut best, work, seed);
        }
    }
    if let Some((_, found)) = best.kept {
        search.go_back(found);
    }
    if search.own.len() <= A_HANDFUL {
        polish(&mut search, plain);
    }
    elsewhere::hold(paper, &mut search, plain);
    promise::keep(&mut search, plain);
    search.counts.add(WorkKind::Values, search.work);
    search
}

/// Mends what is broken from the nearest values on, ever harder.
fn press(search: &mut Search<'_>, best: &mut Best) {
    search.mend(search.all(), ROUNDS);
    search.repair();
    for _ in 0..TURNS {
        if best.take(search) || search.is_spent() {
            return;
        }
        if Worth::of(search, best.plain).over {
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
}

/// Anneals, and then takes colours nearer to their aims.
fn all_at_once(search: &mut Search<'_>, best: &mut Best, work: u64, seed: u64) {
    search.anneal(best.plain, work, seed);
    best.take(search);
    ease(search);
    best.take(search);
}

/// Nearer to the aims, where nothing breaks by it.
fn ease(search: &mut Search<'_>) {
    search.prices = Prices { own: 0.2, turn: 20.0, margin: 0.05, apart: 2.01 };
    (search.first, search.later) = (WIDE, FINE);
    search.end = search.work + WORK_OF_FEW;
    search.kin.iter_mut().flatten().for_each(|k| k.force = 1e6);
    search.mend(search.all(), 0);
    search.ease();
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
