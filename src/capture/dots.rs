//! Finding one dot where it must be, and measuring its centre.

use crate::capture::least::quantile;
use crate::capture::lens::{Lens, inverse};
use crate::capture::picture::Picture;

/// Pixels that are looked at for one dot.
const MOST_PIXELS: usize = 1 << 20;

/// A dot as it is in the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dot {
    /// Its centre in pixels.
    pub at: (f64, f64),
    /// The green light of the paper around it.
    pub ground: f64,
    /// How dark its middle is: 0 black, 1 like the paper.
    pub core: f64,
}

/// Where a dot is looked for, all in millimetres on the page.
#[derive(Debug, Clone, Copy)]
pub struct Target {
    /// Its centre.
    pub page: (f64, f64),
    /// Its radius.
    pub radius: f64,
    /// How far off it may be.
    pub reach: f64,
}

/// Finds a dot.
pub fn find(picture: &Picture, lens: &Lens, target: Target) -> Option<Dot> {
    let window = Window::around(picture, lens, target)?;
    let blob = window.nearest_blob(target.radius)?;
    window.centre(blob, target.radius)
}

/// The green light of a piece of the picture.
struct Window {
    left: usize,
    top: usize,
    width: usize,
    height: usize,
    green: Vec<f32>,
    /// Where the dot is expected, in pixels of the picture.
    expected: (f64, f64),
    /// Millimetres a pixel there.
    back: [[f64; 2]; 2],
    /// Light of paper, and what is darker than it and lighter than ink.
    paper: f64,
    middle: f64,
}

impl Window {
    fn around(picture: &Picture, lens: &Lens, target: Target) -> Option<Window> {
        let expected = lens.project(target.page)?;
        let scale = lens.scale(target.page)?;
        let back = inverse(&scale)?;
        let mm = target.reach + 2.6 * target.radius;
        let (rx, ry) = (scale[0][0].hypot(scale[0][1]) * mm, scale[1][0].hypot(scale[1][1]) * mm);
        let low = |v: f64| v.floor().max(0.0) as usize;
        let (left, top) = (low(expected.0 - rx), low(expected.1 - ry));
        let right = low(expected.0 + rx + 1.0).min(picture.width());
        let bottom = low(expected.1 + ry + 1.0).min(picture.height());
        let (width, height) = (right.checked_sub(left)?, bottom.checked_sub(top)?);
        if width < 6 || height < 6 || width * height > MOST_PIXELS {
            return None;
        }
        let mut green = Vec::with_capacity(width * height);
        for y in top..bottom {
            green.extend((left..right).map(|x| picture.channel(x, y, 1)));
        }
        let every = (green.len() / 4000).max(1);
        let mut some: Vec<f64> = green.iter().step_by(every).map(|v| f64::from(*v)).collect();
        let (paper, ink) = (quantile(&mut some, 0.8), quantile(&mut some, 0.01));
        let middle = 0.5 * (paper + ink);
        let window = Window { left, top, width, height, green, expected, back, paper, middle };
        (ink < 0.55 * paper && paper > 1e-4).then_some(window)
    }

    fn at(&self, x: usize, y: usize) -> f64 {
        self.green.get(y * self.width + x).copied().map_or(0.0, f64::from)
    }

    /// From a pixel's place to millimetres off another.
    fn mm(&self, from: (f64, f64), to: (f64, f64)) -> (f64, f64) {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let b = &self.back;
        (b[0][0] * dx + b[0][1] * dy, b[1][0] * dx + b[1][1] * dy)
    }

    /// The dark blob of a dot's size and shape that is nearest to where one is expected.
    fn nearest_blob(&self, radius: f64) -> Option<(f64, f64)> {
        let mut seen = vec![false; self.green.len()];
        let mut best: Option<(f64, (f64, f64))> = None;
        for start in 0..self.green.len() {
            if seen[start] || f64::from(self.green[start]) >= self.middle {
                continue;
            }
            let blob = self.fill(start, &mut seen);
            if !self.is_dot(&blob, radius) {
                continue;
            }
            let centre = blob.centre();
            let (dx, dy) = self.mm(self.expected, centre);
            let off = dx.hypot(dy);
            if best.is_none_or(|(least, _)| off < least) {
                best = Some((off, centre));
            }
        }
        best.map(|(_, centre)| centre)
    }

    /// All dark pixels that hang together with one.
    fn fill(&self, start: usize, seen: &mut [bool]) -> Blob {
        let mut blob = Blob::default();
        let mut stack = vec![start];
        seen[start] = true;
        while let Some(i) = stack.pop() {
            let (x, y) = (i % self.width, i / self.width);
            let edge = x == 0 || y == 0 || x + 1 == self.width || y + 1 == self.height;
            blob.add(((self.left + x) as f64 + 0.5, (self.top + y) as f64 + 0.5), edge);
            if edge {
                continue;
            }
            for next in [i - 1, i + 1, i - self.width, i + self.width] {
                if !seen[next] && f64::from(self.green[next]) < self.middle {
                    seen[next] = true;
                    stack.push(next);
                }
            }
        }
        blob
    }

    /// Whether a blob has a dot's area, and is as round as one, on the page.
    fn is_dot(&self, blob: &Blob, radius: f64) -> bool {
        let b = &self.back;
        let pixel = (b[0][0] * b[1][1] - b[0][1] * b[1][0]).abs();
        let area = blob.count * pixel / (std::f64::consts::PI * radius * radius);
        if blob.edge || !(0.6..1.6).contains(&area) {
            return false;
        }
        let (xx, xy, yy) = blob.moments();
        // Second moments in millimetres: a disc has a quarter of its radius squared each way.
        let turn = |i: usize, k: usize| {
            b[i][0] * (xx * b[k][0] + xy * b[k][1]) + b[i][1] * (xy * b[k][0] + yy * b[k][1])
        };
        let (mx, mxy, my) = (turn(0, 0), turn(0, 1), turn(1, 1));
        let (half, apart) = ((mx + my) / 2.0, ((mx - my) / 2.0).hypot(mxy));
        let size = half / (radius * radius / 4.0);
        apart < 0.25 * half && (0.5..1.7).contains(&size)
    }

    /// The centre of the dot at a place: the mean of pixels, weighted by how much darker than the
    /// paper around it they are.
    fn centre(&self, start: (f64, f64), radius: f64) -> Option<Dot> {
        let ground = self.ground(start, radius)?;
        let mut at = start;
        for _ in 0..3 {
            let (mut sum, mut sx, mut sy) = (0.0, 0.0, 0.0);
            for (place, value, off) in self.pixels(at, 1.45 * radius) {
                // Pixels at the rim count as far as they are within.
                let inside = ((1.45 * radius - off) / (0.15 * radius)).clamp(0.0, 1.0);
                let dark = (ground.at(place) - value) * inside;
                sum += dark;
                sx += dark * place.0;
                sy += dark * place.1;
            }
            if sum <= 0.0 {
                return None;
            }
            at = (sx / sum, sy / sum);
        }
        let (dx, dy) = self.mm(start, at);
        if dx.hypot(dy) > 0.5 * radius {
            return None;
        }
        let paper = ground.at(at);
        let mut core: Vec<f64> = self.pixels(at, 0.5 * radius).map(|(_, v, _)| v).collect();
        let core = quantile(&mut core, 0.5) / paper.max(1e-6);
        Some(Dot { at, ground: paper, core })
    }

    /// The pixels less than so many millimetres from a place: where, how light, how far.
    fn pixels(&self, at: (f64, f64), mm: f64) -> impl Iterator<Item = ((f64, f64), f64, f64)> {
        (0..self.height).flat_map(move |y| {
            (0..self.width).filter_map(move |x| {
                let place = ((self.left + x) as f64 + 0.5, (self.top + y) as f64 + 0.5);
                let (dx, dy) = self.mm(at, place);
                let off = dx.hypot(dy);
                (off < mm).then(|| (place, self.at(x, y), off))
            })
        })
    }

    /// The paper around a dot: a plane through the light pixels of a ring.
    fn ground(&self, at: (f64, f64), radius: f64) -> Option<Ground> {
        let light = 0.5 * (self.middle + self.paper);
        let ring = self.pixels(at, 2.4 * radius).filter(|(_, _, off)| *off > 1.6 * radius);
        let (ring, all) = ring.fold((Vec::new(), 0), |(mut ring, all), (place, value, _)| {
            if value > light {
                ring.push(((place.0 - at.0, place.1 - at.1), value));
            }
            (ring, all + 1)
        });
        if ring.len() < 12 || ring.len() * 2 < all {
            return None;
        }
        let mut normal = nalgebra::Matrix3::<f64>::zeros();
        let mut right = nalgebra::Vector3::<f64>::zeros();
        for ((x, y), value) in ring {
            let row = nalgebra::Vector3::new(1.0, x, y);
            normal += row * row.transpose();
            right += row * value;
        }
        let plane = normal.cholesky()?.solve(&right);
        Some(Ground { at, plane: [plane[0], plane[1], plane[2]] })
    }
}

/// A plane of light.
struct Ground {
    at: (f64, f64),
    plane: [f64; 3],
}

impl Ground {
    fn at(&self, place: (f64, f64)) -> f64 {
        let [a, b, c] = self.plane;
        a + b * (place.0 - self.at.0) + c * (place.1 - self.at.1)
    }
}

/// Sums over the pixels of a blob.
#[derive(Default)]
struct Blob {
    count: f64,
    x: f64,
    y: f64,
    xx: f64,
    xy: f64,
    yy: f64,
    edge: bool,
}

impl Blob {
    fn add(&mut self, (x, y): (f64, f64), edge: bool) {
        self.count += 1.0;
        self.x += x;
        self.y += y;
        self.xx += x * x;
        self.xy += x * y;
        self.yy += y * y;
        self.edge |= edge;
    }

    fn centre(&self) -> (f64, f64) {
        (self.x / self.count, self.y / self.count)
    }

    fn moments(&self) -> (f64, f64, f64) {
        let (x, y) = self.centre();
        let n = self.count;
        (self.xx / n - x * x, self.xy / n - x * y, self.yy / n - y * y)
    }
}
