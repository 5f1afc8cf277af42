//! Look-alikes: which colours are close enough to be confused, and how the
//! second of two differs from the first in plain words.

use std::cmp::Ordering;
use std::collections::{BinaryHeap, HashMap};

use super::{Lab50, difference};
use crate::work::{Kind, Work};

/// The CIEDE2000 distance up to which two colours are look-alikes by default.
///
/// Common practice, no source: at arm's length, in two places, colours
/// further apart are seldom taken for each other.
pub const LIMIT: f64 = 10.0;

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
    fn order(&self, other: &Pair) -> Ordering {
        let places = |p: &Pair| (p.first, p.second);
        self.distance.total_cmp(&other.distance).then(places(self).cmp(&places(other)))
    }
}

/// How a colour differs from another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Word {
    Same,
    Lighter,
    Darker,
    Redder,
    Greener,
    Yellower,
    Bluer,
    Stronger,
    Greyer,
}

impl Word {
    /// Every word there is.
    pub const ALL: [Word; 9] = [
        Word::Same,
        Word::Lighter,
        Word::Darker,
        Word::Redder,
        Word::Greener,
        Word::Yellower,
        Word::Bluer,
        Word::Stronger,
        Word::Greyer,
    ];

    /// In lower case: 'lighter', 'the same'.
    pub fn text(self) -> &'static str {
        match self {
            Word::Same => "the same",
            Word::Lighter => "lighter",
            Word::Darker => "darker",
            Word::Redder => "redder",
            Word::Greener => "greener",
            Word::Yellower => "yellower",
            Word::Bluer => "bluer",
            Word::Stronger => "stronger",
            Word::Greyer => "greyer",
        }
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
    work.add(Kind::Pairs, compared);
}

/// SL of CIEDE2000 for a mean L* so far from 50.
fn lightness_weight(from_middle: f64) -> f64 {
    let square = from_middle * from_middle;
    1.0 + 0.015 * square / (20.0 + square).sqrt()
}

/// True only where CIEDE2000 is over a limit, at hardly any cost; `chroma` is that of both together.
///
/// c² + h² + R c h >= (1 - |R| / 2) (c² + h²), |R| <= 2 sin 60°; what c and h are divided by is at most
/// 1 + 0.045 times their mean C', which is at most 1.5 times C; and a' takes nothing off a distance.
fn are_far(first: Lab50, second: Lab50, chroma: f64, limit: f64) -> bool {
    let plane = (first.a - second.a).powi(2) + (first.b - second.b).powi(2);
    let least = 1.0 - 60f64.to_radians().sin();
    let weight = 1.0 + 0.045 * 0.75 * chroma;
    // As with `at_least`, rounding must not drop a pair that is exactly at the limit.
    plane * least > (limit * weight + 1e-6).powi(2)
}

/// A bound that CIEDE2000 never falls under, without its angles.
///
/// l and c are exact. h is taken with the largest T there can be (1 + 0.17 +
/// 0.24 + 0.32 + 0.20 = 1.93), so it is too small; |R| is taken as its largest
/// (the turn of 30 degrees at hue 275: sin 60°), and of c² + h² - R c h the
/// smallest value for any h from there up.
fn at_least(first: Lab50, second: Lab50) -> f64 {
    let Parts { l, c, dh, mean_chroma, .. } = Parts::of(first, second);
    let h = dh.abs() / (1.0 + 0.015 * mean_chroma * 1.93);
    let r = 2.0 * share_of_25(mean_chroma).sqrt() * 60f64.to_radians().sin();
    let c = c.abs();
    let h = h.max(r * c / 2.0);
    // Rounding must not drop a pair that is exactly at the limit.
    (l * l + c * c + h * h - r * c * h).max(0.0).sqrt() - 1e-6
}

/// C⁷ / (C⁷ + 25⁷).
fn share_of_25(chroma: f64) -> f64 {
    let seventh = chroma.powi(7);
    seventh / (seventh + 25f64.powi(7))
}

/// What CIEDE2000 is made of, before its angles.
struct Parts {
    /// dL' / SL and dC' / SC.
    l: f64,
    c: f64,
    /// dH', positive where the hue angle grows, without SH.
    dh: f64,
    mean_chroma: f64,
    /// a' and b of both.
    points: [(f64, f64); 2],
    chromas: [f64; 2],
}

impl Parts {
    fn of(first: Lab50, second: Lab50) -> Parts {
        let plain = (first.a.hypot(first.b) + second.a.hypot(second.b)) / 2.0;
        let stretch = 1.0 + 0.5 * (1.0 - share_of_25(plain).sqrt());
        let points = [(first.a * stretch, first.b), (second.a * stretch, second.b)];
        let chromas = points.map(|(a, b)| a.hypot(b));
        let mean_chroma = (chromas[0] + chromas[1]) / 2.0;
        let [(a1, b1), (a2, b2)] = points;
        // 2 sqrt(C1 C2) sin(dh / 2), by Pythagoras instead of the angle.
        let c = chromas[1] - chromas[0];
        let square = ((a2 - a1).powi(2) + (b2 - b1).powi(2) - c * c).max(0.0);
        let turn = a1 * b2 - a2 * b1;
        Parts {
            l: (second.l - first.l) / lightness_weight((first.l + second.l) / 2.0 - 50.0),
            c: c / (1.0 + 0.045 * mean_chroma),
            dh: square.sqrt().copysign(turn),
            mean_chroma,
            points,
            chromas,
        }
    }

    /// Mean hue in degrees, 0 to 360: halfway on the shorter way round.
    fn mean_hue(&self) -> f64 {
        let [h1, h2] = self.points.map(|(a, b)| b.atan2(a).to_degrees().rem_euclid(360.0));
        let mean = (h1 + h2) / 2.0;
        if (h1 - h2).abs() > 180.0 { (mean + 180.0).rem_euclid(360.0) } else { mean }
    }

    /// dH' / SH.
    fn h(&self) -> f64 {
        let cos = |factor: f64, shift: f64| (factor * self.mean_hue() + shift).to_radians().cos();
        let t = 1.0 - 0.17 * cos(1.0, -30.0) + 0.24 * cos(2.0, 0.0) + 0.32 * cos(3.0, 6.0)
            - 0.20 * cos(4.0, -63.0);
        self.dh / (1.0 + 0.015 * self.mean_chroma * t)
    }
}

/// Under this chroma (CIEDE2000's C') a colour has no hue to speak of.
const GREY: f64 = 5.0;
/// From this chroma on it has one that can be lost.
const COLOURED: f64 = 10.0;
/// A second word is given where its part is at least this share of the first one's.
const SECOND: f64 = 0.5;

/// How the second differs from the first: one word or two, the biggest part first.
///
/// The parts are the weighted ones of CIEDE2000, so that they can be compared:
///
/// * l: lighter or darker;
/// * c: stronger or greyer;
/// * h: the end of the a*, b* axes (redder +a, greener -a, yellower +b, bluer
///   -b) that the hue turns towards. In the quadrants' middles it turns from one
///   axis to another, and the other is named; on an axis it moves across it.
///
/// Where one of the two is grey there is no hue to turn: c and h are one part,
/// named by the direction of the step in a*, b*; only where a colour is lost
/// (from C' 10 to under 5) it is 'greyer'. The second largest part is given where
/// it is at least half the largest. What would be written as 0.00 is the same.
pub fn words(first: Lab50, second: Lab50) -> Vec<Word> {
    if difference(first, second) < 0.005 {
        return vec![Word::Same];
    }
    let parts = Parts::of(first, second);
    let signed = |part: f64, more: Word, less: Word| if part > 0.0 { more } else { less };
    let mut said = vec![(parts.l, signed(parts.l, Word::Lighter, Word::Darker))];
    let (h, [from, to]) = (parts.h(), parts.chromas);
    if from.min(to) >= GREY {
        said.push((parts.c, signed(parts.c, Word::Stronger, Word::Greyer)));
        let [more, less] = hue_words(parts.mean_hue());
        said.push((h, signed(h, more, less)));
    } else if to < GREY && from >= COLOURED {
        said.push((parts.c.hypot(h), Word::Greyer));
    } else {
        let [(a1, b1), (a2, b2)] = parts.points;
        said.push((parts.c.hypot(h), step_word(a2 - a1, b2 - b1)));
    }
    // Stable: where two are equally large, lightness comes before chroma and hue.
    said.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()));
    let largest = said.first().map_or(0.0, |s| s.0.abs());
    said.truncate(2);
    said.retain(|s| s.0.abs() >= largest * SECOND || !largest.is_finite());
    said.into_iter().map(|s| s.1).collect()
}

/// What a hue is called that turns to larger angles from here, and to smaller ones.
fn hue_words(hue: f64) -> [Word; 2] {
    use Word::{Bluer, Greener, Redder, Yellower};
    // Eighths of the circle with +a, between, +b, between, -a ... in their middles.
    let eighth = ((hue + 22.5) / 45.0).floor() as i64;
    match eighth.rem_euclid(8) {
        0 => [Yellower, Bluer],
        1 => [Yellower, Redder],
        2 => [Greener, Redder],
        3 => [Greener, Yellower],
        4 => [Bluer, Yellower],
        5 => [Bluer, Greener],
        6 => [Redder, Greener],
        _ => [Redder, Bluer],
    }
}

fn step_word(a: f64, b: f64) -> Word {
    match (a.abs() > b.abs(), a > 0.0, b > 0.0) {
        (true, true, _) => Word::Redder,
        (true, false, _) => Word::Greener,
        (false, _, true) => Word::Yellower,
        (false, _, false) => Word::Bluer,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Colours all over CIELAB, by a fixed generator (Knuth's MMIX multiplier).
    fn scattered(count: usize, seed: u64, size: [f64; 3]) -> Vec<Lab50> {
        let mut state = seed;
        let mut next = || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (state >> 11) as f64 / (1u64 << 53) as f64
        };
        (0..count)
            .map(|_| {
                let [l, a, b] = size.map(|s| (next() - 0.5) * s);
                Lab50::new(50.0 + l, a, b)
            })
            .collect()
    }

    /// Every pair, each with its CIEDE2000.
    fn all(colours: &[Lab50], limit: f64) -> Vec<Pair> {
        let mut found = Vec::new();
        for first in 0..colours.len() {
            for second in first + 1..colours.len() {
                let distance = difference(colours[first], colours[second]);
                if distance <= limit {
                    found.push(Pair { first, second, distance });
                }
            }
        }
        found.sort_by(Pair::order);
        found
    }

    #[test]
    fn no_pair_is_missed() {
        for (seed, size) in
            [(1, [100.0, 200.0, 200.0]), (2, [100.0, 10.0, 10.0]), (3, [20.0, 30.0, 30.0])]
        {
            let mut colours = scattered(700, seed, size);
            colours.extend(colours[..20].to_vec());
            for limit in [0.0, 2.0, 10.0] {
                let want = all(&colours, limit);
                assert!(want.len() >= 20);
                assert_eq!(
                    pairs(&colours, limit, &Work::default()),
                    want,
                    "seed {seed}, limit {limit}"
                );
                assert_eq!(
                    nearest(&colours, limit, 13, &Work::default()),
                    want[..13],
                    "seed {seed}, limit {limit}"
                );
                assert_eq!(nearest(&colours, limit, usize::MAX, &Work::default()), want);
            }
        }
        assert!(nearest(&[Lab50::new(1.0, 2.0, 3.0); 3], 1.0, 0, &Work::default()).is_empty());
    }

    /// Many equal ones, in classes that lie among each other.
    #[test]
    fn equal_colours_are_paired_in_their_order() {
        let three = scattered(3, 5, [3.0, 3.0, 3.0]);
        let colours: Vec<Lab50> = (0..90).map(|i| three[i * i % 7 % 3]).collect();
        let want = all(&colours, 10.0);
        for most in [1, 2, 50, 800, 3_000, 10_000] {
            let found = nearest(&colours, 10.0, most, &Work::default());
            assert_eq!(found, want[..most.min(want.len())], "{most}");
        }
        let started = std::time::Instant::now();
        let equal = vec![three[0]; 20_000];
        let found = nearest(&equal, 10.0, 100_000, &Work::default());
        assert_eq!((found.len(), found[19_999].first, found[19_999].second), (100_000, 1, 2));
        // Comparing all took minutes.
        assert!(started.elapsed().as_secs() < 20);
    }

    /// Blues too, where the rotation term pulls chroma and hue together.
    #[test]
    fn the_bound_is_below_and_the_parts_make_the_distance() {
        let mut tight = 0.0f64;
        for size in [[100.0, 240.0, 240.0], [100.0, 20.0, 20.0]] {
            let colours = scattered(900, 7, size);
            for (k, first) in colours.iter().enumerate() {
                for second in &colours[k + 1..] {
                    let distance = difference(*first, *second);
                    let bound = at_least(*first, *second);
                    assert!(bound <= distance, "{first:?} {second:?}: {bound} > {distance}");
                    tight = tight.max(bound / distance);
                    let parts = Parts::of(*first, *second);
                    let (h, turn) = (parts.h(), parts.mean_hue() - 275.0);
                    let theta = 30.0 * (-(turn / 25.0).powi(2)).exp();
                    let r = -2.0
                        * share_of_25(parts.mean_chroma).sqrt()
                        * (2.0 * theta).to_radians().sin();
                    let sum = parts.l.powi(2) + parts.c.powi(2) + h * h + r * parts.c * h;
                    // palette takes a mean hue just over 0 as one over 360: 1e-5 of a turn.
                    assert!((sum.sqrt() - distance).abs() < 1e-3, "{first:?} {second:?}");
                }
            }
        }
        assert!(tight > 0.99, "of no use: {tight}");
    }

    fn said(first: (f64, f64, f64), second: (f64, f64, f64)) -> String {
        let lab = |c: (f64, f64, f64)| Lab50::new(c.0, c.1, c.2);
        let words: Vec<&str> = words(lab(first), lab(second)).into_iter().map(Word::text).collect();
        words.join(", ")
    }

    #[test]
    fn one_part_one_word() {
        let navy = (30.0, 5.0, -30.0);
        assert_eq!(said(navy, navy), "the same");
        assert_eq!(said(navy, (30.001, 5.0, -30.0)), "the same");
        assert_eq!(said(navy, (34.0, 5.0, -30.0)), "lighter");
        assert_eq!(said((34.0, 5.0, -30.0), navy), "darker");
        assert_eq!(said((50.0, 40.0, 20.0), (50.0, 44.0, 22.0)), "stronger");
        assert_eq!(said((50.0, 44.0, 22.0), (50.0, 40.0, 20.0)), "greyer");
    }

    /// One step round the circle from each eighth, both ways.
    #[test]
    fn hues_turn_towards_an_axis() {
        let at = |hue: f64| (50.0, 40.0 * hue.to_radians().cos(), 40.0 * hue.to_radians().sin());
        for (hue, more, less) in [
            (0.0, "yellower", "bluer"),
            (50.0, "yellower", "redder"),
            (90.0, "greener", "redder"),
            (135.0, "greener", "yellower"),
            (180.0, "bluer", "yellower"),
            (225.0, "bluer", "greener"),
            (270.0, "redder", "greener"),
            (315.0, "redder", "bluer"),
        ] {
            assert_eq!(said(at(hue - 4.0), at(hue + 4.0)), more, "{hue}");
            assert_eq!(said(at(hue + 4.0), at(hue - 4.0)), less, "{hue}");
        }
    }

    #[test]
    fn two_parts_two_words_the_biggest_first() {
        // dL 4 at L 52: about 3.9; dC 4 at C 47: about 1.3.
        assert_eq!(said((50.0, 40.0, 20.0), (54.0, 44.0, 22.0)), "lighter");
        assert_eq!(said((50.0, 40.0, 20.0), (52.0, 44.0, 22.0)), "lighter, stronger");
        assert_eq!(said((50.0, 40.0, 20.0), (51.0, 50.0, 25.0)), "stronger");
        assert_eq!(said((50.0, 40.0, 20.0), (48.0, 48.0, 24.0)), "stronger, darker");
    }

    #[test]
    fn greys_have_no_hue() {
        assert_eq!(said((60.0, 0.0, 0.0), (60.0, 0.3, 4.0)), "yellower");
        assert_eq!(said((60.0, 0.3, 4.0), (60.0, 0.0, 0.0)), "bluer");
        assert_eq!(said((60.0, 1.0, 0.0), (60.0, -2.0, 0.5)), "greener");
        assert_eq!(said((60.0, 0.0, 0.0), (60.0, 8.0, 2.0)), "redder");
        assert_eq!(said((60.0, 12.0, 4.0), (60.0, 1.0, 0.0)), "greyer");
    }

    /// Seen from the other side it is the other word.
    #[test]
    fn words_are_turned_round() {
        use Word::*;
        let opposite = |word: Word| match word {
            Lighter => Darker,
            Darker => Lighter,
            Stronger => Greyer,
            Greyer => Stronger,
            word => word,
        };
        let colours = scattered(300, 11, [60.0, 120.0, 120.0]);
        let mut met = std::collections::BTreeSet::new();
        for pair in pairs(&colours, 20.0, &Work::default()) {
            let (first, second) = (colours[pair.first], colours[pair.second]);
            if first.a.hypot(first.b) < 8.0 || second.a.hypot(second.b) < 8.0 {
                continue;
            }
            let (there, back) = (words(first, second), words(second, first));
            assert_eq!(there.len(), back.len());
            for (there, back) in there.iter().zip(&back) {
                met.insert(*there);
                let hue = matches!(there, Redder | Greener | Yellower | Bluer);
                assert!(if hue { there != back } else { opposite(*there) == *back });
            }
        }
        assert_eq!(met.len(), 8, "{met:?}");
    }

    #[test]
    fn odd_numbers_do_no_harm() {
        let odd = [f64::NAN, f64::INFINITY, 0.0].map(|v| Lab50::new(v, v, v));
        assert!(
            pairs(&odd, 10.0, &Work::default()).len() <= 3 && !words(odd[0], odd[2]).is_empty()
        );
    }
}
