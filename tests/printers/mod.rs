//! Printers that the program does not know: what they really show of a value, and readings of it.

#![allow(dead_code, reason = "each user takes some of them")]

use shadecard::colour::Lab50;
use shadecard::press::paper::{Bytes, Drift};
use shadecard::press::{ColourMode, Paper, PaperModel, PrintReading, ReadBy, RenderingIntent};

/// A printer.
pub struct Printer {
    pub name: &'static str,
    truth: Truth,
}

enum Truth {
    /// Another profile than the one that values are tuned with, and how it differs from day to day.
    Profile(Box<Paper>),
    /// Inks of one's own on a white: Neugebauer's primaries with Yule and Nielsen's factor (Yule and Nielsen 1951;
    /// Viggiano 1985), in XYZ, with dot gain.
    Inks { n: f64, gain: f64, white: [f64; 3] },
}

/// XYZ (D50, Y = 1) of solid inks and their overprints on white: none, C, M, CM, Y, CY, MY, CMY. Invented, near those
/// of offset inks.
const PRIMARIES: [[f64; 3]; 8] = [
    [0.84, 0.87, 0.70],
    [0.155, 0.235, 0.55],
    [0.32, 0.165, 0.155],
    [0.065, 0.05, 0.17],
    [0.66, 0.73, 0.075],
    [0.075, 0.16, 0.055],
    [0.29, 0.165, 0.03],
    [0.03, 0.032, 0.025],
];

impl Printer {
    /// Four printers: two profiles, and inks on a matte and on a glossy stock.
    pub fn all(profiles: &[(&'static str, Vec<u8>)]) -> Vec<Printer> {
        let mut out: Vec<Printer> = Vec::new();
        for (name, bytes) in profiles {
            let intent = RenderingIntent::Relative;
            let paper = Paper::profile(bytes, Some(ColourMode::Srgb), intent).expect("a profile");
            out.push(Printer { name, truth: Truth::Profile(Box::new(paper)) });
        }
        let stocks =
            [(PaperModel::Coated, "coated stock"), (PaperModel::SemiGloss, "semi-gloss stock")];
        for (model, name) in stocks {
            let paper = Paper::model(model, ColourMode::Srgb, RenderingIntent::Relative);
            out.push(Printer { name, truth: Truth::Profile(Box::new(paper.expect("a paper"))) });
        }
        let inks = |name, n, gain, white| Printer { name, truth: Truth::Inks { n, gain, white } };
        out.push(inks("inks, matte stock", 1.7, 0.22, [0.80, 0.83, 0.66]));
        out.push(inks("inks, glossy stock", 2.2, 0.12, [0.85, 0.88, 0.73]));
        out
    }

    /// What it shows of an sRGB value: CIELAB beside its own white. `drift` is how far it is off what it was, from round
    /// to round; `place` where on the page, from -1 to 1: ink is never quite even.
    pub fn shows(&self, value: Bytes, drift: f64, place: f64) -> Lab50 {
        let uneven = 0.006 * place + 0.01 * drift;
        match &self.truth {
            Truth::Profile(paper) => {
                let seen = paper.shows_with(value, Drift::NONE);
                Lab50::new(seen.l - 25.0 * uneven, seen.a * (1.0 - uneven), seen.b * (1.0 - uneven))
            }
            Truth::Inks { n, gain, white } => {
                let tone = |v: u8| {
                    let t = 1.0 - f64::from(v) / 255.0;
                    (t + 4.0 * (gain + uneven) * t * (1.0 - t) * 0.5).clamp(0.0, 1.0)
                };
                let [c, m, y] = [tone(value[0]), tone(value[1]), tone(value[2])];
                let xyz = [0, 1, 2].map(|k| {
                    let sum: f64 = (0..8)
                        .map(|i| {
                            let part =
                                |bit: usize, t: f64| if i >> bit & 1 == 1 { t } else { 1.0 - t };
                            let share = part(0, c) * part(1, m) * part(2, y);
                            let scaled = PRIMARIES[i][k] / PRIMARIES[0][k] * white[k];
                            share * scaled.powf(1.0 / n)
                        })
                        .sum();
                    sum.powf(*n) / white[k]
                });
                lab(xyz)
            }
        }
    }

    /// A reading of a value, off by chance.
    pub fn read(
        &self,
        value: Bytes,
        (by, sigma): (ReadBy, f64),
        (drift, rng): (f64, &mut fastrand::Rng),
    ) -> PrintReading {
        let shown = self.shows(value, drift, rng.f64() * 2.0 - 1.0);
        let [l, a, b] = [shown.l, shown.a, shown.b].map(|v| v + sigma * normal(rng));
        PrintReading { value, shown: Lab50::new(l, a, b), by, sigma: by.sigma() }
    }
}

/// CIELAB of XYZ as a share of the white (CIE 015:2018).
fn lab(share: [f64; 3]) -> Lab50 {
    let f =
        |t: f64| if t > 216.0 / 24389.0 { t.cbrt() } else { (24389.0 / 27.0 * t + 16.0) / 116.0 };
    let [x, y, z] = share.map(f);
    Lab50::new(116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z))
}

/// Normally distributed (Box and Muller 1958).
pub fn normal(rng: &mut fastrand::Rng) -> f64 {
    let (u, v) = (1.0 - rng.f64(), rng.f64());
    (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
}
