//! A place of the page, flat, at the photograph's own resolution.

use crate::capture::face::Scene;
use crate::capture::lens::mean_scale;
use crate::capture::{Picture, Rect};

use crate::capture::cut::{Fault, Point};

/// Pixels from one node to the next, between which lens and light run straight.
const NODE: usize = 8;
/// Pixels of a patch, and of the window of the photograph that it is made of, at most.
const MOST: usize = 12_000_000;
/// The finest step: 1,200 pixels an inch.
const FINEST: f64 = 25.4 / 1200.0;

/// A piece of the page, flat.
#[derive(Debug, Clone)]
pub struct Patch {
    /// Its top left corner on the page, in millimetres.
    pub origin: Point,
    /// Edge of a pixel in millimetres.
    pub step: f64,
    /// Pixels from left to right.
    pub width: usize,
    /// Pixels from top to bottom.
    pub height: usize,
    /// Linear light, the paper's white there = 1, per channel of the camera.
    pub light: Vec<[f32; 3]>,
}

impl Patch {
    /// Takes a rectangle of the page out of a photograph.
    ///
    /// # Errors
    /// Where it is not wholly in the picture, and where it has too many pixels.
    pub fn take(scene: Scene, rect: &Rect) -> Result<Patch, Fault> {
        let scale = scene.lens.scale(rect.centre()).map_or(0.0, |s| mean_scale(&s));
        if !(scale.is_finite() && scale > 0.5) {
            return Err(Fault::Outside);
        }
        let step = (1.0 / scale).max(FINEST);
        let (width, height) = (rect.width / step, rect.height / step);
        if !(width >= 8.0 && height >= 8.0 && width * height < MOST as f64) {
            return Err(Fault::TooLarge);
        }
        let (width, height) = (width as usize, height as usize);
        let origin = (rect.left, rect.top);
        let mut patch = Patch { origin, step, width, height, light: Vec::new() };
        let nodes = Nodes::of(scene, &patch).ok_or(Fault::Outside)?;
        let window = Window::of(scene.picture, &nodes).ok_or(Fault::Outside)?;
        patch.light = (0..height).flat_map(|y| nodes.line(y, &window, width)).collect();
        Ok(patch)
    }

    /// The middle of a pixel on the page.
    pub fn to_page(&self, pixel: Point) -> Point {
        (self.origin.0 + pixel.0 * self.step, self.origin.1 + pixel.1 * self.step)
    }

    /// Where a point of the page is, in pixels; the middle of the first is (0.5, 0.5).
    pub fn to_pixel(&self, page: Point) -> Point {
        ((page.0 - self.origin.0) / self.step, (page.1 - self.origin.1) / self.step)
    }

    /// The light at a place in pixels, between four pixels; at the edges the nearest.
    pub fn at(&self, pixel: Point) -> [f64; 3] {
        bilinear(&self.light, (self.width, self.height), pixel)
    }
}

/// Between four values of a grid of triples.
pub fn bilinear(data: &[[f32; 3]], size: (usize, usize), pixel: Point) -> [f64; 3] {
    let (x, fx) = cell(pixel.0, size.0);
    let (y, fy) = cell(pixel.1, size.1);
    let get = |x: usize, y: usize| data.get(y * size.0 + x).copied().unwrap_or([0.0; 3]);
    let (x2, y2) = ((x + 1).min(size.0.saturating_sub(1)), (y + 1).min(size.1.saturating_sub(1)));
    let (a, b, c, d) = (get(x, y), get(x2, y), get(x, y2), get(x2, y2));
    [0, 1, 2].map(|k| {
        let over = f64::from(a[k]) * (1.0 - fx) + f64::from(b[k]) * fx;
        let under = f64::from(c[k]) * (1.0 - fx) + f64::from(d[k]) * fx;
        over * (1.0 - fy) + under * fy
    })
}

/// The first of two pixels that a coordinate lies between, and the share of the second.
pub fn cell(v: f64, count: usize) -> (usize, f64) {
    let v = (v - 0.5).clamp(0.0, count.saturating_sub(1) as f64);
    let first = v as usize;
    (first, v - first as f64)
}

/// Lens and light at some pixels of a patch.
struct Nodes {
    columns: usize,
    /// Place in the photograph, white paper there.
    values: Vec<[f32; 5]>,
}

impl Nodes {
    fn of(scene: Scene, patch: &Patch) -> Option<Nodes> {
        let (columns, rows) = (patch.width / NODE + 2, patch.height / NODE + 2);
        let mut values = Vec::with_capacity(columns * rows);
        for y in 0..rows {
            for x in 0..columns {
                let page = patch.to_page(((x * NODE) as f64, (y * NODE) as f64));
                let at = scene.lens.project(page)?;
                let white = scene.light.at(page);
                let all = [at.0, at.1, white[0], white[1], white[2]].map(|v| v as f32);
                values.push(all.iter().all(|v| v.is_finite()).then_some(all)?);
            }
        }
        Some(Nodes { columns, values })
    }

    /// A line of the patch.
    fn line(&self, y: usize, window: &Window, width: usize) -> Vec<[f32; 3]> {
        let (row, fy) = (y / NODE, ((y % NODE) as f32 + 0.5) / NODE as f32);
        let get = |i: usize| self.values.get(i).copied().unwrap_or([1.0; 5]);
        let between = |column: usize| {
            let (a, b) = (get(row * self.columns + column), get((row + 1) * self.columns + column));
            [0, 1, 2, 3, 4].map(|k| a[k] + (b[k] - a[k]) * fy)
        };
        let mut out = Vec::with_capacity(width);
        let mut right = between(0);
        for column in 0..=width / NODE {
            let left = right;
            right = between(column + 1);
            for i in 0..NODE.min(width - out.len()) {
                let f = (i as f32 + 0.5) / NODE as f32;
                let v = [0, 1, 2, 3, 4].map(|k| left[k] + (right[k] - left[k]) * f);
                let seen = window.cubic((v[0], v[1]));
                out.push([0, 1, 2].map(|c| (seen[c] / v[c + 2].max(1e-4)).max(0.0)));
            }
        }
        out
    }
}

/// A window of the photograph as light.
struct Window {
    left: usize,
    top: usize,
    width: usize,
    height: usize,
    light: Vec<[f32; 3]>,
}

impl Window {
    fn of(picture: &Picture, nodes: &Nodes) -> Option<Window> {
        let span = |k: usize| {
            let values = nodes.values.iter().map(|v| v[k]);
            values.fold((f32::MAX, f32::MIN), |(l, h), v| (l.min(v), h.max(v)))
        };
        let (x, y) = (span(0), span(1));
        // Nodes reach a little beyond the patch.
        let slack = 2.0 * NODE as f32;
        let inside = |v: (f32, f32), n: usize| v.0 > -slack && v.1 < n as f32 + slack;
        if !inside(x, picture.width()) || !inside(y, picture.height()) {
            return None;
        }
        let range = |v: (f32, f32), n: usize| {
            let first = (v.0 - 3.0).max(0.0) as usize;
            (first, (v.1 + 4.0).max(0.0).min(n as f32) as usize)
        };
        let ((left, right), (top, bottom)) =
            (range(x, picture.width()), range(y, picture.height()));
        let (width, height) = (right.checked_sub(left)?, bottom.checked_sub(top)?);
        if width < 4 || height < 4 || width.checked_mul(height)? > MOST {
            return None;
        }
        let line = |y: usize| (left..right).map(move |x| picture.light(x, y));
        Some(Window { left, top, width, height, light: (top..bottom).flat_map(line).collect() })
    }

    /// Cubic convolution (Keys 1981, a = -1/2).
    fn cubic(&self, at: (f32, f32)) -> [f32; 3] {
        let (x, wx) = taps(at.0 - self.left as f32, self.width);
        let (y, wy) = taps(at.1 - self.top as f32, self.height);
        let mut sum = [0.0f32; 3];
        for (k, wy) in wy.iter().enumerate() {
            let start = (y + k) * self.width + x;
            let Some(line) = self.light.get(start..start + 4) else { continue };
            let mut across = [0.0f32; 3];
            for (p, w) in line.iter().zip(wx) {
                across[0] += w * p[0];
                across[1] += w * p[1];
                across[2] += w * p[2];
            }
            for (sum, v) in sum.iter_mut().zip(across) {
                *sum += wy * v;
            }
        }
        sum
    }
}

/// The first of four pixels, and their weights.
fn taps(v: f32, count: usize) -> (usize, [f32; 4]) {
    let v = (v - 0.5).clamp(1.0, count.saturating_sub(3).max(1) as f32);
    let first = v as usize;
    let t = v - first as f32;
    let weights = [
        ((-0.5 * t + 1.0) * t - 0.5) * t,
        (1.5 * t - 2.5) * t * t + 1.0,
        ((-1.5 * t + 2.0) * t + 0.5) * t,
        (0.5 * t - 0.5) * t * t,
    ];
    (first - 1, weights)
}
