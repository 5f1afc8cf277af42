//! A paper: which values a file for it colour_mode, and what the paper shows of them.
//!
//! A profile gives it from measurements. Where there is none, a model does:
//! a coated base, dulled by a veil of light that the surface reflects, on a
//! white of its own:
//!
//! ```text
//! XYZ of the print, relative to the paper's white = veil + (1 - veil) x XYZ of the base
//! ```
//!
//! The veil is the first-surface reflection of Saunderson's correction (J. Opt.
//! Soc. Am. 32, 727, 1942; cited from memory) without its second term: an
//! approximation. Its size for matte paper was fitted to the published
//! characterisation of uncoated paper FOGRA47 (`examples/veil.rs`): matte shows
//! colours there within 3.0 CIEDE2000 on average, against 9.6 without.

use std::sync::Arc;

use lcms2::Intent;
use palette::white_point::D50;
use palette::{IntoColor, Lab, Xyz};
use sha2::{Digest, Sha256};

use super::corrected::Correction;
use super::icc::{House, Icc, Shared, Show, Space, Unfit};
use crate::colour::Lab50;
use crate::graphic::Rgb;
pub use crate::range::{ColourMode, PaperModel, RenderingIntent};

/// The base of the built-in models.
const COATED: &[u8] = include_bytes!("../../profiles/coated.icc");

/// The share of light that the surface adds. Semi-gloss: half of matte, an assumption.
fn veil(model: PaperModel) -> f64 {
    match model {
        PaperModel::Coated => 0.0,
        PaperModel::SemiGloss => MATTE_VEIL / 2.0,
        PaperModel::Matte => MATTE_VEIL,
    }
}

/// The white of the paper, CIELAB D50. Common practice, no source, but for coated: the base's own.
fn white(model: PaperModel) -> Option<[f64; 3]> {
    match model {
        PaperModel::Coated => None,
        PaperModel::SemiGloss => Some([95.0, 0.5, -2.0]),
        PaperModel::Matte => Some([94.0, 0.3, -0.5]),
    }
}

/// See the head of this file.
pub const MATTE_VEIL: f64 = 0.055;

/// A paper, ready to be asked.
pub struct Paper {
    colour_mode: ColourMode,
    icc: Icc,
    show: Show,
    /// From colour to ink, for papers that take CMYK.
    guess: Option<Shared<[f64; 3], [f64; 4]>>,
    /// From sRGB to ink, for those that take sRGB.
    house: Option<House>,
    veil: f64,
    /// XYZ of its white, Y = 1 for the perfect white.
    white: [f64; 3],
    ink_limit: f64,
    intent: RenderingIntent,
    /// What readings of prints add.
    correction: Option<(Arc<Correction>, String)>,
}

/// A paper that cannot be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoPaper {
    Profile(Unfit),
    /// An RGB profile takes no CMYK.
    NotCmyk,
}

impl From<Unfit> for NoPaper {
    fn from(unfit: Unfit) -> NoPaper {
        NoPaper::Profile(unfit)
    }
}

impl Paper {
    /// A built-in paper.
    ///
    /// # Errors
    /// None that a working program can have: the base is part of it.
    pub fn model(
        model: PaperModel,
        colour_mode: ColourMode,
        intent: RenderingIntent,
    ) -> Result<Paper, NoPaper> {
        let mut paper = Paper::profile(COATED, Some(colour_mode), intent)?;
        paper.veil = veil(model);
        if let Some([l, a, b]) = white(model) {
            let xyz: Xyz<D50, f64> = Lab50::new(l, a, b).into_color();
            paper.white = [xyz.x, xyz.y, xyz.z];
        }
        Ok(paper)
    }

    /// A paper by its output profile. Without a word on what the file colour_mode:
    /// CMYK for a CMYK profile, sRGB for an RGB one.
    ///
    /// # Errors
    /// A profile that cannot be used; CMYK asked of an RGB profile.
    pub fn profile(
        bytes: &[u8],
        colour_mode: Option<ColourMode>,
        intent: RenderingIntent,
    ) -> Result<Paper, NoPaper> {
        let icc = Icc::read(bytes)?;
        let colour_mode = colour_mode.unwrap_or(match icc.space() {
            Space::Cmyk => ColourMode::Cmyk,
            Space::Rgb => ColourMode::Srgb,
        });
        if colour_mode == ColourMode::Cmyk && icc.space() == Space::Rgb {
            return Err(NoPaper::NotCmyk);
        }
        let engine = match intent {
            RenderingIntent::Relative => Intent::RelativeColorimetric,
            RenderingIntent::Perceptual => Intent::Perceptual,
        };
        let (guess, house) = match colour_mode {
            ColourMode::Cmyk => (Some(icc.cmyk_from_lab()?), None),
            ColourMode::Srgb => (None, Some(icc.from_srgb(engine)?)),
        };
        let ink_limit = match icc.space() {
            Space::Cmyk => icc.total_ink().ceil().clamp(200.0, 400.0),
            Space::Rgb => 400.0,
        };
        let (show, white) = (icc.to_lab()?, icc.white());
        let (veil, correction) = (0.0, None);
        Ok(Paper {
            colour_mode,
            icc,
            show,
            guess,
            house,
            veil,
            white,
            ink_limit,
            intent,
            correction,
        })
    }

    /// Another limit of total ink, percent.
    pub fn with_ink_limit(mut self, percent: f64) -> Paper {
        self.ink_limit = percent;
        self
    }

    pub fn colour_mode(&self) -> ColourMode {
        self.colour_mode
    }

    /// The most ink a colour may have, all channels together, percent.
    pub fn ink_limit(&self) -> f64 {
        self.ink_limit
    }

    /// The most that a value is given: between two colours of a shading, and where layers are mixed, each
    /// of four channels may be rounded up by a step of 255, and the limit holds there too.
    pub fn most_ink(&self) -> f64 {
        self.ink_limit - 4.0 / 2.55
    }

    /// The profile, for an output intent.
    pub fn icc(&self) -> &Arc<[u8]> {
        self.icc.bytes()
    }

    /// The same with what readings of its prints add; `of` is a checksum of these.
    pub fn with_correction(mut self, correction: Correction, of: String) -> Paper {
        self.correction = Some((Arc::new(correction), of));
        self
    }

    /// What readings of prints add, where there are any.
    pub fn correction(&self) -> Option<&Correction> {
        self.correction.as_ref().map(|(correction, _)| &**correction)
    }

    /// A checksum of all that determines what it shows: the profile, the model, the way of the house, and the
    /// readings of prints.
    pub fn fingerprint(&self) -> String {
        let model = self.model_fingerprint();
        let Some((_, of)) = &self.correction else { return model };
        let hash = Sha256::digest([model.as_str(), of].concat());
        hash[..12].iter().map(|b| format!("{b:02x}")).collect()
    }

    /// The same without any readings.
    pub fn model_fingerprint(&self) -> String {
        let mut hash = Sha256::new();
        hash.update(self.icc());
        let reported =
            [self.veil, self.white[0], self.white[1], self.white[2]].map(f64::to_be_bytes);
        reported.iter().for_each(|t| hash.update(t));
        hash.update([self.colour_mode as u8, self.intent as u8]);
        hash.finalize()[..12].iter().map(|b| format!("{b:02x}")).collect()
    }

    /// The profile's own name.
    pub fn description(&self) -> String {
        self.icc.description()
    }

    /// The registered characterization data that the profile states it was made of.
    pub fn registered(&self) -> Option<String> {
        self.icc.registered()
    }

    /// How many channels a value in the file has.
    pub fn channels(&self) -> usize {
        match self.colour_mode {
            ColourMode::Cmyk => 4,
            ColourMode::Srgb => 3,
        }
    }

    /// What the paper shows of a value in the file, one byte a channel:
    /// CIELAB D50 relative to the paper's white.
    pub fn shows(&self, bytes: Bytes) -> Lab50 {
        self.shows_with(bytes, Drift::NONE)
    }

    /// The same by the model alone, without what readings of prints add.
    pub fn model_shows(&self, bytes: Bytes) -> Lab50 {
        self.model_with(bytes, Drift::NONE)
    }

    /// The same of a paper that differs a little from what is known of it.
    pub fn shows_with(&self, bytes: Bytes, drift: Drift) -> Lab50 {
        let lab = self.model_with(bytes, drift);
        let Some((correction, _)) = &self.correction else { return lab };
        let [l, a, b] = correction.at(bytes);
        // Bare paper is what all else is relative to.
        Lab50::new((lab.l + l).clamp(0.0, 100.0), lab.a + a, lab.b + b)
    }

    fn model_with(&self, bytes: Bytes, drift: Drift) -> Lab50 {
        let values = bytes.map(|b| f64::from(b) / 255.0);
        let device = match &self.house {
            // A house hands on whole bytes.
            Some(house) => {
                house.one([values[0], values[1], values[2]]).map(|v| (v * 255.0).round() / 255.0)
            }
            None => values,
        };
        let device = [0, 1, 2, 3].map(|n| drift.gained(device[n], n));
        let [l, a, b] = self.show.one(device);
        let lab = Lab50::new(l, a * drift.chroma, b * drift.chroma);
        let veil = (self.veil + drift.veil).max(0.0);
        if veil == 0.0 {
            return lab;
        }
        let white = <D50 as palette::white_point::WhitePoint<f64>>::get_xyz();
        let xyz: Xyz<D50, f64> = lab.into_color();
        let (v, rest) = (veil, 1.0 - veil);
        let dulled = Xyz::<D50, f64>::new(
            v * white.x + rest * xyz.x,
            v * white.y + rest * xyz.y,
            v * white.z + rest * xyz.z,
        );
        dulled.into_color()
    }

    /// The same beside a perfect white: as an instrument measures it, the paper's own colour in it.
    pub fn measured(&self, shown: Lab50) -> Lab50 {
        let white = <D50 as palette::white_point::WhitePoint<f64>>::get_xyz();
        let xyz: Xyz<D50, f64> = shown.into_color();
        let [x, y, z] = self.white;
        let scaled: Lab<D50, f64> =
            Xyz::<D50, f64>::new(xyz.x * x / white.x, xyz.y * y, xyz.z * z / white.z).into_color();
        scaled
    }

    /// What would be printed without care: of the press's own table, rounded
    /// to bytes, for CMYK; the colour's own bytes for sRGB.
    pub fn plain(&self, aim: Lab50, rgb: Rgb) -> Bytes {
        let Some(guess) = &self.guess else { return [rgb.0, rgb.1, rgb.2, 0] };
        let mut out = [[0.0; 4]];
        guess.transform_pixels(&[[aim.l, aim.a, aim.b]], &mut out);
        within(out[0].map(|v| (v.clamp(0.0, 100.0) * 2.55).round() as u8), self.most_ink())
    }

    /// The value of bare paper.
    pub fn nothing(&self) -> Bytes {
        match self.colour_mode {
            ColourMode::Cmyk => [0; 4],
            ColourMode::Srgb => [255, 255, 255, 0],
        }
    }

    /// Total ink of a value in percent; 0 for sRGB, where the house sees to it.
    pub fn ink(&self, bytes: Bytes) -> f64 {
        match self.colour_mode {
            ColourMode::Cmyk => ink(bytes),
            ColourMode::Srgb => 0.0,
        }
    }
}

/// How a print may differ from what is known of its paper. Sizes are common practice, no source:
/// tolerances of printing are given as a few percent of tone value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drift {
    /// What mid tones of each channel gain, as a share of full tone.
    gain: [f64; 4],
    /// More light that the surface adds.
    veil: f64,
    /// The chroma that is left.
    chroma: f64,
}

impl Drift {
    /// None.
    pub const NONE: Drift = Drift { gain: [0.0; 4], veil: 0.0, chroma: 1.0 };
    /// More gain and less, one ink against the others, a duller surface, a smaller gamut.
    pub const ALL: [Drift; 5] = [
        Drift { gain: [0.04; 4], ..Drift::NONE },
        Drift { gain: [-0.04; 4], ..Drift::NONE },
        Drift { gain: [0.03, -0.03, 0.0, 0.0], ..Drift::NONE },
        Drift { veil: 0.01, ..Drift::NONE },
        Drift { chroma: 0.95, ..Drift::NONE },
    ];

    /// Tone values from 0 to 1 with their gain: none at the ends, all of it in the middle.
    fn gained(self, tone: f64, channel: usize) -> f64 {
        (tone + 4.0 * self.gain[channel] * tone * (1.0 - tone)).clamp(0.0, 1.0)
    }
}

/// A value as a file carries it: CMYK from no ink to solid, or sRGB and a 0.
pub type Bytes = [u8; 4];

/// Total ink in percent.
pub fn ink(bytes: Bytes) -> f64 {
    bytes.iter().map(|b| f64::from(*b)).sum::<f64>() / 2.55
}

/// Takes cyan, magenta and yellow back alike until the ink keeps the limit:
/// black is kept, since it carries the drawing.
fn within(bytes: Bytes, limit: f64) -> Bytes {
    let [c, m, y, k] = bytes;
    let room = (limit * 2.55 - f64::from(k)).max(0.0);
    let colour = f64::from(c) + f64::from(m) + f64::from(y);
    if colour <= room {
        return bytes;
    }
    let share = room / colour;
    let less = |v: u8| (f64::from(v) * share).floor() as u8;
    [less(c), less(m), less(y), k]
}
