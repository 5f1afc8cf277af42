//! Colour values: how they are given, and the sRGB bytes that are shown.

use palette::chromatic_adaptation::AdaptIntoUnclamped;
use palette::convert::FromColorUnclamped;
use palette::white_point::{D50, D65};
use palette::{IntoColor, Lab, LinSrgb, Srgb, Xyz};

use super::observer::{WHITE_D50, spectrum_to_xyz};
use crate::graphic::Rgb;

/// sRGB bytes, and how far the value lay outside sRGB: the largest excess of a
/// linear channel beyond 0 to 1, 0 when it lies inside.
pub fn lab_d50_to_rgb(l: f64, a: f64, b: f64) -> (Rgb, f64) {
    xyz_to_rgb(Lab::<D50, f64>::new(l, a, b).into_color())
}

/// The same for a reflectance from `from` nm in steps of `step` nm.
pub fn spectrum_to_rgb(from: f64, step: f64, values: &[f64]) -> (Rgb, f64) {
    let xyz = spectrum_to_xyz(from, step, values);
    // palette's D50 differs from the ICC white in the fourth digit: go by ratio.
    let white = <D50 as palette::white_point::WhitePoint<f64>>::get_xyz();
    xyz_to_rgb(Xyz::new(
        xyz[0] / WHITE_D50[0] * white.x,
        xyz[1] / WHITE_D50[1] * white.y,
        xyz[2] / WHITE_D50[2] * white.z,
    ))
}

/// By Bradford adaptation from D50 to D65.
fn xyz_to_rgb(xyz: Xyz<D50, f64>) -> (Rgb, f64) {
    let adapted: Xyz<D65, f64> = xyz.adapt_into_unclamped();
    let linear = LinSrgb::<f64>::from_color_unclamped(adapted);
    let channels = [linear.red, linear.green, linear.blue];
    let excess = channels.iter().map(|c| (-c).max(c - 1.0)).fold(0.0, f64::max);
    let [r, g, b] = channels.map(|c| c.clamp(0.0, 1.0));
    let bytes = Srgb::<f64>::from_linear(LinSrgb::new(r, g, b)).into_format::<u8>();
    (Rgb(bytes.red, bytes.green, bytes.blue), excess)
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
