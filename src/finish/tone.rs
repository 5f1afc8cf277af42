//! Shades: how a drawing's colours are made from the sample that it is drawn in, whatever its value.
//! A sample is moved in CIELAB (white point D65) without leaving sRGB.

use palette::white_point::D65;
use palette::{IntoColor, Lab, LinSrgb, Srgb};

use crate::graphic::Rgb;
pub use crate::graphic::lab;
use crate::read::Finish;
use crate::read::shapes::Tone;

/// The sRGB colour of a CIELAB value, its chroma reduced until it fits.
pub fn rgb(l: f64, a: f64, b: f64) -> Rgb {
    let l = l.clamp(0.0, 100.0);
    let at = |k: f64| -> LinSrgb<f64> { Lab::<D65, f64>::new(l, a * k, b * k).into_color() };
    let fits =
        |c: &LinSrgb<f64>| [c.red, c.green, c.blue].iter().all(|v| (-0.0005..=1.0005).contains(v));
    let mut best = at(1.0);
    if !fits(&best) {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..12 {
            let k = (low + high) / 2.0;
            if fits(&at(k)) { low = k } else { high = k }
        }
        best = at(low);
    }
    let c: Srgb<f64> = Srgb::from_linear(best);
    let byte = |v: f64| (v.clamp(0.0, 1.0) * 255.0).round() as u8;
    Rgb(byte(c.red), byte(c.green), byte(c.blue))
}

/// Chroma below which a colour's light is seen as having no hue of its own.
const GREY: f64 = 24.0;
/// The hue of what glows in the dark, a* and b*, length 1.
const GREEN: (f64, f64) = (-0.78, 0.62);

/// A colour of a drawing, as a function of the sample that it is drawn in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shade {
    /// The sample itself.
    Exact,
    /// Lighter or darker, the hue turned, by offsets in CIELAB: as the finish takes them.
    Offset { dl: f64, da: f64, db: f64, finish: Finish },
    /// As much lighter, darker and otherwise in CIELAB as a picture shows it beside the sample.
    Moved { dl: f64, da: f64, db: f64 },
    /// A mirrored light: nearly white, with a breath of the colour.
    Shine,
    /// The sample's hue at a lightness, with a share of its chroma.
    Tinted { l: f64, share: f64 },
    /// The light that a part sheds, at a lightness and a chroma: its own hue, or the green of what
    /// glows in the dark where it has none.
    Shed { l: f64, c: f64 },
    /// The light that falls on the paper through a part: the lighter the part, the lighter.
    Through,
    /// Whatever the sample is: a shadow on the paper, a detail with a colour of its own.
    Fixed(Rgb),
}

impl Shade {
    /// What a tone of a drawing is in a finish.
    pub fn of(tone: Tone, finish: Finish) -> Shade {
        match tone {
            Tone::Fixed(rgb) => Shade::Fixed(rgb),
            Tone::Shine => Shade::Shine,
            Tone::Offset { dl, da, db } if dl == 0.0 && da == 0.0 && db == 0.0 => Shade::Exact,
            Tone::Offset { dl, da, db } => Shade::Offset { dl, da, db, finish },
        }
    }

    /// The colour that it is on a sample.
    pub fn on(self, sample: Rgb) -> Rgb {
        Base::new(sample).shade(self)
    }
}

/// What shades are made from: a sample with its CIELAB value.
#[derive(Debug, Clone, Copy)]
pub struct Base {
    rgb: Rgb,
    lab: Lab<D65, f64>,
}

impl Base {
    /// Prepares a sample.
    pub fn new(sample: Rgb) -> Base {
        Base { rgb: sample, lab: lab(sample) }
    }

    /// CIELAB lightness, 0 to 100.
    pub fn lightness(&self) -> f64 {
        self.lab.l
    }

    /// CIELAB chroma.
    pub fn chroma(&self) -> f64 {
        self.lab.a.hypot(self.lab.b)
    }

    /// The colour that a shade is.
    pub fn shade(&self, shade: Shade) -> Rgb {
        match shade {
            Shade::Exact => self.rgb,
            Shade::Fixed(rgb) => rgb,
            Shade::Moved { dl, da, db } => rgb(self.lab.l + dl, self.lab.a + da, self.lab.b + db),
            Shade::Shine => self.shine(),
            Shade::Tinted { l, share } => self.tinted(l, share),
            Shade::Shed { l, c } => self.shed(l, c),
            Shade::Through => self.tinted(93.0 - (90.0 - self.lightness()).max(0.0) * 0.12, 0.42),
            Shade::Offset { dl, da, db, finish } => {
                let (dl, da, db) = self.seen((dl, da, db), finish);
                let (l, keep) = if dl > 0.0 { self.lighter(dl, finish) } else { self.darker(dl) };
                rgb(l, self.lab.a * keep + da, self.lab.b * keep + db)
            }
        }
    }

    fn tinted(&self, l: f64, share: f64) -> Rgb {
        rgb(l, self.lab.a * share, self.lab.b * share)
    }

    fn shed(&self, l: f64, c: f64) -> Rgb {
        let own = (self.chroma() / GREY).min(1.0);
        let unit = |v: f64| v / self.chroma().max(1e-6);
        let mix = |v: f64, green: f64| unit(v) * own + green * (1.0 - own);
        let (a, b) = (mix(self.lab.a, GREEN.0), mix(self.lab.b, GREEN.1));
        let k = c / a.hypot(b).max(1e-6);
        rgb(l, a * k, b * k)
    }

    /// A tone that turns the hue, moved so that the hue can be seen: near white and
    /// near black there is no room for any.
    fn seen(&self, (dl, da, db): (f64, f64, f64), finish: Finish) -> (f64, f64, f64) {
        let (l, c) = (self.lab.l, da.hypot(db));
        let dark = ((40.0 - l) / 40.0).max(0.0);
        let pale = ((l - 84.0) / 16.0).max(0.0);
        match finish {
            Finish::Pearl => (dl + c * (0.9 * dark - 0.3 * pale), da, db),
            Finish::Glow if dl > 0.0 && c > 0.0 => {
                // A colour sheds its own light.
                let green = (1.0 - self.chroma() / (2.0 * GREY)).max(0.0);
                let green = green * (1.0 + 1.2 * dark);
                (dl + 14.0 * dark - 0.8 * c * pale, da * green, db * green)
            }
            _ => (dl, da, db),
        }
    }

    /// Light on the colour: new lightness and the share of chroma kept.
    fn lighter(&self, dl: f64, finish: Finish) -> (f64, f64) {
        let l = self.lab.l;
        let see_through = matches!(finish, Finish::Clear | Finish::Flecked);
        // Light shows more on dark parts, and most where it comes through them.
        let lift = if see_through {
            1.0 + ((58.0 - l) / 48.0).max(0.0)
        } else {
            1.0 + ((45.0 - l) / 60.0).max(0.0)
        };
        let to = (l + dl * lift).min(l.max(98.5));
        let share = (to - l) / (100.0 - l).max(1.0);
        let keep = match finish {
            // Light that went through the colour is coloured by it.
            Finish::Clear | Finish::Flecked => 1.0 - 0.2 * share,
            // Light that comes out of the part has its colour, only more of it.
            Finish::Glow if dl < 15.0 => 1.0 + 0.5 * (dl / 5.0).min(1.0),
            _ => 1.0 - 0.45 * share,
        };
        (to, keep)
    }

    /// Shade on the colour: new lightness and the share of chroma kept.
    fn darker(&self, dl: f64) -> (f64, f64) {
        let l = self.lab.l;
        let mut dl = dl;
        if l > 85.0 {
            dl *= 0.72;
        }
        if l < 24.0 {
            dl *= (l / 24.0).max(0.35);
        }
        // Never more than two thirds of the way to black: shade is not a hole.
        ((l + dl).max(l * 0.3), 1.06)
    }

    fn shine(&self) -> Rgb {
        let l = self.lab.l;
        if l >= 86.0 {
            return Rgb::WHITE;
        }
        let lift = 1.0 + ((30.0 - l) / 60.0).max(0.0);
        let to = (l + 60.0 * lift).clamp(88.0, 99.0);
        rgb(to, self.lab.a * 0.12, self.lab.b * 0.12)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn offset(dl: f64, finish: Finish) -> Shade {
        Shade::of(Tone::Offset { dl, da: 0.0, db: 0.0 }, finish)
    }

    #[test]
    fn no_offset_is_the_exact_colour() {
        for c in [Rgb(1, 2, 3), Rgb(255, 0, 0), Rgb(250, 251, 252)] {
            for f in Finish::ALL {
                assert_eq!(Shade::of(Tone::EXACT, f).on(c), c);
            }
        }
    }

    #[test]
    fn tones_go_the_right_way_and_stay_in_gamut() {
        for c in [Rgb(200, 30, 40), Rgb(10, 10, 12), Rgb(250, 250, 245), Rgb(20, 60, 140)] {
            for f in Finish::ALL {
                let l = lab(c).l;
                assert!(lab(offset(12.0, f).on(c)).l > l, "{c:?} {f:?}");
                assert!(lab(offset(-12.0, f).on(c)).l < l, "{c:?} {f:?}");
                assert!(lab(Shade::of(Tone::Shine, f).on(c)).l >= 87.0, "{c:?} {f:?}");
            }
        }
    }

    #[test]
    fn lightening_loses_chroma_and_glow_gains_it() {
        let c = Rgb(120, 190, 120);
        let chroma = |f| {
            let d = lab(offset(6.0, f).on(c));
            d.a.hypot(d.b)
        };
        let own = lab(c).a.hypot(lab(c).b);
        assert!(chroma(Finish::Opaque) < own);
        assert!(chroma(Finish::Glow) > own * 1.3);
    }

    #[test]
    fn white_of_d65_is_neutral() {
        let w = lab(Rgb::WHITE);
        assert!((w.l - 100.0).abs() < 1e-3 && w.a.abs() < 0.02 && w.b.abs() < 0.02);
        assert_eq!(rgb(100.0, 0.0, 0.0), Rgb::WHITE);
    }
}
