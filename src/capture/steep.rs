//! Where the light on the paper changes faster than lamps make it, and whether it does so along one line: the edge of
//! a shadow that lies across the page.

use nalgebra::{Matrix3, Vector3};

use crate::capture::white::White;

/// How far around a look others are taken, in millimetres.
const REACH: f64 = 12.0;
/// Looks around, at least.
const FEWEST: usize = 10;
/// The steepest that lamps and windows make paper, in natural logarithms a millimetre: a lamp of 150 mm in height.
const STEEP: f64 = 0.012;
/// How uncertain a slope may be, in the same unit.
const UNSURE: f64 = 0.003;

/// The slope of the light around a look.
#[derive(Debug, Clone, Copy)]
struct Slope {
    x: f64,
    y: f64,
}

impl Slope {
    fn length(self) -> f64 {
        self.x.hypot(self.y)
    }
}

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
        let slopes: Vec<Slope> = looks.iter().filter_map(|look| slope(look, looks)).collect();
        let steep: Vec<Slope> = slopes.iter().copied().filter(|s| s.length() > STEEP).collect();
        let share = steep.len() as f64 / slopes.len().max(1) as f64;
        // Doubled angles: up and down one line are alike.
        let sum = steep.iter().fold((0.0, 0.0, 0.0), |(cos, sin, all), s| {
            (cos + s.x * s.x - s.y * s.y, sin + 2.0 * s.x * s.y, all + s.x * s.x + s.y * s.y)
        });
        let aligned = if sum.2 > 0.0 { f64::hypot(sum.0, sum.1) / sum.2 } else { 0.0 };
        Steep { share, aligned }
    }
}

/// A plane through the logarithms of the light around a look; `None` where it is not certain.
fn slope(look: &White, looks: &[White]) -> Option<Slope> {
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
    (unsure < UNSURE).then_some(Slope { x: plane[1], y: plane[2] })
}
