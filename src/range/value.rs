//! Colour values: how they are given, as CIELAB under D50, and the sRGB bytes that are shown.

use palette::IntoColor;
use palette::Xyz;
use palette::white_point::D50;

use super::Value;
use super::observer::{WHITE_D50, spectrum_to_xyz};
use crate::colour::{Lab50, from_rgb, to_rgb};
use crate::graphic::Rgb;

/// sRGB bytes, and how far the value lay outside sRGB: the largest excess of a
/// linear channel beyond 0 to 1, 0 when it lies inside.
pub fn lab_d50_to_rgb(l: f64, a: f64, b: f64) -> (Rgb, f64) {
    to_rgb(Lab50::new(l, a, b))
}

/// The same for a reflectance from `from` nm in steps of `step` nm.
pub fn spectrum_to_rgb(from: f64, step: f64, values: &[f64]) -> (Rgb, f64) {
    to_rgb(spectrum_to_lab(from, step, values))
}

/// CIELAB of a reflectance from `from` nm in steps of `step` nm.
pub fn spectrum_to_lab(from: f64, step: f64, values: &[f64]) -> Lab50 {
    let xyz = spectrum_to_xyz(from, step, values);
    // palette's D50 differs from the ICC white in the fourth digit: go by ratio.
    let white = <D50 as palette::white_point::WhitePoint<f64>>::get_xyz();
    let xyz: Xyz<D50, f64> = Xyz::new(
        xyz[0] / WHITE_D50[0] * white.x,
        xyz[1] / WHITE_D50[1] * white.y,
        xyz[2] / WHITE_D50[2] * white.z,
    );
    xyz.into_color()
}

impl Value {
    /// What a print should show: CIELAB under D50, as measured where it was measured.
    pub fn aim(&self) -> Lab50 {
        match self {
            Value::Srgb(rgb) => from_rgb(*rgb),
            Value::LabD50 { l, a, b } => Lab50::new(*l, *a, *b),
            Value::Spectrum { from, step, values } => spectrum_to_lab(*from, *step, values),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
        assert_eq!(spectrum_to_rgb(400.0, 10.0, &[1.0; 31]).0, Rgb(255, 255, 255));
        assert!(lab_d50_to_rgb(60.0, 120.0, -20.0).1 > 0.01);
    }
}
