//! How thick a part without a drawing is, by several pieces of it: across the direction to the point under the camera
//! each is seen as wide as its face, along it wider by a share of the thickness. In which direction that is differs
//! from place to place; the part does not.

use crate::capture::cut::eye::Eye;
use crate::capture::cut::{Outline, Point};
use crate::capture::least::median;

/// Directions in which pieces are measured, over half a turn.
const DIRECTIONS: usize = 30;
/// Pieces that are needed.
const LEAST: usize = 5;
/// A part whose spreads along and across differ by less is round: how it is turned does not matter.
const ROUND: f64 = 0.08;
/// How exactly a width and a turn are known, in millimetres and radians.
const EXACT: f64 = 0.06;
const TURNED: f64 = 0.012;
/// How uncertain a thickness may be, in millimetres.
const SURE: f64 = 0.5;

/// The thickness that pieces show together, in millimetres; `None` where they do not.
pub fn height(pieces: &[Outline], eye: &Eye) -> Option<f64> {
    let pieces: Vec<Piece> = pieces.iter().filter_map(Piece::of).collect();
    if pieces.len() < LEAST {
        return None;
    }
    let turns = aligned(&pieces);
    let courses = (0..DIRECTIONS).map(|i| i as f64 / DIRECTIONS as f64 * std::f64::consts::PI);
    let looks: Vec<Vec<(f64, f64)>> = courses
        .map(|course| {
            pieces.iter().zip(&turns).map(|(p, turn)| p.seen(course + turn, eye)).collect()
        })
        .collect();
    let widths: Vec<f64> = looks
        .iter()
        .map(|seen| median(&mut seen.iter().map(|s| s.1).collect::<Vec<_>>()))
        .collect();
    let (mut sxx, mut sxy, mut pairs) = (0.0, 0.0, Vec::new());
    for (i, seen) in looks.iter().enumerate() {
        // Where the width changes much with the direction, a small error of the turn is a large one of the width.
        let next = widths[(i + 1) % DIRECTIONS] - widths[(i + DIRECTIONS - 1) % DIRECTIONS];
        let slope = next * DIRECTIONS as f64 / std::f64::consts::TAU;
        let weight = EXACT * EXACT / (EXACT * EXACT + (TURNED * slope).powi(2));
        // The part's own width is what all have there.
        let middle =
            |of: fn(&(f64, f64)) -> f64| median(&mut seen.iter().map(of).collect::<Vec<_>>());
        let (x, y) = (middle(|s| s.0), middle(|s| s.1));
        for (away, wide) in seen {
            sxx += weight * (away - x).powi(2);
            sxy += weight * (away - x) * (wide - y);
            pairs.push((away - x, wide - y, weight));
        }
    }
    if sxx < 1e-9 {
        return None;
    }
    let height = sxy / sxx;
    let left: f64 = pairs.iter().map(|(x, y, weight)| weight * (y - height * x).powi(2)).sum();
    let all: f64 = pairs.iter().map(|(.., weight)| weight).sum();
    // Directions that are neighbours are measured at the same points: a few of them are independent.
    let free = (all / 5.0).max(2.0);
    let error = (left / all / (sxx / all * free)).sqrt();
    (height.is_finite() && (0.2..15.0).contains(&height) && error < SURE).then_some(height)
}

/// A piece by its points.
struct Piece<'a> {
    points: &'a [Point],
    middle: Point,
    /// The direction that it is longest in; none of a round one.
    axis: Option<f64>,
}

impl Piece<'_> {
    fn of(outline: &Outline) -> Option<Piece<'_>> {
        let points = outline.first().filter(|ring| ring.len() >= 8)?;
        let count = points.len() as f64;
        let sum = points.iter().fold((0.0, 0.0), |s, p| (s.0 + p.0, s.1 + p.1));
        let middle = (sum.0 / count, sum.1 / count);
        let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
        for p in points {
            let (x, y) = (p.0 - middle.0, p.1 - middle.1);
            (xx, xy, yy) = (xx + x * x, xy + x * y, yy + y * y);
        }
        let round = (xx - yy).hypot(2.0 * xy) / (xx + yy).max(1e-12);
        let axis = (round > ROUND).then(|| 0.5 * (2.0 * xy).atan2(xx - yy));
        let finite = middle.0.is_finite() && middle.1.is_finite() && round.is_finite();
        finite.then_some(Piece { points, middle, axis })
    }

    /// What a unit of thickness adds to its width in a direction, and its width there.
    fn seen(&self, course: f64, eye: &Eye) -> (f64, f64) {
        let n = (course.cos(), course.sin());
        let along = self.points.iter().map(|p| p.0 * n.0 + p.1 * n.1);
        let (low, high) = along.fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)));
        let away = (self.middle.0 - eye.foot.0) * n.0 + (self.middle.1 - eye.foot.1) * n.1;
        (away.abs() / eye.height, high - low)
    }
}

/// How each piece is turned against the first.
fn aligned(pieces: &[Piece]) -> Vec<f64> {
    let half = std::f64::consts::PI;
    let axes: Vec<f64> = pieces.iter().filter_map(|p| p.axis).collect();
    let Some(first) = axes.first().filter(|_| axes.len() * 10 >= pieces.len() * 7) else {
        return vec![0.0; pieces.len()];
    };
    let turn = |p: &Piece| {
        p.axis.map_or(0.0, |axis| (axis - first + half / 2.0).rem_euclid(half) - half / 2.0)
    };
    pieces.iter().map(turn).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_thickness_of_pieces_all_around() {
        let eye = Eye { foot: (100.0, 140.0), height: 380.0 };
        let thick = 2.2;
        let lifted = |p: &Point| {
            let k = 1.0 / eye.shrink(thick);
            (eye.foot.0 + (p.0 - eye.foot.0) * k, eye.foot.1 + (p.1 - eye.foot.1) * k)
        };
        let piece = |i: usize| {
            let at = (30.0 + 45.0 * (i % 4) as f64, 40.0 + 60.0 * (i / 4) as f64);
            let turn = 0.05 * ((i * 7) % 5) as f64 - 0.1;
            let corner = |(x, y): (f64, f64)| {
                (at.0 + x * turn.cos() - y * turn.sin(), at.1 + x * turn.sin() + y * turn.cos())
            };
            let mut ring: Vec<Point> = Vec::new();
            for k in 0..40 {
                let s = -1.0 + f64::from(k) / 20.0;
                ring.extend([(9.0 * s, -3.0), (9.0 * s, 3.0)].map(corner));
            }
            let face: Vec<Point> = ring.iter().map(lifted).collect();
            ring.extend(face);
            vec![ring]
        };
        let pieces: Vec<Outline> = (0..16).map(piece).collect();
        let found = height(&pieces, &eye).unwrap();
        assert!((found - thick).abs() < 0.3, "{found}");
        assert_eq!(height(&pieces[..3], &eye), None);
    }
}
