//! What the camera does to colours: from its light, paper white = 1, to CIELAB (D50).
//!
//! Per channel: stray light `f` off, then a tone curve: in `e = v^(1/2.2)` a bend `e + c e (1 - e)
//! (1 - 2 e)`, rising for every `c` that can come out, then a power. From there a 3 x 3 matrix, or a
//! root polynomial of the second degree (Finlayson, Mackiewicz and Hurlbert 2015), to XYZ. All of it is
//! fitted at once to the colours that are known, in steps of about CIEDE2000, and held to what is usual
//! by as much as that is known beforehand: so a few references improve on none.

use nalgebra::{DMatrix, DVector};

use crate::capture::lab::{self, Lab50, difference};
use crate::capture::least::{Solution, minimise, quantile};

/// References from which the root polynomial is used.
pub const ROOT_FROM: usize = 10;
/// Parameters before the matrix: stray light, bend, three powers.
const TONE: usize = 5;
/// What these usually are, and how far they are from that.
const USUAL: [(f64, f64); TONE] =
    [(0.01, 0.015), (0.0, 0.12), (1.0, 0.08), (1.0, 0.08), (1.0, 0.08)];
/// Paper: its usual reflectance.
const PAPER: f64 = 0.87;
/// How far an element of the matrix is from the profile's, and a root's factor from 0.
const ELEMENT: f64 = 0.3;
const ROOT: f64 = 0.6;
/// What a reference usually is off, CIEDE2000: more, and it is doubted.
const USUAL_ERROR: f64 = 1.5;

/// A colour that is known.
#[derive(Debug, Clone, Copy)]
pub struct Known {
    /// What the camera saw, paper white = 1.
    pub light: [f64; 3],
    /// What it is.
    pub lab: Lab50,
    /// 1, or less for one that is doubted.
    pub weight: f64,
}

/// How colours are found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Model {
    /// No colour is known: what the picture's profile says, and that paper reflects 87 %.
    Relative,
    /// Tone curves and a matrix.
    Matrix,
    /// Tone curves and a root polynomial of the second degree.
    Root,
}

/// A camera under a light.
#[derive(Debug, Clone)]
pub struct Camera {
    /// How colours are found.
    pub model: Model,
    params: Vec<f64>,
    covariance: DMatrix<f64>,
    /// What each reference comes out as when it is not a reference itself.
    pub left_out: Vec<Lab50>,
    /// CIEDE2000 of these from what they are: the mean, and what one in twenty exceeds.
    pub error: Option<(f64, f64)>,
}

impl Camera {
    /// Fits to known colours. `matrix` takes linear light to XYZ, as the picture's profile says.
    ///
    /// Printed greys do not help: they are known to 3 or 5, and neutrals alone let the matrix drift.
    pub fn fit(known: &[Known], matrix: &[[f64; 3]; 3]) -> Camera {
        let model = match known.len() {
            0 => Model::Relative,
            n if n < ROOT_FROM => Model::Matrix,
            _ => Model::Root,
        };
        Camera::fit_model(known, matrix, model)
    }

    /// Fits one model.
    pub fn fit_model(known: &[Known], matrix: &[[f64; 3]; 3], model: Model) -> Camera {
        let start = usual(matrix, model);
        let fitted = if model == Model::Relative { None } else { robust(&start, known) };
        let Some((found, weights)) = fitted else {
            let model = Model::Relative;
            let start = usual(matrix, model);
            let covariance = DMatrix::zeros(start.len(), start.len());
            return Camera { model, params: start, covariance, left_out: Vec::new(), error: None };
        };
        let left_out = left_out(&found, &weights, known);
        let differences = left_out.iter().zip(known).map(|(lab, k)| difference(*lab, k.lab));
        let mut differences: Vec<f64> = differences.filter(|d| d.is_finite()).collect();
        let mean = differences.iter().sum::<f64>() / differences.len().max(1) as f64;
        let high = quantile(&mut differences, 0.95);
        let error = (!known.is_empty()).then_some((mean, high));
        Camera { model, params: found.params, covariance: found.covariance, left_out, error }
    }

    /// The colour of what the camera saw.
    pub fn colour(&self, light: [f64; 3]) -> Lab50 {
        see(&self.params, light)
    }

    /// How far a colour may be off, CIEDE2000: what references that were left out are off, and what
    /// the fit leaves open there. `None` without references.
    pub fn error_at(&self, light: [f64; 3]) -> Option<f64> {
        let (mean, _) = self.error?;
        let step = lab::step(self.colour(light));
        let mut rows = DMatrix::zeros(3, self.params.len());
        let mut moved = self.params.clone();
        for i in 0..moved.len() {
            let h = 1e-5;
            moved[i] += h;
            let over = see(&moved, light);
            moved[i] = self.params[i];
            let now = see(&moved, light);
            let d = apply(&step, over, now);
            for (row, d) in d.iter().enumerate() {
                rows[(row, i)] = d / h;
            }
        }
        let open = (&rows * &self.covariance * rows.transpose()).trace().max(0.0);
        Some((mean * mean + open * mean.max(0.3).powi(2)).sqrt())
    }
}

/// Fits, doubting references that are far off; also the weight that each has in the end.
fn robust(start: &[f64], known: &[Known]) -> Option<(Solution, Vec<f64>)> {
    let mut weights: Vec<f64> = known.iter().map(|k| k.weight).collect();
    let mut params = start.to_vec();
    for _ in 0..3 {
        params = minimise(&params, 25, |p| residuals(p, start, known, &weights))?.params;
        for (weight, known) in weights.iter_mut().zip(known) {
            let off = off(&params, known).iter().map(|v| v * v).sum::<f64>().sqrt();
            *weight = known.weight / (1.0 + (off / (3.0 * USUAL_ERROR)).powi(2));
        }
    }
    let found = minimise(&params, 10, |p| residuals(p, start, known, &weights))?;
    Some((found, weights))
}

/// Parameters as they usually are.
fn usual(matrix: &[[f64; 3]; 3], model: Model) -> Vec<f64> {
    let mut params: Vec<f64> = USUAL.iter().map(|(usual, _)| *usual).collect();
    for (row, white) in matrix.iter().zip(lab::WHITE) {
        // Paper white = 1 in each channel comes out as the white of D50.
        let sum = row.iter().sum::<f64>().max(1e-6);
        params.extend(row.iter().map(|v| v * white / sum * PAPER));
        if model == Model::Root {
            params.extend([0.0; 3]);
        }
    }
    params
}

/// CIELAB of what the camera saw.
fn see(params: &[f64], light: [f64; 3]) -> Lab50 {
    let (stray, bend) = (params[0].clamp(-0.2, 0.4), params[1].clamp(-0.9, 0.9));
    let mut t = [0.0; 3];
    for c in 0..3 {
        let v = (light[c] - stray) / (1.0 - stray);
        // Rounded off towards 0, so that a slope is left below it.
        let v = 0.5 * (v + (v * v + 1e-6).sqrt());
        let e = v.powf(1.0 / 2.2);
        let e = if e < 1.0 { e + bend * e * (1.0 - e) * (1.0 - 2.0 * e) } else { e };
        t[c] = e.max(1e-4).powf(2.2 * params[2 + c].clamp(0.4, 2.5));
    }
    let [r, g, b] = t;
    let terms = [r, g, b, (r * g).sqrt(), (g * b).sqrt(), (r * b).sqrt()];
    let rows = &params[TONE..];
    let count = rows.len() / 3;
    let row =
        |i: usize| rows[i * count..(i + 1) * count].iter().zip(terms).map(|(a, t)| a * t).sum();
    lab::lab([row(0), row(1), row(2)])
}

fn apply(step: &[[f64; 3]; 3], a: Lab50, b: Lab50) -> [f64; 3] {
    let d = [a.l - b.l, a.a - b.a, a.b - b.b];
    step.map(|row| row[0] * d[0] + row[1] * d[1] + row[2] * d[2])
}

/// How far a reference is off, in steps of about CIEDE2000.
fn off(params: &[f64], known: &Known) -> [f64; 3] {
    apply(&lab::step(known.lab), see(params, known.light), known.lab)
}

/// References, the paper's own white, and what is usual.
fn residuals(params: &[f64], start: &[f64], known: &[Known], weights: &[f64]) -> Vec<f64> {
    let mut out = Vec::with_capacity(3 * known.len() + params.len() + 3);
    for (known, weight) in known.iter().zip(weights) {
        let weight = weight.sqrt();
        out.extend(off(params, known).map(|v| v * weight));
    }
    // Papers are nearly white: L 94, by 3; a 0, by 1.5; b -2, by 4.
    let paper = see(params, [1.0; 3]);
    out.extend([(paper.l - 94.0) / 3.0, paper.a / 1.5, (paper.b + 2.0) / 4.0]);
    for (i, (p, s)) in params.iter().zip(start).enumerate() {
        let spread = match USUAL.get(i) {
            Some((_, spread)) => *spread,
            None if params.len() - TONE > 9 && (i - TONE) % 6 >= 3 => ROOT,
            None => ELEMENT,
        };
        out.push((p - s) / spread);
    }
    out
}

/// What each reference would come out as if it were not one: from the fit's leverage, exact for a
/// linear model (Cook and Weisberg 1982).
fn left_out(found: &Solution, weights: &[f64], known: &[Known]) -> Vec<Lab50> {
    let each = known.iter().zip(weights).enumerate().map(|(i, (known, weight))| {
        let rows = found.jacobian.rows(3 * i, 3);
        let held = rows * &found.covariance * rows.transpose();
        let open = DMatrix::identity(3, 3) - held;
        // A reference that weighs nothing was left out already.
        let scale = weight.sqrt().max(1e-9);
        let here = DVector::from_column_slice(&off(&found.params, known)) * scale;
        let there = open.lu().solve(&here).unwrap_or(here) / scale;
        let step = nalgebra::Matrix3::from_fn(|r, c| lab::step(known.lab)[r][c]);
        let back = step.lu().solve(&nalgebra::Vector3::new(there[0], there[1], there[2]));
        let d = back.unwrap_or_default();
        Lab50::new(known.lab.l + d[0], known.lab.a + d[1], known.lab.b + d[2])
    });
    each.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SRGB: [[f64; 3]; 3] =
        [[0.4361, 0.3852, 0.1431], [0.2225, 0.7169, 0.0606], [0.0139, 0.0971, 0.7141]];

    /// What a camera with channels of its own, stray light and a tone of its own sees of colours.
    fn seen(count: usize, seed: u64) -> Vec<Known> {
        let mut rng = fastrand::Rng::with_seed(seed);
        let mut known = Vec::new();
        while known.len() < count {
            let lab = Lab50::new(
                20.0 + 65.0 * rng.f64(),
                70.0 * (rng.f64() - 0.5),
                70.0 * (rng.f64() - 0.5),
            );
            let [x, y, z] = lab::xyz(lab);
            let channels = [
                1.9 * x - 0.5 * y - 0.25 * z,
                -0.75 * x + 1.6 * y + 0.1 * z,
                0.05 * x - 0.15 * y + 1.25 * z,
            ];
            let light = channels.map(|v| 0.02 + 0.98 * (v / 0.87).max(0.0).powf(1.08));
            if channels.iter().all(|v| *v > 0.005) {
                known.push(Known { light, lab, weight: 1.0 });
            }
        }
        known
    }

    #[test]
    fn a_strange_camera_is_learnt() {
        let known = seen(60, 3);
        let (fit, rest) = known.split_at(30);
        let off = |fit: &[Known]| {
            let camera = Camera::fit(fit, &SRGB);
            rest.iter().map(|k| difference(camera.colour(k.light), k.lab)).sum::<f64>() / 30.0
        };
        assert!(off(fit) < 0.6, "{}", off(fit));
        // Already a few are better than none.
        assert!(off(&fit[..6]) < 0.6 * off(&[]), "{} {}", off(&fit[..6]), off(&[]));
    }

    #[test]
    fn leaving_out_by_leverage_is_leaving_out() {
        let mut known = seen(24, 5);
        let mut rng = fastrand::Rng::with_seed(9);
        for k in &mut known {
            k.light = k.light.map(|v| v * (1.0 + 0.06 * (rng.f64() - 0.5)));
        }
        let camera = Camera::fit(&known, &SRGB);
        let (mut far, mut moved) = (0.0, 0.0);
        for i in 0..known.len() {
            let mut others = known.clone();
            let gone = others.remove(i);
            let truly = Camera::fit(&others, &SRGB).colour(gone.light);
            far += difference(truly, camera.left_out[i]);
            moved += difference(truly, camera.colour(gone.light));
        }
        assert!(far < 0.35 * moved, "{far} {moved}");
    }

    #[test]
    fn nonsense_gives_numbers() {
        let known = [
            Known { light: [0.0; 3], lab: Lab50::new(0.0, 0.0, 0.0), weight: 1.0 },
            Known { light: [f64::MAX; 3], lab: Lab50::new(100.0, 0.0, 0.0), weight: 1.0 },
            Known { light: [-5.0, 1e9, 0.0], lab: Lab50::new(50.0, 900.0, 0.0), weight: 0.0 },
        ];
        for n in 0..=3 {
            let camera = Camera::fit(&known[..n], &SRGB);
            assert!(camera.colour([0.5; 3]).l.is_finite());
        }
    }
}
