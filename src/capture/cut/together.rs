//! One outline of a part from several pieces of it: each is seen a little wrong, their middle hardly.

use crate::capture::cut::fit::{Fit, fit};
use crate::capture::cut::raster::{area, edges};
use crate::capture::cut::refine::{normals, smooth, spaced};
use crate::capture::cut::{Outline, Point, Polygon};
use crate::capture::least::median;

/// From point to point of the outline, millimetres.
const GAP: f64 = 0.1;
/// How far an edge is looked for along a normal, millimetres.
const REACH: f64 = 0.8;
/// Rounds of smoothing at the end.
const ROUNDS: usize = 4;
/// The share of the pieces that must have a hole.
const SHARED: f64 = 0.5;
/// Pieces that are put together, at most.
const MOST: usize = 24;

/// The outline in the middle of several, in millimetres, and how far they are from it: the median of what 95 % of each
/// are within.
pub fn together(outlines: &[Outline]) -> Option<(Outline, f64)> {
    let size = |o: &Outline| o.first().map_or(0.0, |ring| area(ring).abs());
    let mut sorted: Vec<&Outline> = outlines.iter().filter(|o| size(o) > 0.0).collect();
    sorted.sort_by(|a, b| size(a).total_cmp(&size(b)));
    // From both ends alike, so that the middle stays: what is far off in size says little.
    while sorted.len() > MOST {
        sorted.pop();
        if sorted.len() > MOST {
            sorted.remove(0);
        }
    }
    let holes = median(&mut sorted.iter().map(|o| o.len() as f64).collect::<Vec<_>>());
    let usual: Vec<&&Outline> = sorted.iter().filter(|o| o.len() as f64 == holes).collect();
    let base = *usual.get(usual.len() / 2)?;
    let base: Outline = base.iter().map(|ring| spaced(ring, GAP)).collect();
    // Each piece laid on the base: turned and shifted only, its size is its own.
    let laid: Vec<Outline> =
        sorted.iter().filter_map(|o| fit(&base, o, (1.0, 0.03)).map(|f| back(o, &f))).collect();
    let mut out = Outline::new();
    let mut all: Vec<Vec<f64>> = vec![Vec::new(); laid.len()];
    for ring in &base {
        if let Some(ring) = middle(ring, &laid, &mut all) {
            out.push(ring);
        }
    }
    let mut spread: Vec<f64> = all
        .iter_mut()
        .filter(|off| !off.is_empty())
        .map(|off| crate::capture::least::quantile(off, 0.95))
        .collect();
    (!out.is_empty()).then(|| (out, median(&mut spread)))
}

/// Undoes the turn and the shift of a fit.
fn back(outline: &Outline, f: &Fit) -> Outline {
    let (sin, cos) = f.turn.sin_cos();
    let undo = |p: Point| {
        let (x, y) = (p.0 - f.about.0 - f.shift.0, p.1 - f.about.1 - f.shift.1);
        (f.about.0 + x * cos + y * sin, f.about.1 - x * sin + y * cos)
    };
    crate::capture::cut::raster::moved(outline, undo)
}

/// A ring moved to the middle of what all have there; none where too few have one.
fn middle(ring: &Polygon, laid: &[Outline], all: &mut [Vec<f64>]) -> Option<Polygon> {
    let normals = normals(ring);
    let lines: Vec<Vec<(Point, Point)>> =
        laid.iter().map(|o| o.iter().flat_map(|ring| edges(ring)).collect()).collect();
    let mut moved = Vec::with_capacity(ring.len());
    let mut seen = 0.0;
    for (p, n) in ring.iter().zip(&normals) {
        let found: Vec<Option<f64>> = lines.iter().map(|lines| along(*p, *n, lines)).collect();
        let mut offsets: Vec<f64> = found.iter().flatten().copied().collect();
        seen += offsets.len() as f64;
        let offset = if offsets.is_empty() { 0.0 } else { median(&mut offsets) };
        for (all, found) in all.iter_mut().zip(&found) {
            all.extend(found.map(|v| (v - offset).abs()));
        }
        moved.push((p.0 + offset * n.0, p.1 + offset * n.1));
    }
    let shared = seen / (ring.len() * laid.len()).max(1) as f64;
    (shared >= SHARED).then(|| smooth(&moved, ROUNDS))
}

/// Where a normal crosses the nearest line.
fn along(p: Point, n: Point, lines: &[(Point, Point)]) -> Option<f64> {
    let mut best: Option<f64> = None;
    for (a, b) in lines {
        let near = (a.0 - p.0).abs() < 2.0 * REACH && (a.1 - p.1).abs() < 2.0 * REACH;
        if !near {
            continue;
        }
        // p + t n = a + s (b - a).
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let det = n.1 * dx - n.0 * dy;
        if det.abs() < 1e-12 {
            continue;
        }
        let (ex, ey) = (a.0 - p.0, a.1 - p.1);
        let (t, s) = ((ey * dx - ex * dy) / det, (ey * n.0 - ex * n.1) / det);
        let is_on = (-1e-6..=1.0 + 1e-6).contains(&s) && t.abs() < REACH;
        if is_on && best.is_none_or(|b| t.abs() < b.abs()) {
            best = Some(t);
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_middle_of_many_is_nearer_than_each() {
        let mut rng = fastrand::Rng::with_seed(11);
        let circle = |r: f64, at: Point, wobble: &mut dyn FnMut(f64) -> f64| -> Polygon {
            (0..300)
                .map(|i| {
                    let a = -f64::from(i) / 300.0 * std::f64::consts::TAU;
                    let r = r + wobble(a);
                    (at.0 + r * a.cos(), at.1 + r * a.sin())
                })
                .collect()
        };
        let mut pieces = Vec::new();
        for _ in 0..11 {
            let (phase, at) = (rng.f64() * 6.0, (rng.f64(), rng.f64()));
            let mut wobble = |a: f64| 0.15 * (3.0 * a + phase).sin();
            let mut outline = vec![circle(9.0, at, &mut wobble)];
            outline.push(circle(1.5, (at.0 + 3.0, at.1), &mut |_| 0.0).into_iter().rev().collect());
            pieces.push(outline);
        }
        // Of one the hole was not seen.
        pieces[4].pop();
        let (found, spread) = together(&pieces).unwrap();
        assert_eq!(found.len(), 2);
        assert!(spread > 0.06, "{spread}");
        let r = |ring: &Polygon| {
            let n = ring.len() as f64;
            let (x, y) = ring.iter().fold((0.0, 0.0), |s, p| (s.0 + p.0 / n, s.1 + p.1 / n));
            ring.iter().map(|p| (p.0 - x).hypot(p.1 - y)).collect::<Vec<f64>>()
        };
        for r in r(&found[0]) {
            assert!((r - 9.0).abs() < 0.14, "{r}");
        }
        assert!(together(&[]).is_none());
        assert!(together(&[vec![vec![(f64::NAN, 0.0); 9]]]).is_none());
    }
}
