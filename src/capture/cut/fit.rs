//! A drawing laid on the edges that were found: turned, shifted, up to 3 % larger or smaller.

use crate::capture::cut::raster::{bounds, edges, nearest};
use crate::capture::cut::{Outline, Point};
use crate::capture::least::median;

/// Steps of the fit.
const ROUNDS: usize = 14;
/// Turns that are tried, in degrees, until one fits.
const TURNS: [f64; 9] = [0.0, 8.0, -8.0, 16.0, -16.0, 90.0, -90.0, 180.0, 30.0];
/// The RMS at which a fit is good, in millimetres.
const GOOD: f64 = 0.08;
/// Points of edges that are taken, at most.
const MOST_POINTS: usize = 700;

/// How a drawing lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// The middle that it is turned about, in millimetres.
    pub about: Point,
    /// How far it is shifted, in millimetres.
    pub shift: Point,
    /// How far it is turned, in radians.
    pub turn: f64,
    /// How many times its drawn size it is seen as.
    pub scale: f64,
    /// What is left between it and the edges: RMS in millimetres over those that agree.
    pub rms: f64,
    /// The share of the edges that agree.
    pub agree: f64,
}

impl Fit {
    /// Where a point of the drawing lies.
    pub fn at(&self, p: Point) -> Point {
        let (sin, cos) = self.turn.sin_cos();
        let (x, y) = ((p.0 - self.about.0) * self.scale, (p.1 - self.about.1) * self.scale);
        (
            self.about.0 + self.shift.0 + x * cos - y * sin,
            self.about.1 + self.shift.1 + x * sin + y * cos,
        )
    }
}

/// Lays a drawing on edges, both in millimetres; `size` is how much larger it is seen than it is, and by what share
/// that may be wrong.
pub fn fit(drawing: &Outline, seen: &Outline, size: (f64, f64)) -> Option<Fit> {
    let (low, high) = bounds(drawing)?;
    let (from, to) = bounds(seen)?;
    let about = ((low.0 + high.0) / 2.0, (low.1 + high.1) / 2.0);
    let shift = ((from.0 + to.0) / 2.0 - about.0, (from.1 + to.1) / 2.0 - about.1);
    let all: Vec<Point> = seen.iter().flatten().copied().collect();
    let points: Vec<Point> = all.iter().step_by(all.len() / MOST_POINTS + 1).copied().collect();
    let mut best: Option<Fit> = None;
    for turn in TURNS {
        let start =
            Fit { about, shift, turn: turn.to_radians(), scale: size.0, rms: 1e9, agree: 0.0 };
        let Some(found) = settle(drawing, &points, start, size) else { continue };
        let worth = |f: &Fit| f.rms / f.agree.max(0.05);
        if best.is_none_or(|b| worth(&found) < worth(&b)) {
            best = Some(found);
        }
        if best.is_some_and(|b| b.rms < GOOD && b.agree > 0.85) {
            break;
        }
    }
    best
}

/// Steps of a robust Gauss-Newton from a start.
fn settle(
    drawing: &Outline,
    points: &[Point],
    start: Fit,
    (size, stretch): (f64, f64),
) -> Option<Fit> {
    let mut fit = start;
    for round in 0..ROUNDS {
        let pairs = pairs(drawing, points, &fit);
        let mut off: Vec<f64> = pairs.iter().map(|p| p.off.abs()).collect();
        let sigma = (1.48 * median(&mut off)).clamp(0.015, 1.0);
        let far = 3.5 * sigma;
        let mut normal = [[0.0; 5]; 4];
        for pair in &pairs {
            let weight = (1.0 - (pair.off / far).powi(2)).max(0.0).powi(2);
            let row = pair.row(&fit);
            for i in 0..4 {
                for k in 0..4 {
                    normal[i][k] += weight * row[i] * row[k];
                }
                normal[i][4] += weight * row[i] * pair.off;
            }
        }
        // A round part may be turned as it likes: it stays as it is drawn. Sizes are near 1.
        let spread = points.len() as f64;
        normal[2][2] += 0.02 * spread;
        normal[3][3] += 1e-4 * spread;
        let step = solve(normal)?;
        fit.shift = (fit.shift.0 + step[0], fit.shift.1 + step[1]);
        fit.turn += step[2].clamp(-0.3, 0.3);
        fit.scale = (fit.scale * (1.0 + step[3].clamp(-0.05, 0.05)))
            .clamp(size * (1.0 - stretch), size * (1.0 + stretch));
        let agree: Vec<f64> = off.iter().copied().filter(|v| *v < far.max(0.15)).collect();
        fit.agree = agree.len() as f64 / off.len().max(1) as f64;
        fit.rms = (agree.iter().map(|v| v * v).sum::<f64>() / agree.len().max(1) as f64).sqrt();
        let still = step.iter().all(|v| v.abs() < 2e-4);
        if still && round > 2 {
            break;
        }
    }
    let sane = [fit.shift.0, fit.shift.1, fit.turn, fit.scale].iter().all(|v| v.is_finite());
    sane.then_some(fit)
}

/// A point of an edge and the drawing beside it.
struct Pair {
    foot: Point,
    normal: Point,
    /// How far the edge is from the drawing, along the normal.
    off: f64,
}

impl Pair {
    /// How the drawing moves along the normal: with a shift, a turn, a stretch.
    fn row(&self, fit: &Fit) -> [f64; 4] {
        let arm =
            (self.foot.0 - fit.about.0 - fit.shift.0, self.foot.1 - fit.about.1 - fit.shift.1);
        let n = self.normal;
        [n.0, n.1, n.1 * arm.0 - n.0 * arm.1, n.0 * arm.0 + n.1 * arm.1]
    }
}

fn pairs(drawing: &Outline, points: &[Point], fit: &Fit) -> Vec<Pair> {
    let laid = crate::capture::cut::raster::moved(drawing, |p| fit.at(p));
    let lines: Vec<(Point, Point)> = laid.iter().flat_map(|ring| edges(ring)).collect();
    points.iter().filter_map(|p| pair(*p, &lines)).collect()
}

fn pair(p: Point, lines: &[(Point, Point)]) -> Option<Pair> {
    let mut best: Option<(f64, Point, (Point, Point))> = None;
    for (a, b) in lines {
        let foot = nearest(p, *a, *b);
        let far = (foot.0 - p.0).powi(2) + (foot.1 - p.1).powi(2);
        if best.is_none_or(|b| far < b.0) && (b.0 - a.0).hypot(b.1 - a.1) > 1e-9 {
            best = Some((far, foot, (*a, *b)));
        }
    }
    let (_, foot, (a, b)) = best?;
    let length = (b.0 - a.0).hypot(b.1 - a.1);
    let normal = ((b.1 - a.1) / length, -(b.0 - a.0) / length);
    let off = (p.0 - foot.0) * normal.0 + (p.1 - foot.1) * normal.1;
    Some(Pair { foot, normal, off })
}

/// Four equations, by elimination with the largest pivot.
fn solve(mut m: [[f64; 5]; 4]) -> Option<[f64; 4]> {
    for i in 0..4 {
        let pivot = (i..4).max_by(|a, b| m[*a][i].abs().total_cmp(&m[*b][i].abs()))?;
        m.swap(i, pivot);
        if m[i][i].is_nan() || m[i][i].abs() <= 1e-9 {
            return None;
        }
        for k in 0..4 {
            if k != i {
                let share = m[k][i] / m[i][i];
                let from = m[i];
                m[k].iter_mut().zip(from).for_each(|(v, f)| *v -= share * f);
            }
        }
    }
    Some([0, 1, 2, 3].map(|i| m[i][4] / m[i][i]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_how_a_drawing_lies_among_false_edges() {
        let box_of = |w: f64, h: f64| vec![(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)];
        let drawing = vec![box_of(18.0, 9.0)];
        let truth = Fit {
            about: (9.0, 4.5),
            shift: (0.7, -0.4),
            turn: 0.09,
            scale: 1.018,
            rms: 0.0,
            agree: 1.0,
        };
        let mut seen = vec![crate::capture::cut::refine::spaced(
            &crate::capture::cut::raster::moved(&drawing, |p| truth.at(p))[0],
            0.1,
        )];
        for (i, p) in seen[0].iter_mut().enumerate() {
            if i % 9 == 0 {
                p.0 += 0.6;
            }
        }
        let found = fit(&drawing, &seen, (1.0, 0.03)).unwrap();
        for corner in &drawing[0] {
            let (a, b) = (found.at(*corner), truth.at(*corner));
            assert!((a.0 - b.0).hypot(a.1 - b.1) < 0.02, "{a:?} {b:?}");
        }
        assert!(
            fit(&drawing, &vec![vec![(f64::NAN, 1.0); 20]], (1.0, 0.03))
                .is_none_or(|f| f.scale.is_finite())
        );
    }
}
