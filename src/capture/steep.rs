//! Where the light on the paper changes faster than lamps make it, and whether it does so along one line: the edge of
//! a shadow that lies across the page.

use nalgebra::{Matrix3, Vector2, Vector3};

use crate::capture::white::White;

/// How far around a look others are taken, in millimetres.
const REACH: f64 = 12.0;
/// Looks around, at least.
const FEWEST: usize = 10;
/// The steepest that lamps and windows make paper, in natural logarithms a millimetre: a lamp of 150 mm in height.
const STEEP: f64 = 0.012;
/// How uncertain a slope may be, in the same unit.
const UNSURE: f64 = 0.003;

/// How much of the paper is steep, and how much of that lies one way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steep {
    /// The share of looks.
    pub share: f64,
    /// 1 for slopes that all lie along one line, up or down; 0 for as many every way, as around a reflection.
    pub aligned: f64,
}

impl Steep {
    /// That of a page's looks.
    pub fn of(looks: &[White]) -> Steep {
        let slopes: Vec<Vector2<f64>> =
            looks.iter().filter_map(|look| slope(look, looks)).collect();
        let steep = || slopes.iter().filter(|s| s.norm() > STEEP);
        let share = steep().count() as f64 / slopes.len().max(1) as f64;
        // Doubled angles: up and down one line are alike.
        let doubled = |s: &Vector2<f64>| Vector2::new(s.x * s.x - s.y * s.y, 2.0 * s.x * s.y);
        let along: Vector2<f64> = steep().map(doubled).sum();
        let all: f64 = steep().map(Vector2::norm_squared).sum();
        let aligned = if all > 0.0 { along.norm() / all } else { 0.0 };
        Steep { share, aligned }
    }
}

/// The slope of a plane through the logarithms of the light around a look; `None` where it is not certain.
fn slope(look: &White, looks: &[White]) -> Option<Vector2<f64>> {
    let near = looks.iter().filter_map(|w| {
        let (x, y) = (w.page.0 - look.page.0, w.page.1 - look.page.1);
        (x.hypot(y) < REACH).then(|| (Vector3::new(1.0, x, y), w.light[1].max(1e-4).ln()))
    });
    let near: Vec<(Vector3<f64>, f64)> = near.collect();
    if near.len() < FEWEST {
        return None;
    }
    let normal = near.iter().fold(Matrix3::zeros(), |sum, (p, _)| sum + p * p.transpose());
    let right = near.iter().fold(Vector3::zeros(), |sum, (p, v)| sum + p * *v);
    let inverse = normal.try_inverse()?;
    let plane = inverse * right;
    let left: f64 = near.iter().map(|(p, v)| (v - p.dot(&plane)).powi(2)).sum();
    let noise = left / (near.len() - 3) as f64;
    let unsure = (noise * (inverse[(1, 1)] + inverse[(2, 2)])).sqrt();
    (unsure < UNSURE).then_some(plane.yz())
}
