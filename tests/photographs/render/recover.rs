//! A reflectance of a CIELAB value: the smoothest between 0 and 1 that has it.
//!
//! Burns, Numerical methods for smoothest reflectance reconstruction, Color Research and Application 45(1), 2020, the method
//! for object colours: with r = (tanh z + 1) / 2 the squares of the steps of z are least among all r with the wanted
//! tristimulus values. Here the steps may be taken from a wave instead of from 0, which gives other spectra of the same
//! value: other pigments.

use crate::render::colour::{distance, xyz_of_lab};
use crate::render::spectra::{OBSERVER, SAMPLES, Spectrum, lab, light, seen, wavelength, xyz};

const SIZE: usize = SAMPLES + 3;

/// A reflectance whose CIELAB value (D50, 2 degrees) is the given one within 0.1.
///
/// `pigments` 0 is the smoothest; every other number gives another spectrum of the same value. A value that no surface
/// can have is first drawn towards grey of its lightness, so the value that was reached is returned too.
pub fn reflectance(value: [f64; 3], pigments: u32) -> (Spectrum, [f64; 3]) {
    let mut strength = 1.0;
    for _ in 0..40 {
        let wanted = [value[0].clamp(1.0, 99.0), value[1] * strength, value[2] * strength];
        for wave in [1.0, 0.5, 0.0] {
            if let Some(found) = solve(wanted, &steps(pigments, wave))
                && distance(lab(&found), wanted) < 0.05
            {
                return (found, wanted);
            }
        }
        strength *= 0.96;
    }
    unreachable!("greys always have a reflectance")
}

/// The wave that `z` is to follow.
fn steps(pigments: u32, size: f64) -> Spectrum {
    if pigments == 0 {
        return [0.0; SAMPLES];
    }
    let mut rng = fastrand::Rng::with_seed(u64::from(pigments));
    let (period, phase, high) = (90.0 + 70.0 * rng.f64(), rng.f64(), 0.2 + 0.2 * rng.f64());
    std::array::from_fn(|i| {
        size * high * (std::f64::consts::TAU * ((wavelength(i) - 380.0) / period + phase)).cos()
    })
}

/// Newton's method on the Lagrangian; none if it does not settle.
fn solve(value: [f64; 3], wave: &Spectrum) -> Option<Spectrum> {
    let d50 = light("d50");
    let wanted = xyz_of_lab(value, xyz(&d50, &[1.0; SAMPLES]));
    let scale = seen(&OBSERVER, &d50, &[1.0; SAMPLES])[1];
    let weights: [Spectrum; 3] =
        std::array::from_fn(|k| std::array::from_fn(|i| OBSERVER[k][i] * d50[i] / scale));
    let (mut z, mut price) = ([0.0; SAMPLES], [0.0; 3]);
    for _ in 0..60 {
        let step = newton_step(&z, price, (&weights, wanted, wave))?;
        let longest = step.iter().take(SAMPLES).fold(0.0f64, |a, b| a.max(b.abs()));
        let part = if longest > 1.0 { 1.0 / longest } else { 1.0 };
        (0..SAMPLES).for_each(|i| z[i] += part * step[i]);
        (0..3).for_each(|k| price[k] += part * step[SAMPLES + k]);
        if longest < 1e-7 {
            return Some(z.map(|z| (z.tanh() + 1.0) / 2.0));
        }
    }
    None
}

fn newton_step(
    z: &Spectrum,
    price: [f64; 3],
    aim: (&[Spectrum; 3], [f64; 3], &Spectrum),
) -> Option<[f64; SIZE]> {
    let (weights, wanted, wave) = aim;
    let mut matrix = [[0.0; SIZE + 1]; SIZE];
    for i in 0..SAMPLES {
        let t = z[i].tanh();
        let (first, second) = ((1.0 - t * t) / 2.0, -(1.0 - t * t) * t);
        let pull: f64 = (0..3).map(|k| weights[k][i] * price[k]).sum();
        let mut force = first * pull;
        for j in [i.wrapping_sub(1), i + 1].into_iter().filter(|&j| j < SAMPLES) {
            matrix[i][j] -= 2.0;
            matrix[i][i] += 2.0;
            force += 2.0 * ((z[i] - wave[i]) - (z[j] - wave[j]));
        }
        matrix[i][i] += second * pull + 1e-12;
        for k in 0..3 {
            matrix[i][SAMPLES + k] = first * weights[k][i];
            matrix[SAMPLES + k][i] = first * weights[k][i];
        }
        matrix[i][SIZE] = -force;
    }
    for k in 0..3 {
        let has: f64 = (0..SAMPLES).map(|i| weights[k][i] * (z[i].tanh() + 1.0) / 2.0).sum();
        matrix[SAMPLES + k][SIZE] = wanted[k] - has;
    }
    eliminated(matrix)
}

/// Gauss with pivots; the last column is the right side.
fn eliminated(mut m: [[f64; SIZE + 1]; SIZE]) -> Option<[f64; SIZE]> {
    for c in 0..SIZE {
        let best = (c..SIZE).max_by(|&a, &b| m[a][c].abs().total_cmp(&m[b][c].abs()))?;
        m.swap(c, best);
        if m[c][c].abs() < 1e-14 {
            return None;
        }
        let pivot = m[c];
        for row in m.iter_mut().skip(c + 1) {
            let share = row[c] / pivot[c];
            if share != 0.0 {
                (c..=SIZE).for_each(|k| row[k] -= share * pivot[k]);
            }
        }
    }
    let mut x = [0.0; SIZE];
    for r in (0..SIZE).rev() {
        let rest: f64 = (r + 1..SIZE).map(|k| m[r][k] * x[k]).sum();
        x[r] = (m[r][SIZE] - rest) / m[r][r];
    }
    Some(x)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_spectrum_has_its_value_and_other_pigments_differ() {
        let values = [
            [95.0, 0.0, 2.0],
            [20.0, 0.0, 0.0],
            [50.0, 70.0, 45.0],
            [80.0, 2.0, 85.0],
            [30.0, 25.0, -60.0],
        ];
        for value in values {
            let (plain, reached) = reflectance(value, 0);
            assert!(distance(value, reached) < 1e-9, "{value:?} only {reached:?}");
            let (other, _) = reflectance(value, 7);
            assert!(distance(lab(&plain), value) < 0.1 && distance(lab(&other), value) < 0.1);
            let apart = plain.iter().zip(&other).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            assert!(apart > 0.02, "{value:?}: {apart}");
            assert!(plain.iter().chain(&other).all(|r| (0.0..=1.0).contains(r)));
        }
    }
}
