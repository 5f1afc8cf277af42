//! How thick a part is, by its drawing: all that is seen of it is its face, which is nearer to the camera than the page,
//! and its foot. In the direction away from the point under the camera the two lie apart, across it they do not, so
//! what is seen is longer one way than the drawing by a share of the thickness.

use crate::capture::cut::eye::Eye;
use crate::capture::cut::raster::bounds;
use crate::capture::cut::{Outline, Point};
use crate::capture::least::{median, minimise};

/// Directions in which outlines are measured.
const DIRECTIONS: usize = 60;
/// How exactly an edge is seen, in millimetres.
const EXACT: f64 = 0.05;
/// Usual pieces: as large as drawn, laid straight, so thick; and how much they differ.
const USUAL: [(f64, f64); 3] = [(1.0, 0.02), (0.0, 0.12), (2.0, 2.0)];
/// Nearer to the point under the camera than this, in millimetres, nothing is seen of a thickness.
const NEAREST: f64 = 30.0;
/// How far places may disagree, in millimetres: the median of their distances from the middle.
const APART: f64 = 0.35;
/// Places that must agree.
const LEAST: usize = 3;

/// The thickness that one piece shows; `None` where it lies under the camera, or fits nowhere.
pub fn height(drawing: &Outline, seen: &Outline, eye: &Eye) -> Option<f64> {
    let middle =
        |outline: &Outline| bounds(outline).map(|(l, h)| ((l.0 + h.0) / 2.0, (l.1 + h.1) / 2.0));
    let (about, there) = (middle(drawing)?, middle(seen)?);
    if (there.0 - eye.foot.0).hypot(there.1 - eye.foot.1) < NEAREST {
        return None;
    }
    let points: Vec<Point> =
        drawing.iter().flatten().map(|p| (p.0 - about.0, p.1 - about.1)).collect();
    let wanted = supports(seen);
    let mut weights = vec![1.0; DIRECTIONS];
    let mut params = vec![1.0, 0.0, USUAL[2].0, there.0, there.1];
    for _ in 0..3 {
        let off = |v: &[f64]| -> Vec<f64> {
            wanted
                .iter()
                .map(|(n, far)| (reach(&points, v, eye, (*n, Side::Seen)) - far) / EXACT)
                .collect()
        };
        let found = minimise(&params, 20, |v| {
            let own = off(v).into_iter().zip(&weights).map(|(off, weight)| off * weight);
            let usual = USUAL.iter().zip(v).map(|((usual, spread), v)| (v - usual) / spread);
            own.chain(usual).collect()
        })?;
        params = found.params;
        for (weight, off) in weights.iter_mut().zip(off(&params)) {
            *weight = 1.0 / (1.0 + (off / 3.0).powi(2)).sqrt();
        }
    }
    let height = params[2];
    (height.is_finite() && (0.2..15.0).contains(&height)).then_some(height)
}

/// How a piece lies.
#[derive(Debug, Clone, Copy)]
pub struct Lying {
    /// How far it is turned, in radians.
    pub turn: f64,
    /// The middle of its foot, in millimetres of the page.
    pub at: Point,
    /// What is left between it and what is seen: RMS in millimetres, without what stands out.
    pub rms: f64,
}

/// How a piece of known size and thickness lies; `turn` where its inside shows it. Its side may be seen, or be lost in
/// its shadow.
pub fn lie(
    drawing: &Outline,
    seen: &Outline,
    eye: &Eye,
    (size, thick): (f64, f64),
    turn: Option<f64>,
) -> Option<Lying> {
    let middle =
        |outline: &Outline| bounds(outline).map(|(l, h)| ((l.0 + h.0) / 2.0, (l.1 + h.1) / 2.0));
    let (about, there) = (middle(drawing)?, middle(seen)?);
    let points: Vec<Point> =
        drawing.iter().flatten().map(|p| (p.0 - about.0, p.1 - about.1)).collect();
    let wanted = supports(seen);
    let sides = [Side::Seen, Side::Lost].into_iter();
    let tries = sides.filter_map(|side| {
        let mut weights = vec![1.0; DIRECTIONS];
        let mut params = vec![turn.unwrap_or(0.0), there.0, there.1];
        let off = |v: &[f64]| -> Vec<f64> {
            let all = [size, v[0], thick, v[1], v[2]];
            let one =
                |(n, far): &(Point, f64)| (reach(&points, &all, eye, (*n, side)) - far) / EXACT;
            wanted.iter().map(one).collect()
        };
        for _ in 0..4 {
            let spread = if turn.is_some() { 0.01 } else { USUAL[1].1 };
            let found = minimise(&params, 15, |v| {
                let own = off(v).into_iter().zip(&weights).map(|(off, weight)| off * weight);
                own.chain([(v[0] - turn.unwrap_or(0.0)) / spread]).collect()
            })?;
            params = found.params;
            for (weight, off) in weights.iter_mut().zip(off(&params)) {
                *weight = 1.0 / (1.0 + (off / 2.0).powi(2));
            }
        }
        // Two thirds agree; the rest is a highlight, or a shadow that was taken for the part.
        let mut left: Vec<f64> = off(&params).iter().map(|v| (v * EXACT).abs()).collect();
        left.sort_by(f64::total_cmp);
        let kept = &left[..left.len() * 2 / 3];
        let rms = (kept.iter().map(|v| v * v).sum::<f64>() / kept.len().max(1) as f64).sqrt();
        Some(Lying { turn: params[0], at: (params[1], params[2]), rms })
    });
    tries.filter(|l| l.rms.is_finite()).min_by(|a, b| a.rms.total_cmp(&b.rms))
}

/// Whether the side of a part is seen as a part of it.
#[derive(Clone, Copy, PartialEq)]
enum Side {
    Seen,
    Lost,
}

/// How far an outline reaches in each direction.
fn supports(outline: &Outline) -> Vec<(Point, f64)> {
    let points = || outline.iter().flatten();
    let far = |n: Point| points().map(|p| p.0 * n.0 + p.1 * n.1).fold(f64::MIN, f64::max);
    directions().map(|n| (n, far(n))).collect()
}

/// What the pieces of a part agree on.
pub fn agreed(heights: &[f64]) -> Option<f64> {
    let mut all = heights.to_vec();
    let middle = median(&mut all);
    let apart = median(&mut all.iter().map(|h| (h - middle).abs()).collect::<Vec<_>>());
    (heights.len() >= LEAST && apart < APART).then_some(middle)
}

fn directions() -> impl Iterator<Item = Point> {
    (0..DIRECTIONS).map(|i| {
        let turn = i as f64 / DIRECTIONS as f64 * std::f64::consts::TAU;
        (turn.cos(), turn.sin())
    })
}

/// How far a piece reaches in a direction, its face and its foot together, or its face alone.
fn reach(points: &[Point], v: &[f64], eye: &Eye, (n, side): (Point, Side)) -> f64 {
    let (scale, (sin, cos)) = (v[0], v[1].sin_cos());
    // The direction turned back, so that points need not be turned.
    let back = (n.0 * cos + n.1 * sin, n.1 * cos - n.0 * sin);
    let own = points.iter().map(|p| p.0 * back.0 + p.1 * back.1).fold(f64::MIN, f64::max);
    let foot = scale * own + v[3] * n.0 + v[4] * n.1;
    let under = eye.foot.0 * n.0 + eye.foot.1 * n.1;
    let face = under + (foot - under) / eye.shrink(v[2].clamp(0.0, 0.5 * eye.height)).max(0.1);
    if side == Side::Seen { foot.max(face) } else { face }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_thickness_of_a_turned_part() {
        let eye = Eye { foot: (100.0, 140.0), height: 380.0 };
        let drawing = vec![vec![(-9.0, -3.0), (9.0, -3.0), (9.0, 3.0), (-9.0, 3.0)]];
        let (turn, scale, at, thick) = (0.07_f64, 1.012, (22.0, 31.0), 1.9);
        let foot: Vec<Point> = drawing[0]
            .iter()
            .map(|p| {
                let (x, y) = (p.0 * scale, p.1 * scale);
                (at.0 + x * turn.cos() - y * turn.sin(), at.1 + x * turn.sin() + y * turn.cos())
            })
            .collect();
        let lifted = |p: &Point| {
            let k = 1.0 / eye.shrink(thick);
            (eye.foot.0 + (p.0 - eye.foot.0) * k, eye.foot.1 + (p.1 - eye.foot.1) * k)
        };
        let face: Vec<Point> = foot.iter().map(lifted).collect();
        let seen = vec![foot, face];
        let found = height(&drawing, &seen, &eye).unwrap();
        assert!((found - thick).abs() < 0.15, "{found}");
        let found = lie(&drawing, &seen, &eye, (scale, thick), None).unwrap();
        assert!((found.turn - turn).abs() < 0.01 && found.rms < 0.02, "{found:?}");
        assert!((found.at.0 - at.0).hypot(found.at.1 - at.1) < 0.03, "{found:?}");
        // Of which only the face is seen.
        let found = lie(&drawing, &vec![seen[1].clone()], &eye, (scale, thick), None).unwrap();
        assert!((found.at.0 - at.0).hypot(found.at.1 - at.1) < 0.03, "{found:?}");
        assert_eq!(agreed(&[1.0, 1.1, 1.05, 4.0]), Some(1.1));
        assert_eq!(agreed(&[1.0, 3.0, 5.0]), None);
        assert_eq!(height(&drawing, &Outline::new(), &eye), None);
    }
}
