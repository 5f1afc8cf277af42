//! Tones: a colour moved in CIELAB (white point D65) without leaving sRGB.

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

/// A colour with its CIELAB value and the finish it is drawn in.
#[derive(Debug, Clone, Copy)]
pub struct Ink {
    rgb: Rgb,
    lab: Lab<D65, f64>,
    finish: Finish,
}

impl Ink {
    /// Prepares a colour.
    pub fn new(colour: Rgb, finish: Finish) -> Ink {
        Ink { rgb: colour, lab: lab(colour), finish }
    }

    /// CIELAB lightness, 0 to 100.
    pub fn lightness(&self) -> f64 {
        self.lab.l
    }

    /// CIELAB chroma.
    pub fn chroma(&self) -> f64 {
        self.lab.a.hypot(self.lab.b)
    }

    /// The part's colour at another lightness with a share of its chroma.
    pub fn tinted(&self, l: f64, share: f64) -> Rgb {
        rgb(l, self.lab.a * share, self.lab.b * share)
    }

    /// The colour that a tone of a drawing becomes.
    pub fn tone(&self, tone: Tone) -> Rgb {
        match tone {
            Tone::Fixed(c) => c,
            Tone::Shine => self.shine(),
            Tone::Offset { dl, da, db } if dl == 0.0 && da == 0.0 && db == 0.0 => self.rgb,
            Tone::Offset { dl, da, db } => {
                let (dl, da, db) = self.seen(dl, da, db);
                let (l, keep) = if dl > 0.0 { self.lighter(dl) } else { self.darker(dl) };
                rgb(l, self.lab.a * keep + da, self.lab.b * keep + db)
            }
        }
    }

    /// The light that a part of this colour sheds, at a lightness and a chroma:
    /// its own hue, or the green of what glows in the dark where it has none.
    pub fn shed(&self, l: f64, c: f64) -> Rgb {
        let own = (self.chroma() / GREY).min(1.0);
        let unit = |v: f64| v / self.chroma().max(1e-6);
        let mix = |v: f64, green: f64| unit(v) * own + green * (1.0 - own);
        let (a, b) = (mix(self.lab.a, GREEN.0), mix(self.lab.b, GREEN.1));
        let k = c / a.hypot(b).max(1e-6);
        rgb(l, a * k, b * k)
    }

    /// A tone that turns the hue, moved so that the hue can be seen: near white and
    /// near black there is no room for any.
    fn seen(&self, dl: f64, da: f64, db: f64) -> (f64, f64, f64) {
        let (l, c) = (self.lab.l, da.hypot(db));
        let dark = ((40.0 - l) / 40.0).max(0.0);
        let pale = ((l - 84.0) / 16.0).max(0.0);
        match self.finish {
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
    fn lighter(&self, dl: f64) -> (f64, f64) {
        let l = self.lab.l;
        let see_through = matches!(self.finish, Finish::Clear | Finish::Flecked);
        // Light shows more on dark parts, and most where it comes through them.
        let lift = if see_through {
            1.0 + ((58.0 - l) / 48.0).max(0.0)
        } else {
            1.0 + ((45.0 - l) / 60.0).max(0.0)
        };
        let to = (l + dl * lift).min(l.max(98.5));
        let share = (to - l) / (100.0 - l).max(1.0);
        let keep = match self.finish {
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

    fn offset(dl: f64) -> Tone {
        Tone::Offset { dl, da: 0.0, db: 0.0 }
    }

    #[test]
    fn no_offset_is_the_exact_colour() {
        for c in [Rgb(1, 2, 3), Rgb(255, 0, 0), Rgb(250, 251, 252)] {
            for f in Finish::ALL {
                assert_eq!(Ink::new(c, f).tone(Tone::EXACT), c);
            }
        }
    }

    #[test]
    fn tones_go_the_right_way_and_stay_in_gamut() {
        for c in [Rgb(200, 30, 40), Rgb(10, 10, 12), Rgb(250, 250, 245), Rgb(20, 60, 140)] {
            for f in Finish::ALL {
                let ink = Ink::new(c, f);
                let l = lab(c).l;
                assert!(lab(ink.tone(offset(12.0))).l > l, "{c:?} {f:?}");
                assert!(lab(ink.tone(offset(-12.0))).l < l, "{c:?} {f:?}");
                assert!(lab(ink.tone(Tone::Shine)).l >= 87.0, "{c:?} {f:?}");
            }
        }
    }

    #[test]
    fn lightening_loses_chroma_and_glow_gains_it() {
        let c = Rgb(120, 190, 120);
        let chroma = |f| {
            let d = lab(Ink::new(c, f).tone(offset(6.0)));
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
