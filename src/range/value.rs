//! Colour values: how they are given, and what they are as CIELAB under D50.

use palette::chromatic_adaptation::adaptation_matrix;
use palette::convert::Convert;
use palette::lms::matrix::Bradford;
use palette::white_point::D50;
use palette::{IntoColor, Xyz};

use super::Value;
use super::observer::{Light, spectrum_to_xyz, white};
use crate::colour::{Lab50, from_rgb};

/// CIELAB of a reflectance from `from` nm in steps of `step` nm, as it looks under a light.
///
/// An eye takes the light's own white for white, so what is seen is adapted
/// from there to D50 by Bradford (ICC.1:2022, annex E).
pub fn spectrum_to_lab(light: Light, from: f64, step: f64, values: &[f64]) -> Lab50 {
    let xyz = |[x, y, z]: [f64; 3]| Xyz::<D50, f64>::new(x / 100.0, y / 100.0, z / 100.0);
    let adapt = adaptation_matrix::<f64, D50, D50, Bradford>(Some(xyz(white(light))), None);
    adapt.convert(xyz(spectrum_to_xyz(light, from, step, values))).into_color()
}

/// Rounded to tenths, and never -0.
fn tenth(number: f64) -> f64 {
    (number * 10.0).round() / 10.0 + 0.0
}

impl Value {
    /// What a print should show: CIELAB under D50, as measured where it was measured.
    pub fn aim(&self) -> Lab50 {
        self.aim_under(Light::D50)
    }

    /// The same for a light. Only a spectrum shows how a colour looks under
    /// another light than the one it was measured for: other values stay.
    pub fn aim_under(&self, light: Light) -> Lab50 {
        match self {
            Value::Srgb(rgb) => from_rgb(*rgb),
            Value::LabD50 { l, a, b } => Lab50::new(*l, *a, *b),
            Value::Spectrum { from, step, values } => spectrum_to_lab(light, *from, *step, values),
            // Paper: nothing is claimed.
            Value::Unknown => Lab50::new(100.0, 0.0, 0.0),
        }
    }

    /// Is there a value?
    pub fn is_known(&self) -> bool {
        !matches!(self, Value::Unknown)
    }

    /// In a few words: '#f8f7f3', 'Lab(50.1, 3.2, -1.0)'; of a spectrum what it is under D50.
    pub fn brief(&self) -> String {
        match self {
            Value::Srgb(rgb) => rgb.hex(),
            Value::Unknown => "unknown".to_owned(),
            Value::LabD50 { .. } | Value::Spectrum { .. } => {
                let Lab50 { l, a, b, .. } = self.aim();
                let text = format!("Lab({:.1}, {:.1}, {:.1})", tenth(l), tenth(a), tenth(b));
                if self.is_spectrum() { format!("a spectrum, {text}") } else { text }
            }
        }
    }

    /// Is it given as a spectrum?
    pub fn is_spectrum(&self) -> bool {
        matches!(self, Value::Spectrum { .. })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::to_rgb;
    use crate::graphic::Rgb;

    fn lab_d50_to_rgb(l: f64, a: f64, b: f64) -> (Rgb, f64) {
        to_rgb(Lab50::new(l, a, b))
    }

    /// Expected: colour-science 0.4.7, Bradford from D50, rounded to bytes.
    #[test]
    fn measured_values() {
        for (lab, want) in [
            ((50.0, 40.0, 30.0), Rgb(187, 88, 70)),
            ((70.0, -30.0, 10.0), Rgb(112, 186, 152)),
            ((30.0, 10.0, -40.0), Rgb(50, 68, 134)),
            ((95.0, 0.0, 2.0), Rgb(242, 241, 237)),
        ] {
            let (got, excess) = lab_d50_to_rgb(lab.0, lab.1, lab.2);
            assert!(excess < 1e-9);
            let near = |a: u8, b: u8| a.abs_diff(b) <= 1;
            assert!(
                near(got.0, want.0) && near(got.1, want.1) && near(got.2, want.2),
                "{got:?} {want:?}"
            );
        }
        assert_eq!(lab_d50_to_rgb(100.0, 0.0, 0.0).0, Rgb(255, 255, 255));
        for light in Light::ALL {
            let white = spectrum_to_lab(light, 400.0, 10.0, &[1.0; 31]);
            assert!((white.l - 100.0).abs() < 1e-6 && white.a.hypot(white.b) < 1e-3, "{white:?}");
            assert_eq!(to_rgb(white).0, Rgb(255, 255, 255));
        }
        assert!(lab_d50_to_rgb(60.0, 120.0, -20.0).1 > 0.01);
    }
}
