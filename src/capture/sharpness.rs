//! How sharp a photograph is: the edges of its dots.

use crate::capture::least::quantile;
use crate::capture::lens::{inverse, mean_scale};
use crate::capture::page::StagePage;
use crate::capture::picture::Picture;
use crate::capture::plane::Plane;

/// Directions in the picture that are told apart.
const DIRECTIONS: usize = 4;
/// Steps across an edge, in half pixels, from this far within to this far out.
const STEPS: usize = 60;
/// Between a fifth and four fifths of the way from dark to light an edge that is blurred by a normal
/// distribution goes 1.683 of its standard deviations.
const FIFTHS: f64 = 1.683;

/// How wide edges are: standard deviations in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sharpness {
    /// In the direction in which they are widest.
    pub softest: f64,
    /// Across that direction.
    pub other: f64,
    /// In pixels, in the softest direction.
    pub pixels: f64,
}

/// Measures the edges of all dots together, by the direction in which they are crossed. `None` where
/// there are too few.
pub fn measure(picture: &Picture, plane: &Plane, page: &StagePage) -> Option<Sharpness> {
    let mut profiles = [[(0.0f64, 0u32); STEPS]; DIRECTIONS];
    let mut scales = Vec::new();
    for (at, dot) in page.dots.iter().zip(&plane.dots) {
        let (Some(dot), Some(scale)) = (dot, plane.lens.scale(*at)) else { continue };
        let (Some(back), mean) = (inverse(&scale), mean_scale(&scale)) else { continue };
        scales.push(mean);
        let reach = (2.0 * page.dot_radius * mean).min(200.0);
        let first = |v: f64| (v - reach).max(0.0) as usize;
        for y in first(dot.at.1)..(dot.at.1 + reach).max(0.0) as usize + 1 {
            for x in first(dot.at.0)..(dot.at.0 + reach).max(0.0) as usize + 1 {
                let (dx, dy) = (x as f64 + 0.5 - dot.at.0, y as f64 + 0.5 - dot.at.1);
                let mm =
                    (back[0][0] * dx + back[0][1] * dy).hypot(back[1][0] * dx + back[1][1] * dy);
                let far = dx.hypot(dy);
                // How many pixels out of the dot's edge.
                let out = far - far * page.dot_radius / mm.max(1e-6);
                let step = (2.0 * out + STEPS as f64 / 2.0).floor();
                if mm > 1.9 * page.dot_radius || mm < 0.1 || !(0.0..STEPS as f64).contains(&step) {
                    continue;
                }
                let turn = dy.atan2(dx) / std::f64::consts::PI * DIRECTIONS as f64;
                let direction = (turn.round() as i64).rem_euclid(DIRECTIONS as i64) as usize;
                let dark = dot.core * dot.ground;
                let value = f64::from(picture.channel(x, y, 1)) - dark;
                let cell = &mut profiles[direction][step as usize];
                cell.0 += value / (dot.ground - dark).max(1e-4);
                cell.1 += 1;
            }
        }
    }
    let scale = quantile(&mut scales, 0.5);
    let widths: Vec<f64> = profiles.iter().filter_map(width).collect();
    if widths.len() < DIRECTIONS || scale <= 0.0 {
        return None;
    }
    let softest = (0..DIRECTIONS).max_by(|a, b| widths[*a].total_cmp(&widths[*b]))?;
    let other = widths[(softest + DIRECTIONS / 2) % DIRECTIONS];
    Some(Sharpness {
        softest: widths[softest] / scale,
        other: other / scale,
        pixels: widths[softest],
    })
}

/// The standard deviation of an edge in pixels, from its profile in half pixels.
fn width(profile: &[(f64, u32); STEPS]) -> Option<f64> {
    let mut steps = Vec::new();
    let mut highest = f64::MIN;
    for (i, (sum, count)) in profile.iter().enumerate().filter(|(_, (_, count))| *count > 3) {
        highest = highest.max(sum / f64::from(*count));
        steps.push((i as f64 / 2.0, highest));
    }
    let cross = |level: f64| {
        steps
            .windows(2)
            .find(|w| w[0].1 < level && w[1].1 >= level)
            .map(|w| w[0].0 + (level - w[0].1) / (w[1].1 - w[0].1).max(1e-9) * (w[1].0 - w[0].0))
    };
    Some((cross(0.8)? - cross(0.2)?) / FIFTHS)
}
