//! Short open paths through things of which only the distance is known:
//! colours that are in a row, contours that a blade goes round.
//!
//! The first thing of a path may be fixed; the last never is. The same
//! distances give the same path.

use std::ops::Range;

use crate::work::{Work, WorkKind};

/// The longest run that is moved to another place.
const RUN: usize = 3;
/// How often a path is gone through for moves: thirty times as often as `tests/layout/counted_work.rs` allows.
pub const MOST_ROUNDS: usize = 1000;
/// What a move must gain at least, so that rounding cannot go round in circles.
const GAIN: f64 = 1e-9;

/// The distance between any two things of a list, row by row.
pub struct Steps {
    count: usize,
    widths: Vec<f64>,
}

impl Steps {
    /// Between `count` things; `apart` is the same both ways.
    pub fn new(count: usize, apart: impl Fn(usize, usize) -> f64) -> Steps {
        let mut widths = vec![0.0; count * count];
        for a in 0..count {
            for b in 0..a {
                let d = apart(a, b);
                (widths[a * count + b], widths[b * count + a]) = (d, d);
            }
        }
        Steps { count, widths }
    }

    /// How many things there are.
    pub fn count(&self) -> usize {
        self.count
    }

    /// From one thing to another.
    pub fn between(&self, a: usize, b: usize) -> f64 {
        self.widths[a * self.count + b]
    }

    /// A step at an end of the path, to nothing, has no width.
    fn step(&self, a: Option<usize>, b: Option<usize>) -> f64 {
        match (a, b) {
            (Some(a), Some(b)) => self.between(a, b),
            _ => 0.0,
        }
    }

    /// The length of a path.
    pub fn total(&self, path: &[usize]) -> f64 {
        path.windows(2).map(|w| self.between(w[0], w[1])).sum()
    }
}

/// The shortest path by dynamic programming over sets (Held and Karp 1962).
///
/// Takes time and memory as n 2^n: 13 things take 2 MB.
pub fn exact(steps: &Steps, first: Option<usize>) -> Vec<usize> {
    let n = steps.count;
    if n == 0 {
        return Vec::new();
    }
    // The shortest path through a set that ends at a thing, and the thing before it.
    let mut best = vec![(f64::INFINITY, 0); n << n];
    for end in (0..n).filter(|end| first.is_none_or(|f| f == *end)) {
        best[(1 << end) * n + end] = (0.0, end);
    }
    for set in 1..1usize << n {
        for end in (0..n).filter(|end| set >> end & 1 == 1) {
            let (so_far, _) = best[set * n + end];
            if so_far == f64::INFINITY {
                continue;
            }
            for next in (0..n).filter(|next| set >> next & 1 == 0) {
                let total = so_far + steps.between(end, next);
                let place = &mut best[(set | 1 << next) * n + next];
                if total < place.0 {
                    *place = (total, end);
                }
            }
        }
    }
    let mut set = (1 << n) - 1;
    let ends = (0..n).min_by(|a, b| best[set * n + a].0.total_cmp(&best[set * n + b].0));
    let mut end = ends.unwrap_or(0);
    let mut path = Vec::with_capacity(n);
    while path.len() < n {
        path.push(end);
        let before = best[set * n + end].1;
        set &= !(1 << end);
        end = before;
    }
    path.reverse();
    path
}

/// From the end of a path always to the nearest that is left, the first of equally near ones.
pub fn walk(count: usize, mut path: Vec<usize>, apart: impl Fn(usize, usize) -> f64) -> Vec<usize> {
    let mut left: Vec<usize> = (0..count).filter(|i| !path.contains(i)).collect();
    while let Some(&last) = path.last().filter(|_| !left.is_empty()) {
        let mut nearest = (f64::INFINITY, 0);
        for (k, &i) in left.iter().enumerate() {
            let d = apart(last, i);
            if d < nearest.0 {
                nearest = (d, k);
            }
        }
        path.push(left.remove(nearest.1));
    }
    path
}

/// Makes the path shorter by turning runs round (2-opt) and moving runs of up
/// to three (Or-opt) until no move helps, in at most [`MOST_ROUNDS`]. Only the `free` places change.
pub fn shorten(steps: &Steps, path: &mut [usize], free: Range<usize>, work: &Work) {
    for _ in 0..MOST_ROUNDS {
        let mut helped = false;
        for i in free.clone().take_while(|_| !work.is_stopped()) {
            work.add(WorkKind::Moves, free.end.saturating_sub(i + 1) as u64);
            helped |= turn_round(steps, path, i, free.end);
            for run in 1..=RUN.min(free.end - i) {
                work.add(WorkKind::Moves, free.len() as u64);
                helped |= move_run(steps, path, i..i + run, &free);
            }
        }
        if !helped || work.is_stopped() {
            return;
        }
    }
}

/// Turns the run that begins at `i` round, wherever before `free_to` that helps.
fn turn_round(steps: &Steps, path: &mut [usize], i: usize, free_to: usize) -> bool {
    let mut helped = false;
    for j in i + 1..free_to {
        let before = i.checked_sub(1).map(|k| path[k]);
        let after = path.get(j + 1).copied();
        let (a, b) = (Some(path[i]), Some(path[j]));
        let was = steps.step(before, a) + steps.step(b, after);
        if steps.step(before, b) + steps.step(a, after) < was - GAIN {
            path[i..=j].reverse();
            helped = true;
        }
    }
    helped
}

/// Moves a run to where it fits best, either way round, if that helps.
fn move_run(steps: &Steps, path: &mut [usize], run: Range<usize>, free: &Range<usize>) -> bool {
    let at = |k: usize| path.get(k).copied();
    let before_place = |k: usize| k.checked_sub(1).and_then(at);
    let (head, tail) = (at(run.start), at(run.end - 1));
    let (before, after) = (before_place(run.start), at(run.end));
    let saved = steps.step(before, head) + steps.step(tail, after) - steps.step(before, after);
    // What it may cost, before which place it goes, and whether it is turned round.
    let mut best = (saved - GAIN, None);
    for place in (free.start..run.start).chain(run.end + 1..=free.end) {
        let (left, right) = (before_place(place), at(place));
        let torn = steps.step(left, right);
        for (turned, head, tail) in [(false, head, tail), (true, tail, head)] {
            let cost = steps.step(left, head) + steps.step(tail, right) - torn;
            if cost < best.0 {
                best = (cost, Some((place, turned)));
            }
        }
    }
    let Some((place, turned)) = best.1 else { return false };
    if turned {
        path[run.clone()].reverse();
    }
    if place < run.start {
        path[place..run.end].rotate_right(run.len());
    } else {
        path[run.start..place].rotate_left(run.len());
    }
    true
}
