//! One colour after the other to where its share of the price is least, until nothing moves.

use std::collections::BTreeSet;

use super::order::{Order, Seen};
use super::price::{APART, Kin, Own, Prices};
use crate::colour::lookalike::{Pair, pairs};
use crate::colour::{Lab50, difference};
use crate::press::paper::{Bytes, Paper};
use crate::work::Work;

/// Pairs up to this difference are held apart as they are (CIEDE2000): a little more than are reported.
pub const KIN: f64 = 10.5;
/// A colour is held apart from so many nearest ones; from others when they come too close.
const MOST_KIN: usize = 64;
/// The difference itself is held from so many nearest ones.
const NEAR_KIN: usize = 4;
/// Most that the price of a broken pair is raised.
const MOST_FORCE: f64 = 1e6;
/// How often waves of moves may run through the colours.
const MOST_WAVES: usize = 40;
/// Steps of the first search of a colour, in 255ths.
const FIRST: &[i16] = &[16, 8, 4, 2, 1];
/// A value tried costs as much as so many pairs.
pub(super) const VALUE_WORK: u64 = 3;

/// The state of a search.
pub(super) struct Search<'a> {
    pub paper: &'a Paper,
    pub own: Vec<Own>,
    pub values: Vec<Bytes>,
    pub shown: Vec<Seen>,
    pub kin: Vec<Vec<Kin>>,
    moves: Vec<[i16; 4]>,
    pub prices: Prices,
    /// Steps of the first wave through the colours, and of the later ones, in 255ths.
    pub first: &'static [i16],
    pub later: &'static [i16],
    /// Pairs looked at so far, and when to stop. Counted, not timed, so that the same input gives
    /// the same values.
    pub work: u64,
    pub end: u64,
    /// What all work is counted with, and asked.
    pub counts: Work,
}

/// Values with what they show, to go back to.
#[derive(Clone)]
pub(super) struct Found {
    values: Vec<Bytes>,
    shown: Vec<Seen>,
}

/// A value that is tried, and what the paper shows of it.
struct Trial {
    value: Bytes,
    shown: Seen,
}

/// What a move is judged by.
#[derive(Clone, Copy)]
enum Goal {
    /// Nothing but the way to a colour.
    Near(Seen),
    Pairs,
}

impl<'a> Search<'a> {
    /// Every colour as near to its aim as the paper can come, with no pairs yet.
    pub fn new(paper: &'a Paper, aims: &[Lab50], plain: &[Bytes]) -> Search<'a> {
        let shown: Vec<Seen> = plain.iter().map(|v| Seen::of(paper.shows(*v))).collect();
        let own = |((aim, plain_value), plain): ((&Lab50, &Bytes), &Seen)| Own {
            aim: Seen::of(*aim),
            plain: *plain,
            plain_value: *plain_value,
            least: 0.0,
        };
        let mut search = Search {
            paper,
            own: aims.iter().zip(plain).zip(&shown).map(own).collect(),
            values: plain.to_vec(),
            shown,
            kin: vec![Vec::new(); aims.len()],
            moves: moves(paper.channels()),
            prices: Prices::FIRST,
            first: FIRST,
            later: &[3, 1],
            work: 0,
            end: u64::MAX,
            counts: Work::default(),
        };
        for (i, aim) in aims.iter().enumerate() {
            search.go_near(i, Seen::of(*aim));
            search.own[i].least = difference(*aim, search.shown[i].lab);
        }
        search
    }

    /// Joins all pairs that are to be kept apart.
    pub fn join_pairs(&mut self) {
        let aims: Vec<Lab50> = self.own.iter().map(|o| o.aim.lab).collect();
        for pair in nearest_pairs(&aims, &self.counts) {
            self.join(pair.first, pair.second, pair.distance);
        }
        // Weights average 1.
        let weights = || self.kin.iter().flatten().map(|k| k.weight).filter(|w| *w > 0.0);
        let mean = weights().sum::<f64>() / weights().count().max(1) as f64;
        self.kin.iter_mut().flatten().for_each(|k| k.weight /= mean);
    }

    fn join(&mut self, i: usize, j: usize, distance: f64) {
        let near = self.kin[i].len() < NEAR_KIN || self.kin[j].len() < NEAR_KIN;
        let weight = if near { 1.0 / distance.max(1.0).powi(2) } else { 0.0 };
        let order = Order::of(&self.own[i].aim, &self.own[j].aim);
        let one = Kin { other: j, distance, weight, force: 1.0, order, more: 0.0 };
        self.kin[i].push(one);
        self.kin[j].push(Kin { other: i, order: order.back(), ..one });
    }

    /// Gives a colour a value.
    pub fn put(&mut self, i: usize, value: Bytes) {
        self.values[i] = value;
        self.shown[i] = Seen::of(self.paper.shows(value));
    }

    /// The values as they are now.
    pub fn found(&self) -> Found {
        Found { values: self.values.clone(), shown: self.shown.clone() }
    }

    /// Takes values again that were found before.
    pub fn go_back(&mut self, found: Found) {
        (self.values, self.shown) = (found.values, found.shown);
    }

    /// Takes a colour as near as it comes to another than its aim.
    pub fn go_near(&mut self, i: usize, aim: Seen) {
        self.settle(i, FIRST, Goal::Near(aim));
    }

    /// Lets colours move until none does, and presses harder on what stays broken.
    pub fn mend(&mut self, colours: BTreeSet<usize>, rounds: usize) {
        const PATIENCE: usize = 6;
        self.sweep(colours);
        let (mut fewest, mut stale) = (usize::MAX, 0);
        for _ in 0..rounds {
            let again = self.press_harder();
            if again.is_empty() || self.is_spent() {
                return;
            }
            self.sweep(again);
            let broken = self.broken().len();
            stale = if broken < fewest { 0 } else { stale + 1 };
            fewest = fewest.min(broken);
            if stale > PATIENCE {
                return;
            }
        }
    }

    /// No more is to be done, or nobody waits for it.
    pub fn is_spent(&self) -> bool {
        self.work >= self.end || self.counts.is_stopped()
    }

    fn sweep(&mut self, mut waiting: BTreeSet<usize>) {
        let mut steps = self.first;
        for _ in 0..MOST_WAVES {
            if waiting.is_empty() || self.is_spent() {
                return;
            }
            let mut moved = BTreeSet::new();
            for i in std::mem::take(&mut waiting) {
                if !self.is_spent() && self.settle(i, steps, Goal::Pairs) {
                    let kin = self.kin[i].iter();
                    moved.extend(kin.filter(|k| self.minds(i, k)).map(|k| k.other));
                }
            }
            waiting = moved;
            steps = self.later;
        }
    }

    /// Does a pair cost anything as it is?
    fn minds(&self, i: usize, kin: &Kin) -> bool {
        let (own, other) = (&self.shown[i], &self.shown[kin.other]);
        kin.weight > 0.0 || kin.price(&self.prices, own, other) > 0.0
    }

    /// Pattern search for one colour; returns whether it moved.
    fn settle(&mut self, i: usize, steps: &[i16], goal: Goal) -> bool {
        let shown = self.shown[i];
        let mut best = self.price(i, &Trial { value: self.values[i], shown }, goal, f64::INFINITY);
        let start = self.values[i];
        for &step in steps {
            loop {
                let mut better = false;
                for m in 0..self.moves.len() {
                    while let Some(value) = moved(self.values[i], self.moves[m], step)
                        && self.paper.ink(value) <= self.paper.most_ink()
                    {
                        let shown = Seen::of(self.paper.shows(value));
                        let price = self.price(i, &Trial { value, shown }, goal, best);
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

    /// What a colour costs at a value; some number over `most` if it costs more than that.
    fn price(&mut self, i: usize, trial: &Trial, goal: Goal, most: f64) -> f64 {
        let Trial { value, shown } = trial;
        self.work += VALUE_WORK;
        let mut price = match goal {
            Goal::Near(aim) => return self.own[i].off(&aim, &self.prices, shown, *value),
            Goal::Pairs => self.own[i].price(&self.prices, shown, *value),
        };
        for kin in &self.kin[i] {
            if price > most {
                break;
            }
            self.work += 1;
            price += kin.price(&self.prices, shown, &self.shown[kin.other]);
        }
        price
    }

    /// Joins pairs that came too close from afar, and raises the price of what
    /// is still broken; returns the colours concerned.
    fn press_harder(&mut self) -> BTreeSet<usize> {
        let mut again = self.join_close();
        for (i, j) in self.broken() {
            for (from, to) in [(i, j), (j, i)] {
                for kin in self.kin[from].iter_mut().filter(|k| k.other == to) {
                    kin.force = (kin.force * 2.0).min(MOST_FORCE);
                }
                again.insert(from);
            }
        }
        again
    }

    /// Joins pairs that came too close from afar; returns the colours concerned.
    pub fn join_close(&mut self) -> BTreeSet<usize> {
        let mut out = BTreeSet::new();
        for (i, j) in self.pairs_under(self.prices.apart) {
            let d = difference(self.own[i].aim.lab, self.own[j].aim.lab);
            if d >= APART && !self.kin[i].iter().any(|k| k.other == j) {
                self.join(i, j, d);
                out.extend([i, j]);
            }
        }
        out
    }

    /// Presses on no pair more than on another.
    pub fn ease(&mut self) {
        self.kin.iter_mut().flatten().for_each(|k| k.force = 1.0);
    }

    /// Forces back towards 1, where the search begins anew from what it found.
    pub fn relax(&mut self) {
        self.kin.iter_mut().flatten().for_each(|k| k.force = k.force.sqrt().max(1.0));
    }

    /// Pairs that are too close or in the wrong order.
    pub fn broken(&self) -> Vec<(usize, usize)> {
        let of = |(i, kin): (usize, &Vec<Kin>)| {
            let kin = kin.iter().filter(move |k| k.other > i);
            let kin = kin.filter(move |k| k.is_broken(&self.shown[i], &self.shown[k.other]));
            kin.map(move |k| (i, k.other)).collect::<Vec<_>>()
        };
        self.kin.iter().enumerate().flat_map(of).collect()
    }

    /// Pairs printed under a difference, in their order.
    pub fn pairs_under(&self, limit: f64) -> Vec<(usize, usize)> {
        let shown: Vec<Lab50> = self.shown.iter().map(|s| s.lab).collect();
        let near = pairs(&shown, limit, &self.counts).into_iter().filter(|p| p.distance < limit);
        let mut out: Vec<_> = near.map(|p| (p.first, p.second)).collect();
        out.sort_unstable();
        out
    }

    /// What all colours and pairs cost.
    pub fn total(&self) -> f64 {
        let of = |i: usize| {
            let shown = &self.shown[i];
            let pairs = self.kin[i].iter().filter(|k| k.other > i);
            let pairs = pairs.map(|k| k.price(&self.prices, shown, &self.shown[k.other]));
            self.own[i].price(&self.prices, shown, self.values[i]) + pairs.sum::<f64>()
        };
        (0..self.own.len()).map(of).sum()
    }

    /// Mean CIEDE2000 between the aims and what is shown.
    pub fn mean_off(&self) -> f64 {
        self.mean(self.own.iter().zip(&self.shown))
    }

    /// The same of plain values.
    pub fn plain_mean_off(&self) -> f64 {
        self.mean(self.own.iter().map(|own| (own, &own.plain)))
    }

    fn mean<'s>(&self, shown: impl Iterator<Item = (&'s Own, &'s Seen)>) -> f64 {
        let off = shown.map(|(own, shown)| difference(own.aim.lab, shown.lab));
        off.sum::<f64>() / self.own.len().max(1) as f64
    }

    /// All colours.
    pub fn all(&self) -> BTreeSet<usize> {
        (0..self.own.len()).collect()
    }
}

/// Pairs up to [`KIN`] of which either is among the other's nearest, nearest
/// first: they are the dearest to lose.
fn nearest_pairs(aims: &[Lab50], work: &Work) -> Vec<Pair> {
    let mut known = vec![0; aims.len()];
    let mut out = pairs(aims, KIN, work);
    out.retain(|p| {
        let among = known[p.first] < MOST_KIN || known[p.second] < MOST_KIN;
        known[p.first] += 1;
        known[p.second] += 1;
        among
    });
    out
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
