//! Orders in which close colours are together: by lightness, by hue, and
//! the neighbours' path, on which all the steps together are as small as can be.
//!
//! Each gives the places of the colours in the list, in their new order, every
//! place once. The same list gives the same order.

use std::cmp::Ordering;

use super::{Lab50, difference};
use crate::tour::{Steps, exact, shorten, walk};
use crate::work::Work;

/// Below this chroma (C*ab) a colour is a neutral: one unit of a* or b*, hardly
/// seen, turns its hue by 7 degrees and more. Common practice, no source.
pub const NEUTRAL: f64 = 8.0;

/// Up to so many colours the shortest path is found exactly.
pub const EXACT: usize = 13;
/// Up to so many colours the whole path is looked at; their differences take 8 MB.
const WHOLE: usize = 1000;
/// Longer paths are made shorter in stretches of so many colours, each half over the one before.
const STRETCH: usize = 400;
/// Differences looked at for the first paths, about: 40 million take a tenth of a second.
const LOOKS: usize = 40_000_000;
/// The first paths that are made shorter by moves: at most so many ...
const TRIES: usize = 16;
/// ... and fewer in long lists: so many by the square of their length.
const TRIES_SQUARED: usize = 2_000_000;

/// From light to dark by L*; ties by hue (neutrals first), then as listed.
pub fn lightness(colours: &[Lab50]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..colours.len()).collect();
    order.sort_by(|&a, &b| {
        let (a, b) = (colours[a], colours[b]);
        lighter_first(a, b).then(hue_of(a).total_cmp(&hue_of(b)))
    });
    order
}

/// Neutrals from light to dark, then the others round the circle of hues (h_ab
/// rising: red, yellow, green, blue, purple); ties from light to dark, then as
/// listed.
///
/// The circle is opened where no colour lies over the widest arc, so that what
/// is first and last is not a close pair torn apart; of arcs of one width,
/// where the first from hue 0 on ends.
pub fn hue(colours: &[Lab50]) -> Vec<usize> {
    let (mut neutral, mut round): (Vec<usize>, Vec<usize>) =
        (0..colours.len()).partition(|&i| is_neutral(colours[i]));
    neutral.sort_by(|&a, &b| lighter_first(colours[a], colours[b]));
    round.sort_by(|&a, &b| {
        let (a, b) = (colours[a], colours[b]);
        hue_of(a).total_cmp(&hue_of(b)).then(lighter_first(a, b))
    });
    let hues: Vec<f64> = round.iter().map(|&i| hue_of(colours[i])).collect();
    round.rotate_left(after_widest_arc(&hues));
    neutral.extend(round);
    neutral
}

/// The open path of least total CIEDE2000 through all colours, from `first`
/// where it is given; else its lighter end comes first (of ends alike, the one
/// listed before).
///
/// Exact up to [`EXACT`] colours, after that [`nearly_shortest`]. Colours of
/// one value keep their order.
pub fn neighbours(colours: &[Lab50], first: Option<usize>, work: &Work) -> Vec<usize> {
    let first = first.filter(|f| *f < colours.len());
    if colours.len() > EXACT {
        return nearly_shortest(colours, first, work);
    }
    let steps = steps(colours);
    told_one_way(colours, exact(&steps, first), first)
}

/// The same by search: nearest neighbour from every start (in lists over 340
/// from as many as time allows), and the three other orders, are made shorter
/// by turning runs round (2-opt) and moving runs of up to three (Or-opt) until
/// no move helps. So it is never longer than another order.
///
/// Over 1,000 colours the first path uses plain CIELAB distance, and moves
/// stay within stretches of 400.
pub fn nearly_shortest(colours: &[Lab50], first: Option<usize>, work: &Work) -> Vec<usize> {
    let n = colours.len();
    let first = first.filter(|f| *f < n);
    let mut others = [(0..n).collect(), lightness(colours), hue(colours)];
    others.iter_mut().for_each(|order| bring_to_front(order, first));
    let path = match n <= WHOLE {
        true => whole(colours, first, others, work),
        false => long(colours, first, others, work),
    };
    told_one_way(colours, path, first)
}

fn whole(
    colours: &[Lab50],
    first: Option<usize>,
    others: [Vec<usize>; 3],
    work: &Work,
) -> Vec<usize> {
    let n = colours.len();
    let steps = steps(colours);
    let mut paths = walks(&steps, first);
    paths.extend(others);
    let mut paths: Vec<(f64, Vec<usize>)> =
        paths.into_iter().map(|p| (steps.total(&p), p)).collect();
    paths.sort_by(|a, b| a.0.total_cmp(&b.0));
    paths.dedup();
    paths.truncate((TRIES_SQUARED / (n * n).max(1)).clamp(1, TRIES));
    for (total, path) in &mut paths {
        shorten(&steps, path, usize::from(first.is_some())..n, work);
        *total = steps.total(path);
    }
    paths.into_iter().min_by(|a, b| a.0.total_cmp(&b.0)).map(|p| p.1).unwrap_or_default()
}

fn long(
    colours: &[Lab50],
    first: Option<usize>,
    others: [Vec<usize>; 3],
    work: &Work,
) -> Vec<usize> {
    let n = colours.len();
    let apart = |a: usize, b: usize| {
        let (a, b) = (colours[a], colours[b]);
        (a.l - b.l).powi(2) + (a.a - b.a).powi(2) + (a.b - b.b).powi(2)
    };
    let paths = others.into_iter().chain([walk(n, vec![first.unwrap_or(0)], apart)]);
    let paths = paths.map(|p| (total(colours, &p), p));
    let mut path = paths.min_by(|a, b| a.0.total_cmp(&b.0)).map(|p| p.1).unwrap_or_default();
    for from in (0..n.saturating_sub(STRETCH / 2)).step_by(STRETCH / 2) {
        let to = n.min(from + STRETCH);
        let stretch: Vec<Lab50> = path[from..to].iter().map(|i| colours[*i]).collect();
        let mut order: Vec<usize> = (0..stretch.len()).collect();
        // Where the path goes on, the colour at the end stays.
        let free_from = usize::from(from > 0 || first.is_some());
        let free_to = stretch.len() - usize::from(to < n);
        shorten(&steps(&stretch), &mut order, free_from..free_to, work);
        let moved: Vec<usize> = order.iter().map(|i| path[from + i]).collect();
        path[from..to].copy_from_slice(&moved);
    }
    path
}

/// The sum of CIEDE2000 from each colour of an order to the next.
pub fn total(colours: &[Lab50], order: &[usize]) -> f64 {
    order.windows(2).map(|w| difference(colours[w[0]], colours[w[1]])).sum()
}

fn lighter_first(a: Lab50, b: Lab50) -> Ordering {
    b.l.total_cmp(&a.l)
}

fn is_neutral(colour: Lab50) -> bool {
    colour.a.hypot(colour.b) < NEUTRAL
}

/// Degrees, 0 to 360; -1 for a neutral.
fn hue_of(colour: Lab50) -> f64 {
    if is_neutral(colour) {
        return -1.0;
    }
    colour.b.atan2(colour.a).to_degrees().rem_euclid(360.0)
}

/// Which of some rising hues ends the widest arc without any.
fn after_widest_arc(hues: &[f64]) -> usize {
    let Some(last) = hues.last() else { return 0 };
    let mut before = last - 360.0;
    let mut widest = (f64::MIN, 0);
    for (i, hue) in hues.iter().enumerate() {
        // A wider arc by less than a millionth of a degree is rounding.
        if hue - before > widest.0 + 1e-6 {
            widest = (hue - before, i);
        }
        before = *hue;
    }
    widest.1
}

fn bring_to_front(order: &mut [usize], first: Option<usize>) {
    if let Some(at) = first.and_then(|f| order.iter().position(|i| *i == f)) {
        order[..=at].rotate_right(1);
    }
}

/// Of a path and its reverse one, and colours of one value as listed.
fn told_one_way(colours: &[Lab50], mut path: Vec<usize>, first: Option<usize>) -> Vec<usize> {
    as_listed(colours, &mut path, first);
    if let (None, Some(&start), Some(&end)) = (first, path.first(), path.last()) {
        let alike = path.iter().rev().take_while(|i| colours[**i] == colours[end]);
        let rule = lighter_first(colours[start], colours[end])
            .then(start.cmp(alike.min().unwrap_or(&end)));
        if rule == Ordering::Greater {
            path.reverse();
            as_listed(colours, &mut path, first);
        }
    }
    path
}

/// Neighbours of one value as listed.
fn as_listed(colours: &[Lab50], path: &mut [usize], first: Option<usize>) {
    let free = &mut path[usize::from(first.is_some())..];
    for alike in free.chunk_by_mut(|a, b| colours[*a] == colours[*b]) {
        alike.sort_unstable();
    }
}

/// CIEDE2000 between any two colours of a list.
fn steps(colours: &[Lab50]) -> Steps {
    Steps::new(colours.len(), |a, b| difference(colours[a], colours[b]))
}

/// Nearest neighbour from every start, or from as many as time allows, evenly
/// spread over the list. With a first colour the second one takes every turn.
fn walks(steps: &Steps, first: Option<usize>) -> Vec<Vec<usize>> {
    let n = steps.count();
    let count = (LOOKS / (n * n).max(1)).clamp(1, n.max(1));
    let starts = (0..count).map(|k| k * n / count).filter(|s| *s < n);
    let from = |start: usize| match first {
        Some(first) if first != start => vec![first, start],
        _ => vec![start],
    };
    starts.map(|start| walk(n, from(start), |a, b| steps.between(a, b))).collect()
}
