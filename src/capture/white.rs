//! Looking at the bare paper between all that is printed or lies on a page.

use crate::capture::least::quantile;
use crate::capture::lens::{Lens, mean_scale};
use crate::capture::page::{Ground, Rect, StagePage};
use crate::capture::picture::Picture;

/// From one look to the next, in millimetres, on pages of up to about A4.
const STEP: f64 = 3.0;
/// Half the edge of the square that is looked at, in millimetres.
const HALF: f64 = 0.8;
/// Looks along an edge, at most.
const MOST_STEPS: f64 = 140.0;
/// Round the patches of a chart, in millimetres: the card that carries them, and its shadow.
const CARD: f64 = 8.0;
/// Pixels along the edge of a square that are looked at, at most.
const MOST_PIXELS: usize = 14;

/// One look at the paper.
#[derive(Debug, Clone, Copy)]
pub struct White {
    /// Where on the page, in millimetres.
    pub page: (f64, f64),
    /// Linear light.
    pub light: [f64; 3],
    /// The share of it that clips.
    pub clipped: f64,
    /// How much it varies, relative: between its darkest and lightest tenth.
    pub rough: f64,
}

/// Looks at the paper wherever nothing is printed that the page knows of. Numbers and words are met:
/// they vary more, or come out darker than what is around them.
pub fn look(picture: &Picture, lens: &Lens, page: &StagePage) -> Vec<White> {
    let covered = Covered::of(page);
    let step = STEP.max(page.size.0.max(page.size.1) / MOST_STEPS);
    let count = |length: f64| ((length - 4.0) / step).clamp(0.0, MOST_STEPS) as usize;
    let mut looks = Vec::new();
    for i in 0..count(page.size.0) {
        for k in 0..count(page.size.1) {
            let at = (2.0 + (i as f64 + 0.5) * step, 2.0 + (k as f64 + 0.5) * step);
            if !covered.covers(at) {
                looks.extend(look_at(picture, lens, at));
            }
        }
    }
    drop_rough(&mut looks);
    looks
}

/// What is printed or lies on the page, with margins.
struct Covered<'a> {
    page: &'a StagePage,
    rects: Vec<(Rect, f64)>,
}

impl Covered<'_> {
    fn of(page: &StagePage) -> Covered<'_> {
        let mut rects = vec![(page.code.rect(), HALF + 0.8)];
        rects.extend(page.patches.iter().map(|p| (p.rect, HALF + 0.8)));
        rects.extend(page.chart.iter().map(|c| (c.rect, HALF + CARD)));
        rects.extend(page.covered.iter().map(|r| (*r, HALF + 0.8)));
        rects.extend(page.prints.iter().map(|p| (p.frame, HALF + 0.8)));
        for place in &page.places {
            let margin = if place.ground == Ground::White { 0.3 } else { 0.8 };
            rects.push((place.frame, HALF + margin));
        }
        Covered { page, rects }
    }

    fn covers(&self, at: (f64, f64)) -> bool {
        let dots = self.page.dot_radius + 1.5 * HALF + 0.4;
        let dot = |d: &(f64, f64)| (d.0 - at.0).hypot(d.1 - at.1) < dots;
        self.rects.iter().any(|(rect, margin)| rect.holds(at, *margin))
            || self.page.dots.iter().any(dot)
    }
}

fn look_at(picture: &Picture, lens: &Lens, page: (f64, f64)) -> Option<White> {
    let centre = lens.project(page)?;
    let half = HALF * mean_scale(&lens.scale(page)?);
    picture.pixel((centre.0 - half, centre.1 - half))?;
    picture.pixel((centre.0 + half, centre.1 + half))?;
    let edge = (2.0 * half).max(1.0);
    let count = (edge as usize).clamp(1, MOST_PIXELS);
    let (mut pixels, mut clipped) = (Vec::with_capacity(count * count), 0usize);
    for i in 0..count {
        for k in 0..count {
            let place = |n: usize| (n as f64 + 0.5) / count as f64 * edge - half;
            let (x, y) = picture.pixel((centre.0 + place(i), centre.1 + place(k)))?;
            pixels.push(picture.light(x, y).map(f64::from));
            clipped += usize::from(picture.clips(x, y));
        }
    }
    // The middle half by lightness: a letter's corner or a speck is left out.
    let mut greens: Vec<f64> = pixels.iter().map(|p| p[1]).collect();
    let [a, b, c, d] = [0.1, 0.25, 0.75, 0.9].map(|share| quantile(&mut greens, share));
    let (mut sum, mut kept) = ([0.0; 3], 0.0);
    for pixel in pixels.iter().filter(|p| p[1] >= b && p[1] <= c) {
        kept += 1.0;
        for (sum, v) in sum.iter_mut().zip(pixel) {
            *sum += v;
        }
    }
    let light = sum.map(|s| s / f64::max(kept, 1.0));
    let clipped = clipped as f64 / pixels.len().max(1) as f64;
    let rough = (d - a) / light[1].max(1e-4);
    (light.iter().all(|v| *v > 1e-4)).then_some(White { page, light, clipped, rough })
}

/// Leaves out what varies much more than most.
fn drop_rough(looks: &mut Vec<White>) {
    let mut rough: Vec<f64> = looks.iter().map(|w| w.rough).collect();
    let usual = quantile(&mut rough, 0.4);
    looks.retain(|w| w.rough < 2.0 * usual + 0.03);
}
