//! What is known of a correction after the readings.

use nalgebra::{DMatrix, DVector};

use super::basis::{TERMS, count, terms};
use super::data::{Averages, Data, MOST, tidy};
use super::kernel::{Place, alike, place};
use super::model::{Alike, Model, design, spots};
use super::reading::{Form, Spot};

/// Parts of a place at most: terms of the polynomial, and how alike it is to each value read.
const PARTS: usize = TERMS + MOST;
/// How far beyond the readings the polynomial goes on, CIELAB.
const BEYOND: f64 = 10.0;
/// How many times the largest correction that was read another may be.
const LARGER: f64 = 1.5;

/// Prediction of a reading without it and its doubles.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Left {
    pub off: [f64; 3],
    /// Of prediction less reading, of each axis.
    pub variance: [f64; 3],
}

/// A correction at all places, with its error.
#[derive(Debug, Clone)]
pub(crate) struct Posterior {
    /// One a reading that is used.
    pub left_out: Vec<Left>,
    lengths: [f64; 2],
    terms: usize,
    places: Vec<Place>,
    /// CIELAB between which there are readings.
    range: [(f64, f64); 3],
    /// The longest that a correction may be.
    limit: f64,
    /// Each part's weight in the three axes.
    weights: Vec<[f64; 3]>,
    /// Variance, summed over the axes, where no reading says anything.
    open: f64,
    /// What pairs of parts add to the variance: the lower triangle row after row, those off the
    /// diagonal doubled.
    pairs: Vec<f64>,
}

impl Posterior {
    /// From the readings, each by its weight.
    pub fn of(model: &Model, data: &Data, weights: &[f64]) -> Posterior {
        let all: Vec<usize> = (0..data.groups.len()).collect();
        let spots = spots(data, &all);
        let averages = data.averages(&all, &model.factors, weights);
        let process = model.form == Form::Process;
        let mut out = Posterior {
            left_out: vec![Left { off: [0.0; 3], variance: [1.0; 3] }; data.used.len()],
            lengths: model.lengths,
            terms: count(model.form),
            places: spots.iter().filter(|_| process).map(|s| place(s, model.lengths)).collect(),
            range: range(&spots),
            limit: LARGER * largest(data, &averages, weights),
            weights: Vec::new(),
            open: 0.0,
            pairs: Vec::new(),
        };
        let parts = out.terms + out.places.len();
        out.weights = vec![[0.0; 3]; parts];
        let design = design(&spots, model.form);
        let alike = Alike::of(&spots, model);
        let mut pairs = DMatrix::zeros(parts, parts);
        for axis in 0..3 {
            let covariance = model.covariance(axis, &alike, &averages.variance);
            pairs += out.learn(axis, model, (data, &averages), (&design, covariance));
        }
        for row in 0..parts {
            out.pairs.extend((0..row).map(|column| 2.0 * pairs[(row, column)]));
            out.pairs.push(pairs[(row, row)]);
        }
        out
    }

    /// What one axis says; gives what it adds to the pairs.
    fn learn(
        &mut self,
        axis: usize,
        model: &Model,
        (data, averages): (&Data, &Averages),
        (design, covariance): (&DMatrix<f64>, DMatrix<f64>),
    ) -> DMatrix<f64> {
        let (ridge, amplitude) = (model.ridge[axis].powi(2), model.amplitude[axis].powi(2));
        self.open += amplitude + model.misfit[axis].powi(2);
        let terms = self.terms;
        let mut pairs = DMatrix::zeros(self.weights.len(), self.weights.len());
        for i in 0..terms {
            pairs[(i, i)] = ridge;
        }
        // Noise keeps this from ever failing; if it does, nothing is learnt from this axis.
        let Some(inverse) = covariance.cholesky().map(|root| root.inverse()) else { return pairs };
        let read = DVector::from_iterator(averages.off.len(), averages.off.iter().map(|o| o[axis]));
        let pull = &inverse * &read;
        // Covariance of the parts with what is read.
        let mut parts = DMatrix::zeros(pairs.nrows(), read.len());
        parts.rows_mut(0, terms).copy_from(&(design.transpose() * ridge));
        for i in terms..pairs.nrows() {
            parts[(i, i - terms)] = amplitude;
        }
        for (weight, pulled) in self.weights.iter_mut().zip((&parts * &pull).iter()) {
            weight[axis] = *pulled;
        }
        pairs -= &parts * &inverse * parts.transpose();
        // Leaving one out, exactly (Rasmussen and Williams 2006, section 5.4.2).
        for (g, group) in data.groups.iter().enumerate() {
            let without = 1.0 / inverse[(g, g)];
            for &m in &group.members {
                let noise = data.noise(m, &model.factors);
                self.left_out[m].off[axis] = read[g] - pull[g] * without;
                self.left_out[m].variance[axis] = (without - averages.variance[g]).max(0.0) + noise;
            }
        }
        pairs
    }

    /// The correction at a place, and its standard deviation over all three axes.
    pub fn at(&self, spot: &Spot) -> ([f64; 3], f64) {
        let spot = tidy(spot);
        let mut parts = [0.0; PARTS];
        let mut lab = spot.lab;
        for (v, (low, high)) in lab.iter_mut().zip(self.range) {
            *v = v.clamp(low, high);
        }
        parts[..self.terms].copy_from_slice(&terms(lab)[..self.terms]);
        let here = place(&spot, self.lengths);
        for (part, place) in parts[self.terms..].iter_mut().zip(&self.places) {
            *part = alike(&here, place);
        }
        let parts = &parts[..self.weights.len()];
        let mut off = [0.0; 3];
        for (part, weight) in parts.iter().zip(&self.weights) {
            for (off, weight) in off.iter_mut().zip(weight) {
                *off += part * weight;
            }
        }
        let mut variance = self.open;
        let mut rest = self.pairs.as_slice();
        for (i, part) in parts.iter().enumerate() {
            let (row, next) = rest.split_at(i + 1);
            variance += part * dot(row, &parts[..=i]);
            rest = next;
        }
        (self.limited(off), variance.max(1e-6).sqrt())
    }

    /// A correction no longer than any may be.
    pub fn limited(&self, off: [f64; 3]) -> [f64; 3] {
        let long = off.iter().map(|v| v * v).sum::<f64>().sqrt();
        if long <= self.limit {
            off
        } else if long.is_finite() {
            off.map(|v| v * self.limit / long)
        } else {
            [0.0; 3]
        }
    }
}

/// In eight sums at once, so that the processor need not wait for each.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let mut sums = [0.0; 8];
    let (a8, b8) = (a.chunks_exact(8), b.chunks_exact(8));
    let rest: f64 = a8.remainder().iter().zip(b8.remainder()).map(|(a, b)| a * b).sum();
    for (a, b) in a8.zip(b8) {
        for (sum, (a, b)) in sums.iter_mut().zip(a.iter().zip(b)) {
            *sum += a * b;
        }
    }
    rest + sums.iter().sum::<f64>()
}

/// CIELAB between which there are readings, and a little more.
fn range(spots: &[Spot]) -> [(f64, f64); 3] {
    [0, 1, 2].map(|axis| {
        let each = || spots.iter().map(|spot| spot.lab[axis]);
        let (low, high) = (each().fold(1e9, f64::min), each().fold(-1e9, f64::max));
        if low > high { (0.0, 0.0) } else { (low - BEYOND, high + BEYOND) }
    })
}

/// The longest correction that was read, of readings that are believed.
fn largest(data: &Data, averages: &Averages, weights: &[f64]) -> f64 {
    let believed = |g: usize| data.groups[g].members.iter().any(|m| weights[*m] > 0.2);
    let long = |g: usize| averages.off[g].iter().map(|v| v * v).sum::<f64>().sqrt();
    (0..averages.off.len()).filter(|g| believed(*g)).map(long).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::super::reading::Reading;
    use super::*;

    fn readings() -> Vec<Reading> {
        let mut rng = fastrand::Rng::with_seed(4);
        let reading = |i: usize| {
            let value = [0, 1, 2].map(|_| 255.0 * rng.f64());
            let lab = [value[1] / 2.55, (value[0] - value[1]) / 3.0, (value[1] - value[2]) / 3.0];
            let off = [lab[1] / 20.0 + rng.f64(), (lab[0] / 15.0).sin() + rng.f64(), rng.f64()];
            let at = Spot { lab, value: [value[0], value[1], value[2], 0.0] };
            // Every fourth is read twice.
            vec![Reading { at, off, sigma: 0.4, kind: 0 }; 1 + usize::from(i.is_multiple_of(4))]
        };
        (0..40).flat_map(reading).collect()
    }

    #[test]
    fn leaving_out_at_once_is_leaving_out_each() {
        let readings = readings();
        for form in [Form::Shift, Form::Cubic, Form::Process] {
            let model = Model { misfit: [0.2; 3], ..Model::usual(form, 1) };
            let weights = vec![1.0; readings.len()];
            let all = Posterior::of(&model, &Data::from(&readings), &weights);
            for i in [0, 6, 21] {
                let others = readings.iter().filter(|r| r.at != readings[i].at).copied();
                let others: Vec<Reading> = others.collect();
                let mut without = Posterior::of(&model, &Data::from(&others), &weights);
                without.range = all.range;
                without.limit = 1e9;
                let (off, sigma) = without.at(&readings[i].at);
                let left = &all.left_out[i];
                for (off, left) in off.iter().zip(left.off) {
                    assert!((off - left).abs() < 1e-6, "{form:?} {i} {off} {left}");
                }
                let stated = left.variance.iter().sum::<f64>() - 3.0 * 0.16;
                assert!((stated - sigma * sigma).abs() < 1e-6, "{form:?} {i} {stated}");
            }
        }
    }

    #[test]
    fn sums_in_eights_are_sums() {
        let a: Vec<f64> = (0..29).map(f64::from).collect();
        let want: f64 = a.iter().map(|v| v * v).sum();
        assert!((dot(&a, &a) - want).abs() < 1e-9);
    }
}
