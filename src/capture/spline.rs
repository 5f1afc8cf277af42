//! A smooth surface through scattered values: cubic B-splines both ways, with a penalty on second
//! differences (Eilers and Marx 1996), fitted robustly (Tukey's biweight).

use nalgebra::{DMatrix, DVector};

use crate::capture::least::median;

/// Patches of the surface along one edge, at most.
const MOST_CELLS: usize = 16;
/// How much a second difference costs, beside a value that is off as much.
const STIFF: f64 = 0.1;
/// Times that weights are found anew.
const ROUNDS: usize = 8;

/// A value in three channels at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Where, in the surface's rectangle.
    pub at: (f64, f64),
    /// Its channels.
    pub value: [f64; 3],
}

/// A smooth surface of three channels over a rectangle from 0, 0.
#[derive(Debug, Clone)]
pub struct Surface {
    size: (f64, f64),
    cells: (usize, usize),
    channels: [DVector<f64>; 3],
}

impl Surface {
    /// Fits to samples, with cells of about `cell`. Also how far off each sample is, relative to the
    /// surface (the channel that is farthest off), and the usual size of that. `None` for too few.
    pub fn fit(
        size: (f64, f64),
        cell: f64,
        samples: &[Sample],
    ) -> Option<(Surface, Vec<f64>, f64)> {
        if samples.len() < 16 {
            return None;
        }
        let cells = |length: f64| ((length / cell).ceil() as usize).clamp(2, MOST_CELLS);
        let cells = (cells(size.0), cells(size.1));
        let empty = || DVector::zeros((cells.0 + 3) * (cells.1 + 3));
        let mut surface = Surface { size, cells, channels: [empty(), empty(), empty()] };
        let mut weights = vec![1.0; samples.len()];
        let mut off = Vec::new();
        let mut usual = 0.0;
        for _ in 0..ROUNDS {
            surface.solve(samples, &weights)?;
            off = samples.iter().map(|s| surface.off(s)).collect();
            usual = (1.48 * median(&mut off.iter().map(|v: &f64| v.abs()).collect::<Vec<_>>()))
                .max(0.003);
            for (weight, off) in weights.iter_mut().zip(&off) {
                let far = off / (4.5 * usual);
                *weight = if far.abs() < 1.0 { (1.0 - far * far).powi(2) } else { 0.0 };
            }
        }
        Some((surface, off, usual))
    }

    /// The surface at a place; places outside count as at the edge.
    pub fn at(&self, place: (f64, f64)) -> [f64; 3] {
        let mut sum = [0.0; 3];
        for (i, w) in self.basis(place) {
            for (sum, channel) in sum.iter_mut().zip(&self.channels) {
                *sum += w * channel.get(i).copied().unwrap_or(0.0);
            }
        }
        sum
    }

    /// How far a sample is off, relative to the surface: the channel that is farthest.
    fn off(&self, sample: &Sample) -> f64 {
        let there = self.at(sample.at);
        let mut worst = 0.0f64;
        for (value, there) in sample.value.iter().zip(there) {
            let off = value / there.max(1e-4) - 1.0;
            if off.abs() > worst.abs() {
                worst = off;
            }
        }
        worst
    }

    fn solve(&mut self, samples: &[Sample], weights: &[f64]) -> Option<()> {
        let count = self.channels[0].len();
        let mut normal = DMatrix::<f64>::zeros(count, count);
        let mut right = [(); 3].map(|()| DVector::<f64>::zeros(count));
        for (sample, weight) in samples.iter().zip(weights).filter(|(_, w)| **w > 0.0) {
            let basis = self.basis(sample.at);
            for (i, a) in basis {
                for (k, b) in basis {
                    normal[(i, k)] += weight * a * b;
                }
                for (right, value) in right.iter_mut().zip(sample.value) {
                    right[i] += weight * a * value;
                }
            }
        }
        let columns = self.cells.0 + 3;
        for i in 0..count {
            normal[(i, i)] += 1e-9;
            let (x, y) = (i % columns, i / columns);
            if x + 2 < columns {
                bend(&mut normal, [i, i + 1, i + 2]);
            }
            if y + 2 < self.cells.1 + 3 {
                bend(&mut normal, [i, i + columns, i + 2 * columns]);
            }
        }
        let factor = normal.cholesky()?;
        for (channel, right) in self.channels.iter_mut().zip(&right) {
            *channel = factor.solve(right);
        }
        self.channels.iter().all(|c| c.iter().all(|v| v.is_finite())).then_some(())
    }

    /// The sixteen basis functions that are not 0 at a place.
    fn basis(&self, place: (f64, f64)) -> [(usize, f64); 16] {
        let along = |at: f64, size: f64, cells: usize| {
            let t = (at / size).clamp(0.0, 1.0) * cells as f64;
            let cell = (t as usize).min(cells - 1);
            (cell, cubic(t - cell as f64))
        };
        let (cx, wx) = along(place.0, self.size.0, self.cells.0);
        let (cy, wy) = along(place.1, self.size.1, self.cells.1);
        let columns = self.cells.0 + 3;
        let mut out = [(0, 0.0); 16];
        for (i, out) in out.iter_mut().enumerate() {
            *out = ((cy + i / 4) * columns + cx + i % 4, wx[i % 4] * wy[i / 4]);
        }
        out
    }
}

/// Adds the penalty on one second difference.
fn bend(normal: &mut DMatrix<f64>, three: [usize; 3]) {
    let difference = [1.0, -2.0, 1.0];
    for (i, a) in three.into_iter().zip(difference) {
        for (k, b) in three.into_iter().zip(difference) {
            normal[(i, k)] += STIFF * a * b;
        }
    }
}

/// The four cubic B-splines on a unit cell.
fn cubic(t: f64) -> [f64; 4] {
    let s = 1.0 - t;
    [
        s * s * s / 6.0,
        (3.0 * t * t * t - 6.0 * t * t + 4.0) / 6.0,
        (3.0 * s * s * s - 6.0 * s * s + 4.0) / 6.0,
        t * t * t / 6.0,
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn light(x: f64, y: f64) -> f64 {
        0.8 * (-((x - 60.0).powi(2) + (y - 100.0).powi(2)) / 60_000.0).exp()
    }

    #[test]
    fn follows_uneven_light_through_gaps_and_spots() {
        let mut rng = fastrand::Rng::with_seed(1);
        let mut samples = Vec::new();
        for i in 0..70 {
            for k in 0..99 {
                let (x, y) = (f64::from(i) * 3.0, f64::from(k) * 3.0);
                // Places of 30 mm with gaps of 12 mm.
                if x % 42.0 < 30.0 && y % 42.0 < 30.0 {
                    continue;
                }
                let noise = 1.0 + 0.01 * (rng.f64() - 0.5);
                let spot = if rng.f64() < 0.1 { 0.6 } else { 1.0 };
                let v = light(x, y) * noise * spot;
                samples.push(Sample { at: (x, y), value: [v, 0.9 * v, 0.7 * v] });
            }
        }
        let (surface, off, _) = Surface::fit((210.0, 297.0), 22.0, &samples).unwrap();
        assert_eq!(off.len(), samples.len());
        let mut worst: f64 = 0.0;
        for i in 1..20 {
            for k in 1..29 {
                let (x, y) = (f64::from(i) * 10.0, f64::from(k) * 10.0);
                worst = worst.max((surface.at((x, y))[0] / light(x, y) - 1.0).abs());
            }
        }
        // In the corners, beyond the last paper, it is a guess; 0.0025 elsewhere.
        assert!(worst < 0.01, "{worst}");
    }
}
