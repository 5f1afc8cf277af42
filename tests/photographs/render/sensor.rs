//! What the sensor sees of each material under each lamp, and the matrix that a telephone was given for it.

use crate::render::colour::{D65, SRGB, WIDE, from_xyz, times};
use crate::render::materials::{Materials, PERFECT};
use crate::render::params::{Lights, Look, Sensor};
use crate::render::recover::reflectance;
use crate::render::spectra::{SAMPLES, Spectrum, camera, light, moved, seen, xyz};

/// A colour of the sensor, the last value unused: four are faster than three.
pub type Rgb = [f32; 4];

/// Every material under every lamp, balanced: the perfect diffuser under both lamps together is 1, 1, 1.
pub struct Response {
    pub lamps: [Vec<Rgb>; 2],
    /// The perfect diffuser under each lamp alone.
    pub white: [Rgb; 2],
    /// What the white balance multiplies the sensor's values with.
    pub gains: [f32; 3],
}

pub fn sensitivities(sensor: &Sensor) -> [Spectrum; 3] {
    let own = camera(sensor.camera).map(|s| moved(&s, sensor.shift));
    std::array::from_fn(|k| {
        std::array::from_fn(|i| {
            let others: f64 = (0..3).filter(|&j| j != k).map(|j| own[j][i]).sum();
            own[k][i] + sensor.mix * others
        })
    })
}

/// A lamp's spectrum with which the perfect diffuser's luminance is 1.
fn lamp(name: &str) -> Spectrum {
    let spectrum = light(name);
    let y: f64 = (0..SAMPLES).map(|i| spectrum[i] * crate::render::spectra::OBSERVER[1][i]).sum();
    spectrum.map(|v| v / y)
}

impl Response {
    pub fn new(materials: &Materials, sensor: &Sensor, lights: &Lights) -> Self {
        let own = sensitivities(sensor);
        let spectra =
            [0, 1].map(|k| lamp(&lights.lamps[k].spectrum).map(|v| v * lights.lamps[k].power));
        let alone = spectra.map(|s| seen(&own, &s, &PERFECT));
        let both: [f64; 3] = std::array::from_fn(|c| alone[0][c] + alone[1][c]);
        let gain: [f64; 3] = std::array::from_fn(|c| 1.0 / both[c]);
        let least = gain.into_iter().fold(f64::MAX, f64::min);
        let rgb = |v: [f64; 3]| -> Rgb {
            [(v[0] * gain[0]) as f32, (v[1] * gain[1]) as f32, (v[2] * gain[2]) as f32, 0.0]
        };
        Self {
            lamps: spectra
                .map(|s| materials.spectra.iter().map(|m| rgb(seen(&own, &s, m))).collect()),
            white: alone.map(rgb),
            gains: gain.map(|g| (g / least) as f32),
        }
    }
}

/// From balanced values of the sensor to linear values of the file's primaries: fitted on surfaces of an own list under the
/// light that the telephone was made for, white kept, then made more vivid; last the error of the white balance.
pub fn matrix(sensor: &Sensor, look: &Look, wide: bool) -> [[f32; 3]; 3] {
    let own = sensitivities(sensor);
    let lamp = light(&look.made_for);
    let white = seen(&own, &lamp, &PERFECT);
    let d65 = light("d65");
    let to_rgb = from_xyz(if wide { WIDE } else { SRGB }, D65);
    let mut pairs = Vec::new();
    for (number, lab) in training().into_iter().enumerate() {
        let (surface, _) = reflectance(lab, number as u32 % 5);
        let c = seen(&own, &lamp, &surface);
        pairs.push((
            [c[0] / white[0], c[1] / white[1], c[2] / white[2]],
            times(&to_rgb, xyz(&d65, &surface)),
        ));
    }
    let fitted = [0, 1, 2].map(|row| row_of(&pairs, row));
    let mean = [0.2126, 0.7152, 0.0722];
    std::array::from_fn(|r| {
        std::array::from_fn(|c| {
            let grey: f64 = (0..3).map(|k| mean[k] * fitted[k][c]).sum();
            (look.balance[r] * (grey + look.vivid * (fitted[r][c] - grey))) as f32
        })
    })
}

/// Surfaces of all hues in two lightnesses and strengths, and greys.
fn training() -> Vec<[f64; 3]> {
    let mut list = vec![[30.0, 0.0, 0.0], [60.0, 0.0, 0.0], [90.0, 0.0, 0.0]];
    for hue in 0..12 {
        let (sin, cos) = (f64::from(hue) * 30.0f64).to_radians().sin_cos();
        list.push([45.0, 38.0 * cos, 38.0 * sin]);
        list.push([70.0, 22.0 * cos, 22.0 * sin]);
    }
    list
}

/// Least squares for one row whose sum is 1.
fn row_of(pairs: &[([f64; 3], [f64; 3])], row: usize) -> [f64; 3] {
    let (mut aa, mut ab, mut bb, mut ay, mut by) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for (c, s) in pairs {
        let (a, b, y) = (c[0] - c[2], c[1] - c[2], s[row] - c[2]);
        aa += a * a;
        ab += a * b;
        bb += b * b;
        ay += a * y;
        by += b * y;
    }
    let det = aa * bb - ab * ab;
    let (first, second) = ((ay * bb - by * ab) / det, (by * aa - ay * ab) / det);
    [first, second, 1.0 - first - second]
}
