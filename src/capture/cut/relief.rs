//! How thick parts are: beside the face, towards the point under the camera, their side is seen,
//! mostly darker than the face. Where it ends is proportional to the thickness.

use crate::capture::cut::eye::Eye;
use crate::capture::cut::patch::Patch;
use crate::capture::cut::refine::{normals, spaced};
use crate::capture::cut::{Outline, Point};
use crate::capture::least::{median, quantile};

/// The step and the number of heights that are looked at, in millimetres.
const STEP: f64 = 0.1;
const COUNT: usize = 56;
/// Millimetres of side seen for each millimetre of height, at least.
const LEAST_SHARE: f64 = 0.1;
/// How much lighter the face must be than the side, in logarithms.
const LIGHTER: f64 = 0.07;

/// How much darker a side is than the face beside it, at least, in logarithms; a bevel is less so.
const SIDE: f64 = 0.3;

/// What the edges of one part say.
#[derive(Debug, Clone)]
pub struct Profile {
    /// The logarithm of light at each height.
    light: Vec<f64>,
}

/// Light along the side and on to the face, by the height that each place would have.
pub fn profile(patch: &Patch, whole: &Outline, eye: &Eye) -> Option<Profile> {
    let ring = spaced(whole.first()?, 2.0);
    let mut columns: Vec<Vec<f64>> = vec![Vec::new(); COUNT];
    for (p, n) in ring.iter().zip(normals(&ring)) {
        let page = patch.to_page(*p);
        let out = eye.down(page, 1.0);
        let share = out.0 * n.0 + out.1 * n.1;
        if share < LEAST_SHARE {
            continue;
        }
        for (i, column) in columns.iter_mut().enumerate() {
            let deep = share * STEP * i as f64 / patch.step;
            let seen: Point = (p.0 - n.0 * deep, p.1 - n.1 * deep);
            let light = patch.at(seen);
            column.push((0.3 * light[0] + 0.5 * light[1] + 0.2 * light[2] + 0.01).ln());
        }
    }
    let enough = columns.first().is_some_and(|c| c.len() >= 12);
    enough.then(|| Profile { light: columns.iter_mut().map(|c| median(c)).collect() })
}

/// The height at which most parts become lighter. `None` where they do not agree.
pub fn height(profiles: &[Profile]) -> Option<f64> {
    let rise = |i: usize| {
        let mut all: Vec<f64> =
            profiles.iter().map(|p| (p.light[i + 2] - p.light[i - 2]).clamp(-0.3, 0.5)).collect();
        all.sort_by(f64::total_cmp);
        // Between the quartiles: neither a dark ground's edge nor a reflection counts.
        (quantile(&mut all, 0.4) + quantile(&mut all, 0.6)) / 2.0
    };
    if profiles.is_empty() || profiles.iter().any(|p| p.light.len() < COUNT) {
        return None;
    }
    let rises: Vec<f64> = (4..COUNT - 3).map(rise).collect();
    let best = (0..rises.len()).max_by(|a, b| rises[*a].total_cmp(&rises[*b]))?;
    let inner = best > 0 && best + 1 < rises.len() && rises[best] > LIGHTER;
    let (before, after) = (rises.get(best.wrapping_sub(1))?, rises.get(best + 1)?);
    let bend = before - 2.0 * rises[best] + after;
    let off = if bend < -1e-9 { 0.5 * (before - after) / bend } else { 0.0 };
    inner.then(|| STEP * (best as f64 + 4.0 + off.clamp(-0.5, 0.5)))
}

/// Whether the part's side was taken for the part: beside the edge towards the camera's foot it is
/// darker than farther in. On a ground of its own lightness a side in shadow may have been taken for ground.
pub fn side_seen(patch: &Patch, whole: &Outline, eye: &Eye, height: f64) -> bool {
    let Some(first) = whole.first() else { return false };
    let ring = spaced(first, 2.0);
    let mut steps = Vec::new();
    for (p, n) in ring.iter().zip(normals(&ring)) {
        let out = eye.down(patch.to_page(*p), height);
        let wide = (out.0 * n.0 + out.1 * n.1) / patch.step;
        if wide < 3.0 {
            continue;
        }
        let light = |deep: f64| {
            let light = patch.at((p.0 - n.0 * deep, p.1 - n.1 * deep));
            (0.3 * light[0] + 0.5 * light[1] + 0.2 * light[2] + 0.01).ln()
        };
        steps.push(light(1.4 * wide + 1.0) - light(0.5 * wide));
    }
    steps.len() < 12 || median(&mut steps) > SIDE
}
