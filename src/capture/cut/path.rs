//! An outline as a drawing: curves that stay within a distance of the points (Schneider 1990), in SVG.

use std::fmt::Write;

use crate::capture::cut::raster::bounds;
use crate::capture::cut::{Outline, Point, Polygon};

/// How far curves may leave the points, in millimetres.
pub const TOLERANCE: f64 = 0.035;
/// A turn within `CORNER.1` millimetres to either side that makes a corner, as a cosine.
const CORNER: (f64, f64) = (0.75, 0.5);
/// How often a stretch is halved, at most.
const DEEPEST: usize = 12;

/// A cubic curve: its ends and the two points between.
pub type Curve = [Point; 4];

/// A closed line as curves, each beginning where the one before ends.
pub fn to_curves(ring: &[Point], tolerance: f64) -> Vec<Curve> {
    if ring.len() < 3 || !ring.iter().all(|p| p.0.is_finite() && p.1.is_finite()) {
        return Vec::new();
    }
    let n = ring.len();
    let mut cuts = corners(ring);
    if cuts.len() < 2 {
        // Somewhere it must begin and turn: at the corner, if there is one, and across from it.
        let first = cuts.first().copied().unwrap_or(0);
        cuts = vec![first, (first + n / 2) % n];
        cuts.sort_unstable();
    }
    let sharp: Vec<bool> = cuts.iter().map(|i| is_corner(ring, *i).is_some()).collect();
    let mut out = Vec::new();
    for (k, from) in cuts.iter().enumerate() {
        let next = (k + 1) % cuts.len();
        let to = if cuts[next] > *from { cuts[next] } else { cuts[next] + n };
        let piece: Polygon = (*from..=to).map(|i| ring[i % n]).collect();
        let tangent = |i: usize, sharp: bool| (!sharp).then(|| through(ring, i % n)).flatten();
        let begin = tangent(*from, sharp[k]);
        let end = tangent(to, sharp[next]).map(|t| (-t.0, -t.1));
        fit(&piece, (begin, end), (tolerance, DEEPEST), &mut out);
    }
    out
}

/// Points where the line turns sharply.
fn corners(ring: &[Point]) -> Vec<usize> {
    let turns: Vec<Option<f64>> = (0..ring.len()).map(|i| is_corner(ring, i)).collect();
    let n = ring.len();
    let near = (n / 40).clamp(1, 6);
    let sharpest = |i: &usize| {
        turns[*i].is_some_and(|t| {
            (1..=near).all(|k| {
                let (a, b) = (turns[(i + k) % n], turns[(i + n - k) % n]);
                a.is_none_or(|a| t < a) && b.is_none_or(|b| t <= b)
            })
        })
    };
    (0..n).filter(sharpest).collect()
}

/// The cosine of the turn at a point, if it is a corner.
fn is_corner(ring: &[Point], at: usize) -> Option<f64> {
    let (a, b) = (reach(ring, at, false)?, reach(ring, at, true)?);
    let p = ring[at];
    let (u, v) = (unit((p.0 - a.0, p.1 - a.1))?, unit((b.0 - p.0, b.1 - p.1))?);
    let cos = u.0 * v.0 + u.1 * v.1;
    (cos < CORNER.0).then_some(cos)
}

/// The first point that is far enough away along the line.
fn reach(ring: &[Point], at: usize, onwards: bool) -> Option<Point> {
    let n = ring.len();
    let p = *ring.get(at)?;
    (1..n / 2)
        .map(|k| ring[if onwards { (at + k) % n } else { (at + n - k) % n }])
        .find(|q| (q.0 - p.0).hypot(q.1 - p.1) >= CORNER.1)
}

/// The direction of a line through a point.
fn through(ring: &[Point], at: usize) -> Option<Point> {
    let n = ring.len();
    let k = 3.min((n - 1) / 2).max(1);
    let (a, b) = (ring[(at + n - k) % n], ring[(at + k) % n]);
    unit((b.0 - a.0, b.1 - a.1))
}

fn unit(v: Point) -> Option<Point> {
    let length = v.0.hypot(v.1);
    (length > 1e-12).then(|| (v.0 / length, v.1 / length))
}

type Ends = (Option<Point>, Option<Point>);

/// Fits a stretch; where one curve is too far off, its halves.
fn fit(points: &[Point], ends: Ends, of: (f64, usize), out: &mut Vec<Curve>) {
    let (Some(first), Some(last)) = (points.first(), points.last()) else { return };
    let (tolerance, left) = of;
    let chord = (last.0 - first.0, last.1 - first.1);
    let ahead = |i: usize| {
        let p = points[i.min(points.len() - 1)];
        unit((p.0 - first.0, p.1 - first.1)).or_else(|| unit(chord)).unwrap_or((1.0, 0.0))
    };
    let back = |i: usize| {
        let p = points[points.len().saturating_sub(1 + i)];
        unit((p.0 - last.0, p.1 - last.1))
            .or_else(|| unit((-chord.0, -chord.1)))
            .unwrap_or((-1.0, 0.0))
    };
    let ends = (ends.0.unwrap_or_else(|| ahead(3)), ends.1.unwrap_or_else(|| back(3)));
    if points.len() <= 3 || left == 0 {
        straight(points, out);
        return;
    }
    let mut at = lengths(points);
    let mut worst = (0, f64::MAX);
    for _ in 0..4 {
        let curve = least_squares(points, &at, ends);
        worst = farthest(points, &at, &curve);
        if worst.1 <= tolerance {
            out.push(curve);
            return;
        }
        closer(points, &mut at, &curve);
    }
    let middle = worst.0.clamp(2, points.len() - 3 + usize::from(points.len() == 4));
    let middle = middle.min(points.len() - 2);
    let (a, b) = (points[middle.saturating_sub(2)], points[(middle + 2).min(points.len() - 1)]);
    let along = unit((b.0 - a.0, b.1 - a.1));
    let turned = along.map(|t| (-t.0, -t.1));
    fit(&points[..=middle], (Some(ends.0), turned), (tolerance, left - 1), out);
    fit(&points[middle..], (along, Some(ends.1)), (tolerance, left - 1), out);
}

/// Straight lines from point to point.
fn straight(points: &[Point], out: &mut Vec<Curve>) {
    for pair in points.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let part = |t: f64| (a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1));
        out.push([a, part(1.0 / 3.0), part(2.0 / 3.0), b]);
    }
}

/// Each point's share of the way.
fn lengths(points: &[Point]) -> Vec<f64> {
    let mut out = vec![0.0];
    let mut sum = 0.0;
    for pair in points.windows(2) {
        sum += (pair[1].0 - pair[0].0).hypot(pair[1].1 - pair[0].1);
        out.push(sum);
    }
    out.iter().map(|v| v / f64::max(sum, 1e-12)).collect()
}

fn weights(t: f64) -> [f64; 4] {
    let s = 1.0 - t;
    [s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t]
}

fn on(curve: &Curve, t: f64) -> Point {
    let w = weights(t);
    let sum = |f: fn(&Point) -> f64| curve.iter().zip(w).map(|(p, w)| w * f(p)).sum();
    (sum(|p| p.0), sum(|p| p.1))
}

/// How far along the two tangents the inner points lie.
fn least_squares(points: &[Point], at: &[f64], ends: (Point, Point)) -> Curve {
    let (first, last) = (points[0], points[points.len() - 1]);
    let dot = |a: Point, b: Point| a.0 * b.0 + a.1 * b.1;
    let (mut m, mut r) = ([[0.0; 2]; 2], [0.0; 2]);
    for (p, t) in points.iter().zip(at) {
        let w = weights(*t);
        let a = [(ends.0.0 * w[1], ends.0.1 * w[1]), (ends.1.0 * w[2], ends.1.1 * w[2])];
        let base = (
            first.0 * (w[0] + w[1]) + last.0 * (w[2] + w[3]),
            first.1 * (w[0] + w[1]) + last.1 * (w[2] + w[3]),
        );
        let off = (p.0 - base.0, p.1 - base.1);
        for i in 0..2 {
            for k in 0..2 {
                m[i][k] += dot(a[i], a[k]);
            }
            r[i] += dot(a[i], off);
        }
    }
    let det = m[0][0] * m[1][1] - m[0][1] * m[1][0];
    let chord = (last.0 - first.0).hypot(last.1 - first.1);
    let (mut x, mut y) = (chord / 3.0, chord / 3.0);
    if det.abs() > 1e-12 {
        let found =
            ((r[0] * m[1][1] - r[1] * m[0][1]) / det, (m[0][0] * r[1] - m[1][0] * r[0]) / det);
        let usable = |v: f64| v > 1e-3 * chord && v < 3.0 * chord + 1.0;
        if usable(found.0) && usable(found.1) {
            (x, y) = found;
        }
    }
    [
        first,
        (first.0 + x * ends.0.0, first.1 + x * ends.0.1),
        (last.0 + y * ends.1.0, last.1 + y * ends.1.1),
        last,
    ]
}

fn farthest(points: &[Point], at: &[f64], curve: &Curve) -> (usize, f64) {
    let off = |(p, t): (&Point, &f64)| {
        let q = on(curve, *t);
        (q.0 - p.0).hypot(q.1 - p.1)
    };
    let all = points.iter().zip(at).map(off).enumerate();
    all.fold((0, 0.0), |worst, (i, v)| if v > worst.1 { (i, v) } else { worst })
}

/// Moves each share to where the curve is nearer to the point (a step of Newton's method).
fn closer(points: &[Point], at: &mut [f64], curve: &Curve) {
    for (p, t) in points.iter().zip(at.iter_mut()) {
        let h = 1e-4;
        let (a, b, c) = (on(curve, *t - h), on(curve, *t), on(curve, *t + h));
        let d1 = ((c.0 - a.0) / (2.0 * h), (c.1 - a.1) / (2.0 * h));
        let d2 = ((c.0 - 2.0 * b.0 + a.0) / (h * h), (c.1 - 2.0 * b.1 + a.1) / (h * h));
        let off = (b.0 - p.0, b.1 - p.1);
        let slope = d1.0 * d1.0 + d1.1 * d1.1 + off.0 * d2.0 + off.1 * d2.1;
        if slope.abs() > 1e-9 {
            *t = (*t - (off.0 * d1.0 + off.1 * d1.1) / slope).clamp(0.0, 1.0);
        }
    }
}

/// A drawing of an outline in millimetres: one body, holes by the even-odd rule.
pub fn svg(outline: &Outline) -> Option<String> {
    let (low, high) = bounds(outline)?;
    let (width, height) = (high.0 - low.0, high.1 - low.1);
    let mut d = String::new();
    for ring in outline {
        let curves = to_curves(ring, TOLERANCE);
        let Some(first) = curves.first() else { continue };
        let at = |p: Point| format!("{:.3} {:.3}", p.0 - low.0, p.1 - low.1);
        let _ = write!(d, "M{}", at(first[0]));
        for curve in &curves {
            let _ = write!(d, "C{} {} {}", at(curve[1]), at(curve[2]), at(curve[3]));
        }
        d.push('Z');
    }
    (!d.is_empty()).then(|| {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.3}mm\" height=\"{height:.3}mm\" \
             viewBox=\"0 0 {width:.3} {height:.3}\">\n  <path id=\"body\" fill-rule=\"evenodd\" d=\"{d}\"/>\n</svg>\n"
        )
    })
}
