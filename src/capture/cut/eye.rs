//! Where the camera stood over the page: a part's face is nearer to it than the page, so it is seen
//! larger, and moved away from the point under the camera.

use crate::capture::least::minimise;
use crate::capture::lens::mean_scale;

use crate::capture::cut::Point;
use crate::capture::face::Scene;

/// Focal length of a usual lens in half diagonals of the picture, and how much lenses differ (in
/// logarithms): needed where the page is seen straight from above, which tells nothing of it.
const FOCAL: (f64, f64) = (1.5, 0.15);
/// How exact places are, in half diagonals.
const EXACT: f64 = 5e-4;

/// The camera's place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Eye {
    /// The point of the page under it, in millimetres.
    pub foot: Point,
    /// How far it is from the page's plane, in millimetres.
    pub height: f64,
}

impl Eye {
    /// By the page's perspective; `None` where none fits.
    pub fn of(scene: Scene, page: (f64, f64)) -> Option<Eye> {
        let (width, height) = (scene.picture.width() as f64, scene.picture.height() as f64);
        let unit = 0.5 * width.hypot(height);
        let radial = scene.lens.radial();
        let centre = (page.0 / 2.0, page.1 / 2.0);
        let seen = |p: Point| {
            let at = scene.lens.project(p)?;
            straight(((at.0 - width / 2.0) / unit, (at.1 - height / 2.0) / unit), radial)
        };
        let mut ties = Vec::new();
        for i in 0..5 {
            for k in 0..5 {
                let p = (page.0 * f64::from(i) / 4.0, page.1 * f64::from(k) / 4.0);
                ties.extend(seen(p).map(|at| ((p.0 - centre.0, p.1 - centre.1), at)));
            }
        }
        if ties.len() < 12 {
            return None;
        }
        let scale = scene.lens.scale(centre)?;
        let far = FOCAL.0 * unit / mean_scale(&scale).max(1e-6);
        let at = seen(centre)?;
        let turn = scale[1][0].atan2(scale[0][0]);
        let start = [FOCAL.0.ln(), 0.0, 0.0, turn, at.0 * far / FOCAL.0, at.1 * far / FOCAL.0, far];
        let found = minimise(&start, 40, |v| residuals(v, &ties))?.params;
        let (r, t) = (rotation(&found), [found[4], found[5], found[6]]);
        let back = |k: usize| -(0..3).map(|i| r[i][k] * t[i]).sum::<f64>();
        let (foot, height) = ((centre.0 + back(0), centre.1 + back(1)), back(2).abs());
        let usable = foot.0.is_finite() && foot.1.is_finite() && height.is_finite();
        (usable && height > 20.0).then_some(Eye { foot, height })
    }

    /// From a point of a part's face, as it is seen on the page's plane, to the point of the page under it.
    pub fn down(&self, seen: Point, height: f64) -> Point {
        let share = height / self.height;
        ((self.foot.0 - seen.0) * share, (self.foot.1 - seen.1) * share)
    }

    /// What a length on a face is of the length that it is seen as.
    pub fn shrink(&self, height: f64) -> f64 {
        1.0 - height / self.height
    }
}

/// Takes radial distortion off, by Newton's method on the radius.
fn straight(at: Point, (k1, k2): (f64, f64)) -> Option<Point> {
    let far = at.0.hypot(at.1);
    let mut r = far;
    for _ in 0..12 {
        let slope = 1.0 + 3.0 * k1 * r * r + 5.0 * k2 * r.powi(4);
        if slope.abs() < 0.05 {
            return None;
        }
        r -= (r * (1.0 + k1 * r * r + k2 * r.powi(4)) - far) / slope;
    }
    let shrink = if far > 1e-12 { r / far } else { 1.0 };
    Some((at.0 * shrink, at.1 * shrink))
}

fn rotation(v: &[f64]) -> [[f64; 3]; 3] {
    let ((sx, cx), (sy, cy), (sz, cz)) = (v[1].sin_cos(), v[2].sin_cos(), v[3].sin_cos());
    [
        [cz * cy, cz * sy * sx - sz * cx, cz * sy * cx + sz * sx],
        [sz * cy, sz * sy * sx + cz * cx, sz * sy * cx - cz * sx],
        [-sy, cy * sx, cy * cx],
    ]
}

fn residuals(v: &[f64], ties: &[(Point, Point)]) -> Vec<f64> {
    let (r, focal) = (rotation(v), v[0].exp());
    let mut out = Vec::with_capacity(2 * ties.len() + 1);
    for (page, at) in ties {
        let [x, y, z] = [0, 1, 2].map(|i| r[i][0] * page.0 + r[i][1] * page.1 + v[4 + i]);
        let z = if z.abs() > 1e-6 { z } else { 1e-6 };
        out.push((focal * x / z - at.0) / EXACT);
        out.push((focal * y / z - at.1) / EXACT);
    }
    out.push((v[0] - FOCAL.0.ln()) / FOCAL.1);
    out
}
