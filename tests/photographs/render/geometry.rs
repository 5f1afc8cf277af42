//! From the page's millimetres to pixels: a pinhole camera, radial distortion, a sheet that is not quite flat.
//!
//! Pixels count from the upper left edge of the upright picture: the middle of the first pixel is (0.5, 0.5).

use crate::render::colour::{inverse, product};
use crate::render::params::View;

type Point = (f64, f64);

/// A camera above a page.
#[derive(Debug, Clone)]
pub struct Camera {
    /// From millimetres on the plane to pixels without distortion.
    pub plane: [[f64; 3]; 3],
    back: [[f64; 3]; 3],
    pub k1: f64,
    pub k2: f64,
    pub middle: Point,
    /// Half the picture's diagonal in pixels: the unit of the distortion's radius.
    pub radius: f64,
    /// Where the lens is: millimetres on the page, and above it.
    pub eye: (f64, f64, f64),
    page: Point,
    bow: f64,
}

/// A point through a plane's matrix.
pub fn through(m: &[[f64; 3]; 3], p: Point) -> Point {
    let [x, y, w] = m.map(|row| row[0] * p.0 + row[1] * p.1 + row[2]);
    (x / w, y / w)
}

fn turned(degrees: f64, first: usize, second: usize) -> [[f64; 3]; 3] {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let mut m = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    m[first][first] = cos;
    m[second][second] = cos;
    m[first][second] = -sin;
    m[second][first] = sin;
    m
}

impl Camera {
    /// A camera that sees a page of a size as a view asks.
    pub fn new(view: &View, page: Point) -> Self {
        let size = (view.size.0 as f64, view.size.1 as f64);
        let focal = size.0.max(size.1) / 2.0 / (view.field / 2.0).to_radians().tan();
        let turn = product(
            &turned(view.roll, 0, 1),
            &product(&turned(view.tilt.0, 1, 2), &turned(view.tilt.1, 0, 2)),
        );
        let middle = (size.0 / 2.0, size.1 / 2.0);
        let corners = [(0.0, 0.0), (page.0, 0.0), page, (0.0, page.1)];
        let mut place = [0.0, 0.0, 1000.0];
        for _ in 0..30 {
            let plane = plane_of(&turn, place, (focal, middle), page);
            let seen = corners.map(|c| through(&plane, c));
            let (low, high) = bounds(&seen);
            let filled = ((high.0 - low.0) / size.0).max((high.1 - low.1) / size.1);
            place[2] *= filled / view.fill;
            let aim = (middle.0 + view.offset.0 * size.0, middle.1 + view.offset.1 * size.1);
            place[0] += (aim.0 - (low.0 + high.0) / 2.0) * place[2] / focal;
            place[1] += (aim.1 - (low.1 + high.1) / 2.0) * place[2] / focal;
        }
        let plane = plane_of(&turn, place, (focal, middle), page);
        let back = |k: usize| -(0..3).map(|i| turn[i][k] * place[i]).sum::<f64>();
        Self {
            back: inverse(&plane),
            plane,
            k1: view.k1,
            k2: view.k2,
            middle,
            radius: size.0.hypot(size.1) / 2.0,
            eye: (page.0 / 2.0 + back(0), page.1 / 2.0 + back(1), -back(2)),
            page,
            bow: view.bow,
        }
    }

    /// Where a point of the page is in the picture.
    pub fn to_pixel(&self, p: Point) -> Point {
        let ideal = through(&self.plane, self.bowed(p));
        let (x, y) = (ideal.0 - self.middle.0, ideal.1 - self.middle.1);
        let scale = self.stretch(x.hypot(y) / self.radius);
        (self.middle.0 + x * scale, self.middle.1 + y * scale)
    }

    /// Which point of the page's plane is seen at a pixel.
    pub fn to_page(&self, pixel: Point) -> Point {
        let (x, y) = (pixel.0 - self.middle.0, pixel.1 - self.middle.1);
        let far = x.hypot(y) / self.radius;
        let mut r = far;
        for _ in 0..8 {
            r = far / self.stretch(r);
        }
        let scale = 1.0 / self.stretch(r);
        let flat = through(&self.back, (self.middle.0 + x * scale, self.middle.1 + y * scale));
        let mut p = flat;
        for _ in 0..3 {
            let moved = self.bowed(p);
            p = (p.0 + flat.0 - moved.0, p.1 + flat.1 - moved.1);
        }
        p
    }

    /// Pixels a millimetre at a point of the page.
    pub fn pixels_per_mm(&self, p: Point) -> f64 {
        let (a, b, c) =
            (self.to_pixel(p), self.to_pixel((p.0 + 1.0, p.1)), self.to_pixel((p.0, p.1 + 1.0)));
        ((b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0)).abs().sqrt()
    }

    /// Where something at a height above the page seems to be on the page.
    pub fn raised(&self, p: Point, height: f64) -> Point {
        let share = height / (self.eye.2 - height);
        (p.0 + (p.0 - self.eye.0) * share, p.1 + (p.1 - self.eye.1) * share)
    }

    fn bowed(&self, p: Point) -> Point {
        let (x, y) = (
            (p.0 / self.page.0).clamp(-0.2, 1.2) - 0.5,
            (p.1 / self.page.1).clamp(-0.2, 1.2) - 0.5,
        );
        let along = 0.4 * x + y;
        self.raised(p, self.bow * (2.8 * along * along + 0.2 * (7.0 * y + 3.0 * x).sin()))
    }

    fn stretch(&self, r: f64) -> f64 {
        1.0 + self.k1 * r * r + self.k2 * r.powi(4)
    }
}

fn bounds(points: &[Point]) -> (Point, Point) {
    let start = (points[0], points[0]);
    points
        .iter()
        .fold(start, |(l, h), p| ((l.0.min(p.0), l.1.min(p.1)), (h.0.max(p.0), h.1.max(p.1))))
}

fn plane_of(
    turn: &[[f64; 3]; 3],
    place: [f64; 3],
    lens: (f64, Point),
    page: Point,
) -> [[f64; 3]; 3] {
    let (focal, middle) = lens;
    let mut pose = [[0.0; 3]; 3];
    for (i, row) in pose.iter_mut().enumerate() {
        let t = place[i] - turn[i][0] * page.0 / 2.0 - turn[i][1] * page.1 / 2.0;
        *row = [turn[i][0], turn[i][1], t];
    }
    product(&[[focal, 0.0, middle.0], [0.0, focal, middle.1], [0.0, 0.0, 1.0]], &pose)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::params::Params;

    #[test]
    fn there_and_back_is_where_it_began() {
        for seed in 0..20 {
            let mut view = Params::usual(seed).view;
            view.bow = 1.0;
            let camera = Camera::new(&view, (210.0, 297.0));
            for p in [(0.0, 0.0), (200.0, 10.0), (105.0, 148.0), (3.0, 290.0)] {
                let q = camera.to_page(camera.to_pixel(p));
                assert!((p.0 - q.0).hypot(p.1 - q.1) < 1e-3, "{seed} {p:?} {q:?}");
            }
            assert!(camera.eye.2 > 150.0, "{:?}", camera.eye);
        }
    }

    #[test]
    fn what_is_higher_lies_on_the_line_to_the_eye() {
        let camera = Camera::new(&Params::usual(1).view, (210.0, 297.0));
        let (x, y) = camera.raised((10.0, 10.0), 3.0);
        assert!(x < 10.0 && y < 10.0 && (10.0 - x) < 3.0);
    }
}
