//! Simulated annealing (Kirkpatrick, Gelatt, Vecchi 1983), for sets of which better and better values
//! leave pairs broken: what a paper shows of sRGB is rough where a house's conversion clips, and the
//! way to good values leads through worse ones of many colours.

use std::collections::BTreeMap;

use super::order::Seen;
use super::price::{APART, FREE_CAST, FREE_TURN, Kin, MOST_TURN, Own, may_be_within};
use super::search::{Found, Search, VALUE_WORK};
use crate::colour::difference;
use crate::press::paper::Bytes;

/// How hot it begins and ends; a fault costs [`FAULT`] and more.
const HOT: f64 = 10.0;
const COLD: f64 = 0.02;
/// Steps of a value in 255ths: one of these and all smaller ones.
const REACH: [i64; 5] = [1, 2, 4, 12, 40];
/// Of a colour's own distance from its aim and of its turn or cast, squared.
const OWN: f64 = 0.02;
const TURN: f64 = 0.01;
/// Of a turn to another hue, a degree, and of a cast that makes a grey a colour, a CIELAB unit.
const ANOTHER: f64 = 10.0;
/// A cast may be so much more than what is free, or than that of the plain value.
const MORE_CAST: f64 = 1.0;
/// Of being farther from the aims on average than plain values: of the sum over all. Dearer, and no fault
/// can be corrected before others are nearer.
const OVER: f64 = 1.0;
/// Differences together have to stay so much under those of plain values.
const UNDER: f64 = 1.0;
/// Of a pair that is too close or in the wrong order: each, and by how much.
const FAULT: f64 = 2.0;
const SIZE: f64 = 3.0;
/// Margins, so that a fault is none when what is shown is rounded: of orders, and of [`APART`].
const MARGIN: f64 = 0.08;
const APART_MARGIN: f64 = 0.02;
/// Steps of each colour between looks for pairs that came too close from afar, and for the best so far.
const LOOK: u64 = 40;
/// What such a look costs, for each colour.
const LOOK_WORK: u64 = 200;
/// From this share of the steps on it is cold enough to stop when nothing is broken.
const COOL: f64 = 0.9;

/// What everything costs at the moment, kept so that a step has to look at one colour only.
struct Costs {
    /// Of each colour: its distance from the aim, and what it costs with its pairs.
    off: Vec<f64>,
    all: Vec<f64>,
    /// Of each pair, as seen from each of its colours, in the order of [`Search::kin`].
    pair: Vec<Vec<f64>>,
    /// The pair's place among those of the other colour.
    back: Vec<Vec<usize>>,
    /// All distances together.
    sum: f64,
    /// What the pairs of a disturbed colour cost.
    fresh: Vec<f64>,
}

impl Costs {
    fn of(search: &Search<'_>) -> Costs {
        let colours = || search.own.iter().zip(&search.shown);
        let off: Vec<f64> = colours().map(|(own, shown)| own.distance(shown)).collect();
        let pair: Vec<Vec<f64>> = search
            .kin
            .iter()
            .zip(&search.shown)
            .map(|(kin, shown)| kin.iter().map(|k| k.heat(shown, &search.shown[k.other])).collect())
            .collect();
        let mut places: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        for (i, kin) in search.kin.iter().enumerate() {
            places.extend(kin.iter().enumerate().map(|(n, k)| ((i, k.other), n)));
        }
        let back =
            |(i, kin): (usize, &Vec<Kin>)| kin.iter().map(|k| places[&(k.other, i)]).collect();
        let back = search.kin.iter().enumerate().map(back).collect();
        let own = colours().zip(&off).map(|((own, shown), off)| own.heat(shown, *off));
        let all = own.zip(&pair).map(|(own, pairs)| own + pairs.iter().sum::<f64>()).collect();
        let sum = off.iter().sum();
        Costs { off, all, pair, back, sum, fresh: Vec::new() }
    }
}

impl Search<'_> {
    /// Anneals, from the plain values on, whose mean difference from the aims is `plain`. Ends with the
    /// fewest faults that were seen while colours were no farther from the aims; unchanged if never so.
    pub fn anneal(&mut self, plain: f64, work: u64, seed: u64) {
        let before = self.found();
        let count = self.own.len();
        for i in 0..count {
            self.put(i, self.own[i].plain_value);
        }
        let limit = plain * count as f64;
        let mut random = fastrand::Rng::with_seed(seed);
        let mut costs = Costs::of(self);
        let mut best: Option<(usize, Found)> = None;
        let look = LOOK * count as u64;
        let begun = self.work;
        for step in 0u64.. {
            let done = (self.work - begun) as f64 / work as f64;
            if done >= 1.0 || (step % 256 == 0 && self.counts.is_stopped()) {
                break;
            }
            if step % look == 0 {
                self.work += LOOK_WORK * count as u64;
                if !self.join_close().is_empty() {
                    costs = Costs::of(self);
                }
                let broken = self.broken().len();
                if costs.sum <= limit && best.as_ref().is_none_or(|(b, _)| broken < *b) {
                    best = Some((broken, self.found()));
                }
                if done > COOL && best.as_ref().is_some_and(|(b, _)| *b == 0) {
                    break;
                }
            }
            self.disturb(&mut costs, HOT * (COLD / HOT).powf(done), limit, &mut random);
        }
        self.go_back(best.map_or(before, |(_, found)| found));
    }

    /// Gives one colour another value, if that is better, or at some heat by luck.
    fn disturb(&mut self, costs: &mut Costs, heat: f64, limit: f64, random: &mut fastrand::Rng) {
        let i = random.usize(..self.own.len());
        let value = disturbed(self.values[i], self.paper.channels(), random);
        if value == self.values[i] || self.paper.ink(value) > self.paper.most_ink() {
            return;
        }
        let shown = Seen::of(self.paper.shows(value));
        let off = self.own[i].distance(&shown);
        let sum = costs.sum - costs.off[i] + off;
        let over = |sum: f64| OVER * (sum - limit + UNDER).max(0.0);
        let luck = -heat * random.f64().max(f64::MIN_POSITIVE).ln();
        let most = costs.all[i] + over(costs.sum) + luck - over(sum);
        let mut all = self.own[i].heat(&shown, off);
        self.work += VALUE_WORK;
        costs.fresh.clear();
        for kin in &self.kin[i] {
            if all > most {
                return;
            }
            let heat = kin.heat(&shown, &self.shown[kin.other]);
            self.work += 1;
            costs.fresh.push(heat);
            all += heat;
        }
        if all > most {
            return;
        }
        (self.values[i], self.shown[i]) = (value, shown);
        (costs.off[i], costs.all[i], costs.sum) = (off, all, sum);
        for (n, kin) in self.kin[i].iter().enumerate() {
            let (heat, back) = (costs.fresh[n], costs.back[i][n]);
            costs.all[kin.other] += heat - costs.pair[i][n];
            (costs.pair[i][n], costs.pair[kin.other][back]) = (heat, heat);
        }
    }
}

/// One channel, or some, moved at random.
fn disturbed(value: Bytes, channels: usize, random: &mut fastrand::Rng) -> Bytes {
    let reach = REACH[random.usize(..REACH.len())];
    let all = random.u8(..3) == 0;
    let mut out = value;
    for v in out.iter_mut().take(channels) {
        if all || random.bool() {
            *v = (i64::from(*v) + random.i64(-reach..=reach)).clamp(0, 255) as u8;
        }
    }
    out
}

impl Own {
    fn distance(&self, shown: &Seen) -> f64 {
        difference(self.aim.lab, shown.lab)
    }

    fn heat(&self, shown: &Seen, off: f64) -> f64 {
        let turn = self.aim.turn(shown);
        let most = self.aim.turn(&self.plain).max(MOST_TURN) - 0.5;
        let (turned, cast) = (turn - FREE_TURN, self.aim.cast(shown) - FREE_CAST);
        let most_cast = (self.aim.cast(&self.plain) - FREE_CAST).max(0.0) + MORE_CAST;
        OWN * off * off
            + TURN * (turned.max(0.0).powi(2) + cast.max(0.0).powi(2))
            + ANOTHER * ((turn - most).max(0.0) + (cast - most_cast).max(0.0))
    }
}

impl Kin {
    /// Faults by their number first: squares of their sizes let many small ones stay.
    fn heat(&self, own: &Seen, other: &Seen) -> f64 {
        let fault = |by: f64| if by > 0.0 { FAULT + SIZE * by } else { 0.0 };
        let order = |(aim, shown): (f64, f64)| match aim {
            0.0 => 0.0,
            _ => fault(MARGIN - aim.signum() * shown),
        };
        let orders: f64 = self.order.kinds(own, other).into_iter().map(order).sum();
        let apart = self.distance.min(APART + APART_MARGIN);
        if may_be_within(own, other, APART + APART_MARGIN) {
            orders + fault(apart - difference(own.lab, other.lab))
        } else {
            orders
        }
    }
}
