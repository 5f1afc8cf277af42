//! How far inside an area one can get: the distance from its edge, searched
//! in squares that are cut in four where the best place may still be.

use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::f64::consts::SQRT_2;

use super::contour::Contour;
use crate::work::{Work, WorkKind};

/// Distances to an edge that a search may measure: some milliseconds.
const MOST: usize = 500_000;

/// A square by its centre.
struct Square {
    x: f64,
    y: f64,
    half: f64,
    /// No point in it is deeper inside.
    most: f64,
}

impl Ord for Square {
    fn cmp(&self, other: &Square) -> Ordering {
        self.most.total_cmp(&other.most)
    }
}

impl PartialOrd for Square {
    fn partial_cmp(&self, other: &Square) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Square {
    fn eq(&self, other: &Square) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Square {}

/// Between which two values the largest distance from a point inside to the
/// edge lies, mm: closer than `close`, unless that would take too long.
pub(super) fn inradius(contours: &[&Contour], close: f64, work: &Work) -> (f64, f64) {
    let points = || contours.iter().copied().flatten();
    let least = |axis: usize| points().map(|p| p[axis]).fold(f64::INFINITY, f64::min);
    let most = |axis: usize| points().map(|p| p[axis]).fold(f64::NEG_INFINITY, f64::max);
    let (x0, y0, x1, y1) = (least(0), least(1), most(0), most(1));
    let half = (x1 - x0).max(y1 - y0) / 2.0;
    let count = points().count();
    if count == 0 || !half.is_finite() {
        return (0.0, 0.0);
    }
    let mut low = 0.0_f64;
    let mut squares = BinaryHeap::new();
    let look = |x: f64, y: f64, half: f64, low: &mut f64| {
        let depth = depth(contours, x, y);
        work.add(WorkKind::Edges, count as u64);
        *low = low.max(depth);
        Square { x, y, half, most: depth + half * SQRT_2 }
    };
    squares.push(look((x0 + x1) / 2.0, (y0 + y1) / 2.0, half, &mut low));
    let mut left = MOST / count;
    while let Some(square) = squares.pop() {
        if square.most - low <= close || left < 4 {
            return (low, square.most.max(low));
        }
        left -= 4;
        let half = square.half / 2.0;
        for (dx, dy) in [(-half, -half), (half, -half), (-half, half), (half, half)] {
            let part = look(square.x + dx, square.y + dy, half, &mut low);
            if part.most > low {
                squares.push(part);
            }
        }
    }
    (low, low)
}

/// Distance to the nearest edge; below zero outside.
fn depth(contours: &[&Contour], x: f64, y: f64) -> f64 {
    let (mut inside, mut nearest) = (false, f64::INFINITY);
    for contour in contours {
        let Some(mut a) = contour.last() else { continue };
        for b in contour.iter() {
            let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
            if (a[1] > y) != (b[1] > y) && x < dx * (y - a[1]) / dy + a[0] {
                inside = !inside;
            }
            let along = ((x - a[0]) * dx + (y - a[1]) * dy) / (dx * dx + dy * dy);
            // A step of no length has no direction: its end is as near.
            let along = if along.is_nan() { 0.0 } else { along.clamp(0.0, 1.0) };
            let (ex, ey) = (a[0] + along * dx - x, a[1] + along * dy - y);
            nearest = nearest.min(ex * ex + ey * ey);
            a = b;
        }
    }
    if inside { nearest.sqrt() } else { -nearest.sqrt() }
}
