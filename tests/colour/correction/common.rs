//! Printers that the code does not know: what a model says, and what they print.

#![allow(dead_code, reason = "each user takes some of it")]

use palette::color_difference::Ciede2000;
use shadecard::correction::{Learnt, Reading, Spot};

/// D50.
const WHITE: [f64; 3] = [0.9642, 1.0, 0.8249];

/// A printer's departure from its model.
#[derive(Debug, Clone, Copy)]
pub struct Printer {
    /// Dot gain of each channel.
    pub gain: [f64; 3],
    /// How much of each channel gets into the next.
    pub cross: f64,
    /// Turn of hue, radians.
    pub turn: f64,
    /// Light on all.
    pub veil: f64,
    /// Height of a local bump in blue, CIELAB.
    pub bump: f64,
}

pub const PRINTERS: [Printer; 4] = [
    Printer { gain: [0.10, 0.05, -0.06], cross: 0.02, turn: 0.02, veil: 0.004, bump: 0.0 },
    Printer { gain: [0.06, 0.09, 0.05], cross: -0.02, turn: -0.03, veil: 0.002, bump: 3.0 },
    Printer { gain: [-0.06, -0.04, -0.08], cross: 0.03, turn: 0.03, veil: 0.006, bump: 2.0 },
    Printer { gain: [0.02, -0.05, 0.10], cross: 0.04, turn: -0.02, veil: 0.003, bump: -3.0 },
];

fn lab(linear: [f64; 3], veil: f64) -> [f64; 3] {
    let [r, g, b] = linear;
    let xyz = [
        0.4361 * r + 0.3852 * g + 0.1431 * b,
        0.2225 * r + 0.7169 * g + 0.0606 * b,
        0.0139 * r + 0.0971 * g + 0.7141 * b,
    ];
    let f = |i: usize| {
        let t: f64 = (0.02 + 0.85 * xyz[i] / WHITE[i] + veil).max(0.0);
        if t > 0.008856 { t.cbrt() } else { 7.787 * t + 16.0 / 116.0 }
    };
    [116.0 * f(1) - 16.0, 500.0 * (f(0) - f(1)), 200.0 * (f(1) - f(2))]
}

/// What the model says.
pub fn spot(rgb: [f64; 3]) -> Spot {
    let lab = lab(rgb.map(|v| (v / 255.0).powf(2.2)), 0.0);
    Spot { lab, value: [rgb[0], rgb[1], rgb[2], 0.0] }
}

impl Printer {
    /// What is printed less what the model says.
    pub fn off(&self, spot: &Spot) -> [f64; 3] {
        let v = [0, 1, 2].map(|i| spot.value[i] / 255.0);
        let gained = [0, 1, 2].map(|i| v[i] - self.gain[i] * v[i] * (1.0 - v[i]) * 2.0);
        let mixed = [0, 1, 2].map(|i| {
            let other = gained[(i + 1) % 3];
            (gained[i] + self.cross * (other - gained[i])).clamp(0.0, 1.0).powf(2.2)
        });
        let [l, a, b] = lab(mixed, self.veil);
        let (sin, cos) = self.turn.sin_cos();
        let near = [spot.lab[0] - 45.0, spot.lab[1] - 10.0, spot.lab[2] + 40.0];
        let bump =
            self.bump * (-near.iter().map(|d| d * d).sum::<f64>() / (2.0 * 18.0 * 18.0)).exp();
        let there = [l + bump, a * cos - b * sin, a * sin + b * cos - bump];
        [0, 1, 2].map(|i| there[i] - spot.lab[i])
    }

    /// Readings of spots, each with noise of `sigma` on each axis; every third of them twice.
    pub fn read(&self, spots: &[Spot], sigma: f64, rng: &mut fastrand::Rng) -> Vec<Reading> {
        let twice = spots.iter().step_by(3);
        let reading = |at: &Spot| {
            let off = self.off(at).map(|v| v + sigma * normal(rng));
            Reading { at: *at, off, sigma, kind: 1 }
        };
        spots.iter().chain(twice).map(reading).collect()
    }
}

/// A normal deviate (Box and Muller 1958).
pub fn normal(rng: &mut fastrand::Rng) -> f64 {
    (-2.0 * (1.0 - rng.f64()).ln()).sqrt() * (std::f64::consts::TAU * rng.f64()).cos()
}

/// Colours as a sheet may have them: all over the values, with a few greys.
pub fn colours(count: usize, rng: &mut fastrand::Rng) -> Vec<Spot> {
    let colour = |i: usize| {
        let grey = 255.0 * rng.f64();
        let byte =
            |rng: &mut fastrand::Rng| if i.is_multiple_of(8) { grey } else { 255.0 * rng.f64() };
        spot([byte(rng).round(), byte(rng).round(), byte(rng).round()])
    };
    (0..count).map(colour).collect()
}

pub fn long(v: [f64; 3]) -> f64 {
    v.iter().map(|v| v * v).sum::<f64>().sqrt()
}

/// Mean error of what is predicted at spots: CIE 1976, CIEDE2000, and RMS of stated and true error.
pub fn errors(learnt: &Learnt, printer: &Printer, spots: &[Spot]) -> [f64; 4] {
    let mut out = [0.0; 4];
    for spot in spots {
        let (off, sigma) = learnt.at(spot);
        let truly = printer.off(spot);
        let apart = long([0, 1, 2].map(|i| off[i] - truly[i]));
        let colour = |off: [f64; 3]| {
            let [l, a, b] = [0, 1, 2].map(|i| spot.lab[i] + off[i]);
            palette::Lab::<palette::white_point::D50, f64>::new(l, a, b)
        };
        out[0] += apart;
        out[1] += colour(off).difference(colour(truly));
        out[2] += sigma * sigma;
        out[3] += apart * apart;
    }
    let [a, b, c, d] = out.map(|v| v / spots.len() as f64);
    [a, b, c.sqrt(), d.sqrt()]
}

/// RMS distance of readings from their left-out predictions, and as stated.
pub fn left_out(learnt: &Learnt, readings: &[Reading]) -> (f64, f64) {
    let (mut found, mut stated) = (0.0, 0.0);
    for (left, reading) in learnt.left_out().iter().zip(readings) {
        found += (0..3).map(|i| (left.off[i] - reading.off[i]).powi(2)).sum::<f64>();
        stated += left.sigma.powi(2);
    }
    let count = readings.len() as f64;
    ((found / count).sqrt(), (stated / count).sqrt())
}
