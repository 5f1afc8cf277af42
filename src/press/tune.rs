//! Print values that keep pairs apart.
//!
//! A colour's price is what a buyer minds: how far it is from its aim, and
//! above all how far each pair is from the difference it should have. The
//! values are whole bytes from the start, so nothing is lost by rounding in
//! the end. One colour after the other moves, by the steps of a pattern
//! search, to where its own share of the price is least; a colour whose
//! neighbour moved is looked at again, until nothing moves. Every move lowers
//! the whole price, so it ends.

use std::collections::{BTreeMap, BTreeSet};

use super::paper::{Bytes, Paper};
use crate::colour::lookalike::{Pair, pairs};
use crate::colour::{Lab50, difference};

/// Pairs up to this difference are held apart as they are (CIEDE2000).
pub const KIN: f64 = 12.0;
/// A printed pair under this can hardly be told apart (CIEDE2000).
pub const APART: f64 = 2.0;
/// What the search aims at for them, a margin over [`APART`].
const WANTED: f64 = 2.5;
/// Hues are compared from this chroma on, both colours.
const LEAST_CHROMA: f64 = 8.0;
/// Differences in hue and lightness that count as an order.
const LEAST_HUE: f64 = 1.5;
const LEAST_LIGHTNESS: f64 = 1.0;

/// The most differences that a search looks at: a sheet of 1,000 colours all
/// over the gamut takes as many. Counted, not timed, so that the same input
/// gives the same values.
const MOST_WORK: u64 = 20_000_000;
/// A colour is held apart from so many nearest ones; from others when they come too close.
const MOST_KIN: usize = 16;
/// How often the price of what is broken is raised.
const ROUNDS: usize = 8;
/// How often the price of a colour's own distance is raised.
const NEARER: usize = 4;

/// What each kind of loss costs. From a prototype, no source.
mod price {
    pub const OWN: f64 = 0.2;
    pub const CLOSE: f64 = 20.0;
    pub const ORDER: f64 = 20.0;
    pub const FAR: f64 = 5.0;
    /// A colour may be this much farther from its aim than it has to.
    pub const SLACK: f64 = 3.0;
    pub const BLACK: f64 = 1e-4;
}

/// The difference in lightness.
pub fn lightness(a: Lab50, b: Lab50) -> f64 {
    b.l - a.l
}

/// The difference in hue with its sign, CIELAB units; 0 where a colour has hardly any.
pub fn hue(a: Lab50, b: Lab50) -> f64 {
    let (c1, c2) = (a.a.hypot(a.b), b.a.hypot(b.b));
    if c1 <= LEAST_CHROMA || c2 <= LEAST_CHROMA {
        return 0.0;
    }
    (a.a * b.b - b.a * a.b) / (c1 * c2).sqrt()
}

/// Is the order of lightness turned round?
pub fn lightness_swapped(aim: (Lab50, Lab50), shown: (Lab50, Lab50)) -> bool {
    let d = lightness(aim.0, aim.1);
    d.abs() >= LEAST_LIGHTNESS && lightness(shown.0, shown.1) * d < 0.0
}

/// Is the order of hue turned round?
pub fn hue_swapped(aim: (Lab50, Lab50), shown: (Lab50, Lab50)) -> bool {
    let d = hue(aim.0, aim.1);
    d.abs() >= LEAST_HUE && signed_hue(shown.0, shown.1) * d < 0.0
}

/// As [`hue`], whatever the chroma.
fn signed_hue(a: Lab50, b: Lab50) -> f64 {
    let (c1, c2) = (a.a.hypot(a.b), b.a.hypot(b.b));
    (a.a * b.b - b.a * a.b) / (c1 * c2).sqrt().max(1e-6)
}

/// A pair held apart, with its aims.
#[derive(Debug, Clone, Copy)]
struct Kin {
    other: usize,
    distance: f64,
    weight: f64,
    /// What breaking it costs, times the price: grows where the search leaves it broken.
    force: f64,
    /// Signed, as seen from the colour that holds this.
    lightness: f64,
    hue: f64,
}

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
    let tuned = Search::new(paper, &own_aims, &own_plain).run();
    Tuned {
        values: own.iter().map(|i| tuned.values[*i]).collect(),
        shown: own.iter().map(|i| tuned.shown[*i]).collect(),
        least: own.iter().map(|i| tuned.least[*i]).collect(),
    }
}

/// The least difference from its aim that each colour could have, CIEDE2000.
pub fn nearest(paper: &Paper, aims: &[Lab50], plain: &[Bytes]) -> Vec<f64> {
    Search::new(paper, aims, plain).least
}

/// The value that the paper shows nearest to an aim.
pub fn nearest_value(paper: &Paper, aim: Lab50, plain: Bytes) -> Bytes {
    Search::new(paper, &[aim], &[plain]).values[0]
}

struct Search<'a> {
    paper: &'a Paper,
    aims: &'a [Lab50],
    plain: &'a [Bytes],
    plain_shown: Vec<Lab50>,
    values: Vec<Bytes>,
    shown: Vec<Lab50>,
    least: Vec<f64>,
    kin: Vec<Vec<Kin>>,
    moves: Vec<[i16; 4]>,
    /// Price of a colour's own distance from its aim, squared.
    own: f64,
    /// Differences looked at so far.
    work: u64,
}

impl<'a> Search<'a> {
    fn new(paper: &'a Paper, aims: &'a [Lab50], plain: &'a [Bytes]) -> Search<'a> {
        let plain_shown: Vec<Lab50> = plain.iter().map(|v| paper.shows(*v)).collect();
        let mut search = Search {
            paper,
            aims,
            plain,
            values: plain.to_vec(),
            shown: plain_shown.clone(),
            plain_shown,
            least: vec![0.0; aims.len()],
            kin: vec![Vec::new(); aims.len()],
            moves: moves(paper.channels()),
            own: price::OWN,
            work: 0,
        };
        // With no pairs yet: the nearest that the paper can come.
        for (i, aim) in aims.iter().enumerate() {
            search.settle(i, &[16, 8, 4, 2, 1], Goal::Nearest);
            search.least[i] = difference(*aim, search.shown[i]);
        }
        search
    }

    fn run(mut self) -> Tuned {
        for pair in nearest_pairs(self.aims) {
            self.join(pair.first, pair.second, pair.distance);
        }
        self.weigh();
        self.mend();
        // Pairs are worth a step away from the aim here and there, not on average.
        for _ in 0..NEARER {
            if self.mean_off(&self.shown) <= self.mean_off(&self.plain_shown) {
                break;
            }
            self.own *= 2.0;
            self.mend();
        }
        self.keep_promise();
        Tuned { values: self.values, shown: self.shown, least: self.least }
    }

    /// Sweeps, and presses harder where a pair stays broken.
    fn mend(&mut self) {
        self.sweep((0..self.aims.len()).collect());
        for _ in 0..ROUNDS {
            let again = self.press_harder();
            if again.is_empty() {
                break;
            }
            self.sweep(again);
        }
    }

    /// Mean CIEDE2000 between the aims and what is shown.
    fn mean_off(&self, shown: &[Lab50]) -> f64 {
        let sum: f64 = self.aims.iter().zip(shown).map(|(a, s)| difference(*a, *s)).sum();
        sum / self.aims.len().max(1) as f64
    }

    fn join(&mut self, i: usize, j: usize, distance: f64) {
        let weight = 1.0 / distance.max(1.0).powi(2);
        let (l, h) = (lightness(self.aims[i], self.aims[j]), hue(self.aims[i], self.aims[j]));
        let one = Kin { other: j, distance, weight, force: 1.0, lightness: l, hue: h };
        self.kin[i].push(one);
        self.kin[j].push(Kin { other: i, lightness: -l, hue: -h, ..one });
    }

    /// Weights of the look-alikes average 1.
    fn weigh(&mut self) {
        let all: Vec<f64> = self.kin.iter().flatten().map(|k| k.weight).collect();
        let mean = all.iter().sum::<f64>() / all.len().max(1) as f64;
        self.kin.iter_mut().flatten().for_each(|k| k.weight /= mean);
    }

    /// Lets colours move until none does.
    fn sweep(&mut self, mut waiting: BTreeSet<usize>) {
        let mut steps: &[i16] = &[16, 8, 4, 2, 1];
        while !waiting.is_empty() && self.work < MOST_WORK {
            let mut moved = BTreeSet::new();
            for i in std::mem::take(&mut waiting) {
                if self.settle(i, steps, Goal::Pairs) {
                    moved.extend(self.kin[i].iter().map(|k| k.other));
                }
            }
            waiting = moved;
            steps = &[3, 1];
        }
    }

    /// Pattern search for one colour; tells whether it moved.
    fn settle(&mut self, i: usize, steps: &[i16], goal: Goal) -> bool {
        let mut best = self.price(i, self.shown[i], self.values[i], goal, f64::INFINITY);
        let start = self.values[i];
        for &step in steps {
            loop {
                let mut better = false;
                for m in 0..self.moves.len() {
                    while let Some(value) = moved(self.values[i], self.moves[m], step)
                        && self.paper.ink(value) <= self.paper.ink_limit()
                    {
                        let shown = self.paper.shows(value);
                        let price = self.price(i, shown, value, goal, best);
                        if price >= best - 1e-9 {
                            break;
                        }
                        (best, better) = (price, true);
                        (self.values[i], self.shown[i]) = (value, shown);
                    }
                }
                if !better {
                    break;
                }
            }
        }
        self.values[i] != start
    }

    /// What colour `i` costs at a value; some number over `most` if it costs more than that.
    fn price(&mut self, i: usize, shown: Lab50, value: Bytes, goal: Goal, most: f64) -> f64 {
        let off = difference(self.aims[i], shown);
        let black = f64::from(value[3].abs_diff(self.plain[i][3])) / 2.55;
        let mut price = self.own * off * off + price::BLACK * black * black;
        if let Goal::Nearest = goal {
            return price;
        }
        price += price::FAR * (off - self.least[i] - price::SLACK).max(0.0).powi(2);
        self.work += 1;
        for kin in &self.kin[i] {
            if price > most {
                break;
            }
            self.work += 1;
            let other = self.shown[kin.other];
            let d = difference(shown, other);
            price += kin.weight * (d - kin.distance).powi(2);
            price += kin.force * price::CLOSE * (kin.distance.min(WANTED) - d).max(0.0).powi(2);
            price +=
                kin.force * price::ORDER * out_of_order(kin.lightness, lightness(shown, other));
            if kin.hue.abs() >= LEAST_HUE {
                price += kin.force * price::ORDER * out_of_order(kin.hue, signed_hue(shown, other));
            }
        }
        price
    }

    /// Joins pairs that came too close from afar, and raises the price of what
    /// is still broken; returns the colours concerned.
    fn press_harder(&mut self) -> BTreeSet<usize> {
        let mut again = BTreeSet::new();
        for (i, j) in self.pairs_under(WANTED) {
            let d = difference(self.aims[i], self.aims[j]);
            if d >= APART && !self.kin[i].iter().any(|k| k.other == j) {
                self.join(i, j, d);
                again.extend([i, j]);
            }
        }
        for i in 0..self.kin.len() {
            for k in 0..self.kin[i].len() {
                let kin = self.kin[i][k];
                if self.broken(i, kin) {
                    self.kin[i][k].force *= 4.0;
                    again.extend([i, kin.other]);
                }
            }
        }
        again
    }

    /// Is a pair too close or in the wrong order?
    fn broken(&self, i: usize, kin: Kin) -> bool {
        let (a, b) = (self.shown[i], self.shown[kin.other]);
        let swapped = |aim: f64, least: f64, shown: f64| aim.abs() >= least && aim * shown <= 0.0;
        difference(a, b) < kin.distance.min(APART)
            || swapped(kin.lightness, LEAST_LIGHTNESS, lightness(a, b))
            || swapped(kin.hue, LEAST_HUE, signed_hue(a, b))
    }

    /// Pairs printed under a difference, in their order.
    fn pairs_under(&self, limit: f64) -> Vec<(usize, usize)> {
        let near = pairs(&self.shown, limit).into_iter().filter(|p| p.distance < limit);
        let mut out: Vec<_> = near.map(|p| (p.first, p.second)).collect();
        out.sort_unstable();
        out
    }

    /// A pair that was apart when printed plainly is apart now: where the
    /// search failed to keep it, both colours go back. Ends with all plain at
    /// the latest.
    fn keep_promise(&mut self) {
        loop {
            let mut back = BTreeSet::new();
            for (i, j) in self.pairs_under(APART) {
                if difference(self.plain_shown[i], self.plain_shown[j]) >= APART {
                    back.extend([i, j].into_iter().filter(|c| self.values[*c] != self.plain[*c]));
                }
            }
            if back.is_empty() {
                return;
            }
            for i in back {
                (self.values[i], self.shown[i]) = (self.plain[i], self.plain_shown[i]);
            }
        }
    }
}

/// Pairs up to [`KIN`] of which either is among the other's nearest, nearest
/// first: they are the dearest to lose.
fn nearest_pairs(aims: &[Lab50]) -> Vec<Pair> {
    let mut known = vec![0; aims.len()];
    let mut out = pairs(aims, KIN);
    out.retain(|p| {
        let among = known[p.first] < MOST_KIN || known[p.second] < MOST_KIN;
        known[p.first] += 1;
        known[p.second] += 1;
        among
    });
    out
}

/// What a move is judged by.
#[derive(Debug, Clone, Copy)]
enum Goal {
    Nearest,
    Pairs,
}

/// How much an order with margin 1, or its own size if that is less, is missed, squared.
fn out_of_order(aim: f64, shown: f64) -> f64 {
    (aim.abs().min(1.0) - aim.signum() * shown).max(0.0).powi(2)
}

/// Each channel alone, two together or against each other, and colour against black.
fn moves(channels: usize) -> Vec<[i16; 4]> {
    let mut out = Vec::new();
    let mut both = |m: [i16; 4]| out.extend([m, m.map(|v| -v)]);
    for a in 0..channels {
        let mut m = [0; 4];
        m[a] = 1;
        both(m);
        for b in a + 1..channels {
            for sign in [1, -1] {
                let mut two = m;
                two[b] = sign;
                both(two);
            }
        }
    }
    both([1, 1, 1, 0]);
    if channels == 4 {
        both([1, 1, 1, -1]);
    }
    out
}

fn moved(value: Bytes, by: [i16; 4], step: i16) -> Option<Bytes> {
    let mut out = value;
    for (v, d) in out.iter_mut().zip(by) {
        let to = i16::from(*v) + d * step;
        *v = u8::try_from(to).ok()?;
    }
    Some(out)
}
