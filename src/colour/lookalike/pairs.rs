//! Which colours are close enough to be confused.

use std::cmp::Ordering;
use std::collections::{BinaryHeap, HashMap};

use super::terms::{are_far, at_least, lightness_weight};
use crate::colour::{Lab50, difference};
use crate::work::{Work, WorkKind};

/// Two colours, by their places in a list.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// Always before `second` in the list.
    pub first: usize,
    pub second: usize,
    /// CIEDE2000.
    pub distance: f64,
}

impl Pair {
    /// Nearest first; equal ones in the order of the list.
    pub(super) fn order(&self, other: &Pair) -> Ordering {
        let places = |p: &Pair| (p.first, p.second);
        self.distance.total_cmp(&other.distance).then(places(self).cmp(&places(other)))
    }
}

/// Every pair up to `limit` apart, nearest first.
pub fn pairs(colours: &[Lab50], limit: f64, work: &Work) -> Vec<Pair> {
    let mut found = Vec::new();
    each(colours, limit, work, |pair| {
        found.push(pair);
        limit
    });
    found.sort_unstable_by(Pair::order);
    found
}

/// The nearest `most` of [`pairs`], in its order, in memory for so many.
///
/// Colours of one value are compared once, so that thousands of equal ones cost no more than their pairs
/// that are handed back.
pub fn nearest(colours: &[Lab50], limit: f64, most: usize, work: &Work) -> Vec<Pair> {
    let mut places: HashMap<[u64; 3], usize> = HashMap::new();
    let mut alike: Vec<Vec<usize>> = Vec::new();
    for (i, c) in colours.iter().enumerate() {
        let class = *places.entry([c.l, c.a, c.b].map(f64::to_bits)).or_insert(alike.len());
        match alike.get_mut(class) {
            Some(members) => members.push(i),
            None => alike.push(vec![i]),
        }
    }
    let values: Vec<Lab50> = alike.iter().map(|members| colours[members[0]]).collect();
    let mut kept = Nearest { most, limit, kept: BinaryHeap::new() };
    for (value, members) in values.iter().zip(&alike) {
        let distance = difference(*value, *value);
        kept.add(Run::of(members, members, distance));
    }
    if most > 0 {
        each(&values, limit, work, |pair| {
            let Pair { first, second, distance } = pair;
            kept.add(Run::of(&alike[first], &alike[second], distance));
            // The other way round it may come to another last digit.
            let back = difference(values[second], values[first]);
            kept.add(Run::of(&alike[second], &alike[first], back));
            kept.limit
        });
    }
    spread(kept.kept.into_sorted_vec(), most)
}

/// The pairs of two lists of equal colours: the first of a pair from one, the second from the other.
#[derive(Debug, Clone, Copy)]
struct Run<'a> {
    /// Its first pair.
    nearest: Pair,
    from: &'a [usize],
    to: &'a [usize],
}

impl<'a> Run<'a> {
    /// None where nothing of the second list is behind something of the first.
    fn of(from: &'a [usize], to: &'a [usize], distance: f64) -> Option<Run<'a>> {
        let first = *from.first()?;
        let second = *to.get(to.partition_point(|t| *t <= first))?;
        Some(Run { nearest: Pair { first, second, distance }, from, to })
    }
}

impl Ord for Run<'_> {
    fn cmp(&self, other: &Self) -> Ordering {
        self.nearest.order(&other.nearest)
    }
}

impl PartialOrd for Run<'_> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Run<'_> {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Run<'_> {}

/// The runs whose first pairs are the nearest; since each has a pair, no other run has one of the nearest.
struct Nearest<'a> {
    most: usize,
    limit: f64,
    /// The furthest on top.
    kept: BinaryHeap<Run<'a>>,
}

impl<'a> Nearest<'a> {
    fn add(&mut self, run: Option<Run<'a>>) {
        let Some(run) = run.filter(|r| self.most > 0 && r.nearest.distance <= self.limit) else {
            return;
        };
        self.kept.push(run);
        if self.kept.len() > self.most {
            self.kept.pop();
        }
        if let Some(furthest) = self.kept.peek()
            && self.kept.len() == self.most
        {
            self.limit = furthest.nearest.distance;
        }
    }
}

/// The first of the latest pair.
fn last_first(kept: &BinaryHeap<(usize, usize)>) -> usize {
    kept.peek().map_or(usize::MAX, |last| last.0)
}

/// The first `most` pairs of runs that are in their order.
fn spread(runs: Vec<Run<'_>>, most: usize) -> Vec<Pair> {
    let mut out: Vec<Pair> = Vec::new();
    for equal in runs.chunk_by(|a, b| a.nearest.distance.total_cmp(&b.nearest.distance).is_eq()) {
        let room = most - out.len();
        if room == 0 {
            break;
        }
        // Of one distance: the earliest, the latest of them on top.
        let mut kept: BinaryHeap<(usize, usize)> = BinaryHeap::new();
        for run in equal {
            'run: for first in run.from {
                for second in &run.to[run.to.partition_point(|t| t <= first)..] {
                    let full = kept.len() == room;
                    if full && kept.peek().is_some_and(|last| (*first, *second) > *last) {
                        // No later first has an earlier pair.
                        if last_first(&kept) < *first {
                            break 'run;
                        }
                        break;
                    }
                    kept.push((*first, *second));
                    if full {
                        kept.pop();
                    }
                }
            }
        }
        let distance = equal[0].nearest.distance;
        let pairs = kept.into_sorted_vec().into_iter();
        out.extend(pairs.map(|(first, second)| Pair { first, second, distance }));
    }
    out
}

/// Hands over every pair up to a limit, in no order; the answer is the limit from then on.
///
/// Not every pair costs a CIEDE2000. In its formula (Sharma, Wu & Dalal 2005)
/// dE² = l² + c² + h² + R c h with |R| < 2, so c² + h² + R c h is never below
/// 0, and dE >= |l| = |dL| / SL. SL grows with the distance of the mean L*
/// from 50 (1.75 at 0 and 100), so the largest distance of any colour of the
/// list gives a reach: sorted by L*, each colour is compared with those in its
/// reach only, and of these with the ones that [`at_least`] does not rule out.
fn each(colours: &[Lab50], mut limit: f64, work: &Work, mut found: impl FnMut(Pair) -> f64) {
    let mut order: Vec<usize> = (0..colours.len()).collect();
    order.sort_by(|a, b| colours[*a].l.total_cmp(&colours[*b].l));
    let furthest = colours.iter().map(|c| (c.l - 50.0).abs()).fold(0.0, f64::max);
    let widest = lightness_weight(furthest);
    let chromas: Vec<f64> = colours.iter().map(|c| c.a.hypot(c.b)).collect();
    let mut compared = 0;
    for (at, &i) in order.iter().enumerate().take_while(|_| !work.is_stopped()) {
        for &j in &order[at + 1..] {
            if colours[j].l - colours[i].l > limit * widest {
                break;
            }
            compared += 1;
            if are_far(colours[i], colours[j], chromas[i] + chromas[j], limit) {
                continue;
            }
            if at_least(colours[i], colours[j]) > limit {
                continue;
            }
            let (first, second) = (i.min(j), i.max(j));
            let distance = difference(colours[first], colours[second]);
            if distance <= limit {
                limit = found(Pair { first, second, distance });
            }
        }
    }
    work.add(WorkKind::Pairs, compared);
}
