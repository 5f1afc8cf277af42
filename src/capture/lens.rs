//! From the page to the picture: a homography and two radial terms.
//!
//! A point of the page in millimetres goes through the homography to `u`, in units of half the
//! picture's diagonal from its middle, and from there to `u (1 + k1 |u|^2 + k2 |u|^4)` (Brown 1966).

use nalgebra::DMatrix;

use crate::capture::bow::Bow;
use crate::capture::least::minimise;

/// Parameters: eight of the homography, two of the lens.
const PARAMS: usize = 10;

/// How far the perspective terms and the radial terms are from 0, before anything is known: a page
/// that is seen at 45 degrees, a wide angle that nothing was taken off.
const USUAL: Usual = [(6, 0.4), (7, 0.4), (8, 0.12), (9, 0.08)];
/// The same of a picture of which nothing but four corners is known: that its camera has taken the distortion off.
const STRAIGHT: Usual = [(6, 0.4), (7, 0.4), (8, 1e-3), (9, 1e-3)];
type Usual = [(usize, f64); 4];

/// A point whose place in the picture is known.
#[derive(Debug, Clone, Copy)]
pub struct Tie {
    /// In millimetres on the page.
    pub page: (f64, f64),
    /// In pixels.
    pub pixel: (f64, f64),
    /// How exact that is, in pixels.
    pub sigma: f64,
    /// 1, or less for one that is doubted.
    pub weight: f64,
}

/// The camera as it stood over the page.
#[derive(Debug, Clone)]
pub struct Lens {
    params: Vec<f64>,
    frame: Frame,
    covariance: DMatrix<f64>,
    bow: Option<Bow>,
}

/// Where coordinates begin, and their units.
#[derive(Debug, Clone, Copy)]
pub struct Frame {
    /// The point of the page where the homography's denominator is 1.
    pub origin: (f64, f64),
    /// Half the page's diagonal in millimetres.
    pub page_unit: f64,
    /// The picture's middle in pixels.
    pub middle: (f64, f64),
    /// Half the picture's diagonal in pixels.
    pub picture_unit: f64,
}

impl Lens {
    /// Fits to ties, at least four, from an affine start or from another lens.
    pub fn fit(frame: Frame, ties: &[Tie], start: Option<&Lens>) -> Option<Lens> {
        let start = match start {
            Some(lens) => lens.params.clone(),
            None => affine(&frame, ties)?,
        };
        Lens::fit_usual(frame, ties, start, USUAL)
    }

    /// Fits a lens without distortion.
    pub fn straight(frame: Frame, ties: &[Tie]) -> Option<Lens> {
        Lens::fit_usual(frame, ties, affine(&frame, ties)?, STRAIGHT)
    }

    fn fit_usual(frame: Frame, ties: &[Tie], start: Vec<f64>, usual: Usual) -> Option<Lens> {
        let found = minimise(&start, 30, |params| {
            let mut out = Vec::with_capacity(2 * ties.len() + usual.len());
            for tie in ties {
                let at = project(params, &frame, tie.page).unwrap_or((1e6, 1e6));
                let scale = tie.weight.sqrt() / tie.sigma;
                out.push((at.0 - tie.pixel.0) * scale);
                out.push((at.1 - tie.pixel.1) * scale);
            }
            out.extend(usual.iter().map(|(i, usual)| params[*i] / usual));
            out
        })?;
        Some(Lens { params: found.params, frame, covariance: found.covariance, bow: None })
    }

    /// Where a point of the page is in the picture, in pixels; `None` behind the camera.
    pub fn project(&self, page: (f64, f64)) -> Option<(f64, f64)> {
        let at = project(&self.params, &self.frame, page)?;
        let (dx, dy) = self.bow.as_ref().map_or((0.0, 0.0), |bow| bow.at(page));
        Some((at.0 + dx, at.1 + dy))
    }

    /// The same lens over a page that is not quite flat.
    pub fn over(mut self, bow: Bow) -> Lens {
        self.bow = Some(bow);
        self
    }

    /// Pixels a millimetre at a point of the page: columns for a step to the right and one down.
    pub fn scale(&self, page: (f64, f64)) -> Option<[[f64; 2]; 2]> {
        let h = 0.05;
        let (left, right) =
            (self.project((page.0 - h, page.1))?, self.project((page.0 + h, page.1))?);
        let (over, under) =
            (self.project((page.0, page.1 - h))?, self.project((page.0, page.1 + h))?);
        let d = 2.0 * h;
        Some([
            [(right.0 - left.0) / d, (under.0 - over.0) / d],
            [(right.1 - left.1) / d, (under.1 - over.1) / d],
        ])
    }

    /// The point of the page that is seen at a pixel, if the page is flat.
    pub fn back(&self, pixel: (f64, f64)) -> Option<(f64, f64)> {
        let p = &self.params;
        let u = (pixel.0 - self.frame.middle.0) / self.frame.picture_unit;
        let v = (pixel.1 - self.frame.middle.1) / self.frame.picture_unit;
        let far = u.hypot(v);
        // The radius without distortion, by Newton's method.
        let mut r = far;
        for _ in 0..12 {
            let (value, slope) = (
                r * (1.0 + p[8] * r * r + p[9] * r.powi(4)) - far,
                1.0 + 3.0 * p[8] * r * r + 5.0 * p[9] * r.powi(4),
            );
            if slope.abs() < 0.05 {
                return None;
            }
            r -= value / slope;
        }
        let shrink = if far > 1e-12 { r / far } else { 1.0 };
        let (u, v) = (u * shrink, v * shrink);
        // (h0 - u h6) x + (h1 - u h7) y = u - h2, and the same for v.
        let (a, b, c) = (p[0] - u * p[6], p[1] - u * p[7], u - p[2]);
        let (d, e, f) = (p[3] - v * p[6], p[4] - v * p[7], v - p[5]);
        let det = a * e - b * d;
        let (x, y) = ((c * e - b * f) / det, (a * f - c * d) / det);
        let unit = self.frame.page_unit;
        let at = (x * unit + self.frame.origin.0, y * unit + self.frame.origin.1);
        (at.0.is_finite() && at.1.is_finite()).then_some(at)
    }

    /// How exactly a point's place is known, in pixels: the larger axis of its standard deviation.
    pub fn uncertainty(&self, page: (f64, f64)) -> Option<f64> {
        let mut rows = DMatrix::zeros(2, PARAMS);
        let mut moved = self.params.clone();
        for i in 0..PARAMS {
            let h = 1e-6 * (1.0 + self.params[i].abs());
            moved[i] = self.params[i] + h;
            let over = project(&moved, &self.frame, page)?;
            moved[i] = self.params[i] - h;
            let under = project(&moved, &self.frame, page)?;
            moved[i] = self.params[i];
            rows[(0, i)] = (over.0 - under.0) / (2.0 * h);
            rows[(1, i)] = (over.1 - under.1) / (2.0 * h);
        }
        let c = &rows * &self.covariance * rows.transpose();
        let (half, apart) = ((c[(0, 0)] + c[(1, 1)]) / 2.0, (c[(0, 0)] - c[(1, 1)]) / 2.0);
        let largest = half + apart.hypot(c[(0, 1)]);
        (largest.is_finite() && largest >= 0.0).then(|| largest.sqrt())
    }

    /// The two radial terms.
    pub fn radial(&self) -> (f64, f64) {
        (self.params[8], self.params[9])
    }
}

/// Pixels a millimetre, as one number.
pub fn mean_scale(scale: &[[f64; 2]; 2]) -> f64 {
    (scale[0][0] * scale[1][1] - scale[0][1] * scale[1][0]).abs().sqrt()
}

/// The inverse of a 2 x 2 matrix.
pub fn inverse(m: &[[f64; 2]; 2]) -> Option<[[f64; 2]; 2]> {
    let det = m[0][0] * m[1][1] - m[0][1] * m[1][0];
    let usable = det.is_finite() && det.abs() > 1e-9;
    usable.then(|| [[m[1][1] / det, -m[0][1] / det], [-m[1][0] / det, m[0][0] / det]])
}

fn project(p: &[f64], frame: &Frame, page: (f64, f64)) -> Option<(f64, f64)> {
    let x = (page.0 - frame.origin.0) / frame.page_unit;
    let y = (page.1 - frame.origin.1) / frame.page_unit;
    let w = p[6] * x + p[7] * y + 1.0;
    if w < 0.05 {
        return None;
    }
    let u = (p[0] * x + p[1] * y + p[2]) / w;
    let v = (p[3] * x + p[4] * y + p[5]) / w;
    let r = u * u + v * v;
    let bend = (1.0 + p[8] * r + p[9] * r * r) * frame.picture_unit;
    Some((frame.middle.0 + u * bend, frame.middle.1 + v * bend))
}

/// An affine map to begin with.
fn affine(frame: &Frame, ties: &[Tie]) -> Option<Vec<f64>> {
    let found = minimise(&[1.0, 0.0, 0.0, 0.0, 1.0, 0.0], 10, |p| {
        let params = [p[0], p[1], p[2], p[3], p[4], p[5], 0.0, 0.0, 0.0, 0.0];
        let residual = |tie: &Tie| {
            let at = project(&params, frame, tie.page).unwrap_or((1e6, 1e6));
            [at.0 - tie.pixel.0, at.1 - tie.pixel.1]
        };
        ties.iter().flat_map(residual).collect()
    })?;
    let mut params = found.params;
    params.resize(PARAMS, 0.0);
    Some(params)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frame() -> Frame {
        let (middle, picture_unit) = ((2000.0, 1500.0), 2500.0);
        Frame { origin: (30.0, 30.0), page_unit: 180.0, middle, picture_unit }
    }

    #[test]
    fn finds_the_camera_and_goes_back() {
        let true_params = [0.9, 0.1, -0.5, -0.08, 0.95, -0.4, 0.1, -0.15, -0.05, 0.01];
        let ties: Vec<Tie> = (0..8)
            .flat_map(|i| (0..10).map(move |k| (f64::from(i) * 28.0, f64::from(k) * 30.0)))
            .filter_map(|page| {
                let pixel = project(&true_params, &frame(), page)?;
                Some(Tie { page, pixel, sigma: 0.1, weight: 1.0 })
            })
            .collect();
        let lens = Lens::fit(frame(), &ties, None).unwrap();
        for tie in &ties {
            let at = lens.project(tie.page).unwrap();
            assert!((at.0 - tie.pixel.0).hypot(at.1 - tie.pixel.1) < 0.05);
            let back = lens.back(tie.pixel).unwrap();
            assert!((back.0 - tie.page.0).hypot(back.1 - tie.page.1) < 0.01);
        }
        assert!(lens.uncertainty((100.0, 150.0)).unwrap() < 0.1);
    }
}
