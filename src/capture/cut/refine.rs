//! Edges to a part of a pixel: along the line across each point of a contour, where light is half
//! way from the ground's to the part's.

use crate::capture::cut::patch::Patch;
use crate::capture::cut::{Point, Polygon};
use crate::capture::least::median;

/// Points along a contour, at most.
const MOST_POINTS: usize = 20_000;
/// Where the light of either side is taken, in pixels from the edge.
const SIDES: [f64; 3] = [2.0, 2.6, 3.2];
/// Rounds of smoothing: waves under about 10 pixels go (blocks of a JPEG picture make such), corners get a
/// radius of about 3.
const ROUNDS: usize = 60;
/// Neighbours to either side that an offset is held against.
const NEIGHBOURS: usize = 8;
/// How far into the part its light beside an edge is taken, in pixels.
const BESIDE: f64 = 4.5;
/// How far an edge is looked for, in pixels.
const REACH: f64 = 2.4;

/// A contour's points with what is known of each.
#[derive(Debug, Clone)]
pub struct Edge {
    /// In pixels, about one apart.
    pub ring: Polygon,
    /// The share of points where an edge was found.
    pub found: f64,
    /// How sharp it is: the share of the step within 1.3 pixels of its middle.
    pub sharp: f64,
    /// The part's light beside it: green, the median.
    pub beside: f64,
}

/// Moves a contour onto the edge that is seen. The part lies to the side where the polygon's own
/// orientation says (its interior, or the outside of a hole that runs the other way).
pub fn refine(patch: &Patch, ring: &[Point]) -> Edge {
    let mut edge = Edge { ring: spaced(ring, 1.0), found: 0.0, sharp: 0.0, beside: 0.0 };
    for _ in 0..2 {
        edge.ring = smooth(&edge.ring, ROUNDS);
        let normals = normals(&edge.ring);
        let looks: Vec<Option<Look>> =
            edge.ring.iter().zip(&normals).map(|(p, n)| look(patch, *p, *n)).collect();
        let seen = looks.iter().flatten().count();
        edge.found = seen as f64 / edge.ring.len().max(1) as f64;
        edge.sharp = median(&mut looks.iter().flatten().map(|l| l.sharp).collect::<Vec<_>>());
        let deep = |(p, n): (&Point, &Point)| patch.at((p.0 - BESIDE * n.0, p.1 - BESIDE * n.1))[1];
        edge.beside = median(&mut edge.ring.iter().zip(&normals).map(deep).collect::<Vec<_>>());
        let offsets = steady(&looks.iter().map(|l| l.map(|l| l.offset)).collect::<Vec<_>>());
        for ((p, n), offset) in edge.ring.iter_mut().zip(&normals).zip(offsets) {
            *p = (p.0 + n.0 * offset, p.1 + n.1 * offset);
        }
        edge.ring = spaced(&edge.ring, 1.0);
    }
    edge.ring = smooth(&edge.ring, ROUNDS);
    edge
}

#[derive(Clone, Copy)]
struct Look {
    offset: f64,
    sharp: f64,
}

/// Where the edge is along a normal that points out of the part.
fn look(patch: &Patch, p: Point, normal: Point) -> Option<Look> {
    let at = |t: f64| patch.at((p.0 + normal.0 * t, p.1 + normal.1 * t));
    let side = |sign: f64| {
        let all = SIDES.map(|t| at(sign * t));
        [0, 1, 2].map(|c| (all[0][c] + all[1][c] + all[2][c]) / 3.0)
    };
    let (inside, outside) = (side(-1.0), side(1.0));
    let step = [0, 1, 2].map(|c| inside[c] - outside[c]);
    let length: f64 = step.iter().map(|v| v * v).sum();
    let level = inside.iter().chain(&outside).fold(0.0f64, |m, v| m.max(*v));
    if length.sqrt() < 0.03 + 0.06 * level {
        return None;
    }
    let share = |t: f64| {
        let seen = at(t);
        (0..3).map(|c| (seen[c] - outside[c]) * step[c]).sum::<f64>() / length
    };
    let count = (2.0 * REACH / 0.4) as usize;
    let places = (0..=count).map(|i| -REACH + 0.4 * i as f64);
    let values: Vec<(f64, f64)> = places.map(|t| (t, share(t))).collect();
    let crossings = values.windows(2).filter(|w| w[0].1 >= 0.5 && w[1].1 < 0.5);
    let exact = crossings.map(|w| w[0].0 + 0.4 * (w[0].1 - 0.5) / (w[0].1 - w[1].1));
    let offset = exact.min_by(|a, b| a.abs().total_cmp(&b.abs()))?;
    let sharp = (share(offset - 1.3) - share(offset + 1.3)).clamp(0.0, 2.0);
    Some(Look { offset, sharp })
}

/// Offsets without what stands out, and with what is missing between its neighbours.
fn steady(found: &[Option<f64>]) -> Vec<f64> {
    let n = found.len();
    if n <= NEIGHBOURS {
        return found.iter().map(|v| v.unwrap_or(0.0)).collect();
    }
    let around =
        |i: usize, k: usize| found.get((i + n + k - NEIGHBOURS) % n.max(1)).copied().flatten();
    let middle = |i: usize| {
        let mut near: Vec<f64> = (0..=2 * NEIGHBOURS).filter_map(|k| around(i, k)).collect();
        if near.is_empty() { 0.0 } else { median(&mut near) }
    };
    (0..n)
        .map(|i| {
            let usual = middle(i);
            found[i].filter(|v| (v - usual).abs() < 0.35).unwrap_or(usual)
        })
        .collect()
}

/// The same line with points about `gap` apart.
pub fn spaced(ring: &[Point], gap: f64) -> Polygon {
    let lengths: Vec<f64> = crate::capture::cut::raster::edges(ring)
        .map(|(a, b)| (b.0 - a.0).hypot(b.1 - a.1))
        .collect();
    let total: f64 = lengths.iter().sum();
    if !(total.is_finite() && total > 0.0 && gap > 0.0) {
        return ring.to_vec();
    }
    let count = ((total / gap) as usize).clamp(8, MOST_POINTS);
    let step = total / count as f64;
    let mut out = Vec::with_capacity(count);
    let (mut done, mut wanted) = (0.0, 0.0);
    for ((a, b), length) in crate::capture::cut::raster::edges(ring).zip(&lengths) {
        while wanted < done + length && out.len() < count {
            let t = (wanted - done) / length;
            out.push((a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1)));
            wanted += step;
        }
        done += length;
    }
    out
}

/// Smooths a closed line without shrinking it: a step inwards, a step back (Taubin 1995).
pub fn smooth(ring: &[Point], rounds: usize) -> Polygon {
    let mut ring = ring.to_vec();
    for _ in 0..rounds {
        for weight in [0.5, -0.52] {
            let n = ring.len();
            let old = ring.clone();
            for (i, p) in ring.iter_mut().enumerate() {
                let (a, b) = (old[(i + n - 1) % n], old[(i + 1) % n]);
                p.0 += weight * ((a.0 + b.0) / 2.0 - p.0);
                p.1 += weight * ((a.1 + b.1) / 2.0 - p.1);
            }
        }
    }
    ring
}

/// Unit vectors out of the part, for rings that run with the part on the same side as contours do.
pub fn normals(ring: &[Point]) -> Vec<Point> {
    let n = ring.len();
    (0..n)
        .map(|i| {
            let (a, b) = (ring[(i + n - 2 % n.max(1)) % n], ring[(i + 2) % n]);
            let (dx, dy) = (b.0 - a.0, b.1 - a.1);
            let length = dx.hypot(dy);
            if length > 1e-12 { (-dy / length, dx / length) } else { (0.0, 0.0) }
        })
        .collect()
}
