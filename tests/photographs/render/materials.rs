//! The reflectances of a scene, and what a camera sees of them.

use crate::render::colour::decoded;
use crate::render::recover::reflectance;
use crate::render::spectra::{SAMPLES, Spectrum, lab, wavelength};

/// All reflectances of a scene, by number.
pub struct Materials {
    pub spectra: Vec<Spectrum>,
    greys: Vec<(u8, u16)>,
    gain: f64,
}

/// The numbers of what every scene has.
pub const PAPER: u16 = 0;
pub const BLACK: u16 = 1;
pub const TABLE: u16 = 2;
pub const HAIR: u16 = 3;

impl Materials {
    /// Paper, black ink, a table, hair; `gain` over 1 prints greys darker.
    pub fn new(table: [f64; 3], gain: f64) -> Self {
        let hair = reflectance([22.0, 6.0, 9.0], 0).0;
        Self {
            spectra: vec![paper(), black(), reflectance(table, 3).0, hair],
            greys: Vec::new(),
            gain,
        }
    }

    /// A material with a reflectance.
    pub fn add(&mut self, spectrum: Spectrum) -> u16 {
        self.spectra.push(spectrum);
        (self.spectra.len() - 1) as u16
    }

    /// A printed grey: white is the paper, the darkest is not quite the ink of text.
    pub fn grey(&mut self, byte: u8) -> u16 {
        if byte == 255 {
            return PAPER;
        }
        if let Some(found) = self.greys.iter().find(|grey| grey.0 == byte) {
            return found.1;
        }
        let number = self.add(halftone(decoded(f64::from(byte) / 255.0).powf(self.gain)));
        self.greys.push((byte, number));
        number
    }
}

fn bell(sample: usize, middle: f64, width: f64) -> f64 {
    (-((wavelength(sample) - middle) / width).powi(2) / 2.0).exp()
}

/// White office paper: it takes violet and gives a little blue.
pub fn paper() -> Spectrum {
    std::array::from_fn(|i| {
        0.87 - 0.5 * bell(i, 375.0, 16.0) + 0.06 * bell(i, 445.0, 22.0)
            - 0.01 * bell(i, 500.0, 40.0)
    })
}

/// Black ink on that paper: a little warm.
fn black() -> Spectrum {
    std::array::from_fn(|i| 0.026 + 0.014 * (wavelength(i) - 380.0) / 400.0)
}

/// Grey from dots of black ink with a relative luminance between ink and paper: Yule and Nielsen's model with n = 2.
/// Halftones of real inks are not quite neutral; this one is a little warm in the middle.
fn halftone(light: f64) -> Spectrum {
    let (white, ink) = (paper(), black());
    let level = |s: &Spectrum| lab(s)[0];
    let (mut low, mut high) = (0.0, 1.0);
    let mixed = |share: f64| -> Spectrum {
        std::array::from_fn(|i| {
            let warm = 1.0 + 0.10 * share * (1.0 - share) * (wavelength(i) - 560.0) / 200.0;
            (share * ink[i].sqrt() + (1.0 - share) * white[i].sqrt()).powi(2) * warm
        })
    };
    let y = |l: f64| ((l + 16.0) / 116.0).powi(3);
    let aim = y(level(&ink)) + (y(level(&white)) - y(level(&ink))) * light;
    for _ in 0..30 {
        let share = (low + high) / 2.0;
        if y(level(&mixed(share))) > aim { low = share } else { high = share }
    }
    mixed(low)
}

/// A spectrum that is the same everywhere.
pub const PERFECT: Spectrum = [1.0; SAMPLES];
