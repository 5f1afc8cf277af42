//! What a telephone makes of the light on its sensor: noise, clipping, its matrix, a tone curve, sharpening.

use crate::render::colour::encoded;
use crate::render::grain::{NUMBERS, normal};
use crate::render::local::Local;
use crate::render::optics::Picture;
use crate::render::params::{Look, Params};
use crate::render::sensor::{Response, matrix};
use fastrand::Rng;

/// Steps of the tone curve's table.
const STEPS: usize = 16384;

/// 16-bit values, three a pixel, upright.
pub fn developed(
    picture: &Picture,
    response: &Response,
    params: &Params,
    rng: &mut Rng,
) -> Vec<u16> {
    let exposure = (params.look.exposure / 0.87) as f32;
    let local = Local::new(picture, params.look.local);
    let maker = Maker {
        exposure,
        flare: mean(&picture.light).map(|v| v * params.sensor.flare as f32),
        gains: response.gains,
        shot: params.sensor.shot as f32,
        read: params.sensor.read as f32,
        normal: normal(rng),
        matrix: matrix(&params.sensor, &params.look, params.file.wide),
        curves: [0, 1, 2].map(|channel| curve(&params.look, channel)),
    };
    let length = picture.wide * 3;
    let mut ring: [Vec<f32>; 3] = std::array::from_fn(|_| vec![0.0; length]);
    let mut out = vec![0; picture.light.len()];
    for next in 0..=picture.high {
        if next < picture.high {
            maker.row(
                (&picture.light[next * length..][..length], &local.row(next)),
                rng,
                &mut ring[next % 3],
            );
        }
        if next > 0 {
            let row = next - 1;
            let (above, below) = (row.saturating_sub(1), (row + 1).min(picture.high - 1));
            let rows = [above, row, below].map(|r| ring[r % 3].as_slice());
            sharpened(rows, params.look.sharpening as f32, &mut out[row * length..][..length]);
        }
    }
    out
}

/// The mean of every hundredth pixel.
fn mean(light: &[f32]) -> [f32; 3] {
    let mut sum = [0.0f64; 3];
    let pixels = light.chunks_exact(3).step_by(101);
    let count = pixels.len() as f64;
    pixels.for_each(|p| (0..3).for_each(|k| sum[k] += f64::from(p[k].min(4.0))));
    sum.map(|v| (v / count) as f32)
}

/// Linear light to the file's values: near sRGB, with a slight S, a channel's own deviation, and a soft end.
fn curve(look: &Look, channel: usize) -> Vec<f32> {
    let one = |i: usize| {
        let y = encoded(i as f64 / STEPS as f64).powf(look.gamma[channel]);
        let s = y + look.contrast * y * (1.0 - y) * (2.0 * y - 1.0);
        (s.clamp(0.0, 1.0) * 65535.0) as f32
    };
    (0..=STEPS).map(one).collect()
}

struct Maker {
    exposure: f32,
    flare: [f32; 3],
    gains: [f32; 3],
    shot: f32,
    read: f32,
    normal: Vec<f32>,
    matrix: [[f32; 3]; 3],
    curves: [Vec<f32>; 3],
}

impl Maker {
    fn row(&self, of: (&[f32], &[f32]), rng: &mut Rng, out: &mut [f32]) {
        let (light, gains) = of;
        self.caught(light, rng, out);
        for (p, gain) in out.chunks_exact_mut(3).zip(gains) {
            let c = [p[0], p[1], p[2]];
            for ((q, m), curve) in p.iter_mut().zip(&self.matrix).zip(&self.curves) {
                let linear = (gain * (m[0] * c[0] + m[1] * c[1] + m[2] * c[2])).clamp(0.0, 1.0);
                *q = curve[(linear * STEPS as f32 + 0.5) as i32 as usize];
            }
        }
    }

    /// What the sensor gives: noise from somewhere in the list of chances, then full light cut off.
    fn caught(&self, light: &[f32], rng: &mut Rng, out: &mut [f32]) {
        let start = rng.usize(0..NUMBERS - light.len());
        let noise = &self.normal[start..start + light.len()];
        let own: [f32; 3] = std::array::from_fn(|k| self.gains[k] * self.shot);
        let dark: [f32; 3] = std::array::from_fn(|k| (self.gains[k] * self.read).powi(2));
        for ((q, p), n) in
            out.chunks_exact_mut(3).zip(light.chunks_exact(3)).zip(noise.chunks_exact(3))
        {
            for k in 0..3 {
                let v = (p[k] + self.flare[k]) * self.exposure;
                q[k] = (v + (own[k] * v + dark[k]).sqrt() * n[k]).clamp(0.0, 1.0);
            }
        }
    }
}

/// A row with a share of what differs in it from its surroundings added, the same in all three channels.
fn sharpened(rows: [&[f32]; 3], amount: f32, out: &mut [u16]) {
    let luma = |p: &[f32]| 0.25 * p[0] + 0.6 * p[1] + 0.15 * p[2];
    let pixels = rows[0].chunks_exact(3).zip(rows[1].chunks_exact(3)).zip(rows[2].chunks_exact(3));
    let grey: Vec<f32> =
        pixels.map(|((a, b), c)| 0.25 * luma(a) + 0.5 * luma(b) + 0.25 * luma(c)).collect();
    let last = grey.len() - 1;
    for (at, (q, p)) in out.chunks_exact_mut(3).zip(rows[1].chunks_exact(3)).enumerate() {
        let soft =
            0.25 * grey[at.saturating_sub(1)] + 0.5 * grey[at] + 0.25 * grey[(at + 1).min(last)];
        let more = 1.6 * amount * (luma(p) - soft);
        (0..3).for_each(|k| q[k] = (p[k] + more + 0.5).clamp(0.0, 65535.0) as i32 as u16);
    }
}
