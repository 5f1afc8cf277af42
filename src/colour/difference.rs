//! CIELAB under D50, and CIEDE2000.

use palette::chromatic_adaptation::AdaptIntoUnclamped;
use palette::color_difference::Ciede2000;
use palette::convert::FromColorUnclamped;
use palette::white_point::{D50, D65};
use palette::{IntoColor, Lab, LinSrgb, Srgb, Xyz};

use crate::graphic::Rgb;

/// CIELAB with the white of the ICC profile connection space.
pub type Lab50 = Lab<D50, f64>;

/// CIEDE2000 (ISO/CIE 11664-6), all weights 1.
pub fn difference(a: Lab50, b: Lab50) -> f64 {
    Ciede2000::difference(a, b)
}

/// CIELAB of an sRGB colour, adapted from D65 to D50 by Bradford (ICC.1:2022, annex E).
pub fn from_rgb(rgb: Rgb) -> Lab50 {
    let xyz: Xyz<D65, f64> = Srgb::new(rgb.0, rgb.1, rgb.2).into_format::<f64>().into_color();
    let adapted: Xyz<D50, f64> = xyz.adapt_into_unclamped();
    adapted.into_color()
}

/// The nearest sRGB bytes by clipping, and the largest excess of a linear
/// channel beyond 0 to 1: 0 for a colour inside sRGB.
pub fn to_rgb(lab: Lab50) -> (Rgb, f64) {
    let xyz: Xyz<D50, f64> = lab.into_color();
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

    #[test]
    fn bytes_come_back() {
        for v in (0..=255u8).step_by(5) {
            for rgb in [Rgb(v, 40, 200), Rgb(255 - v, v, 10), Rgb(v, v, v)] {
                assert_eq!(to_rgb(from_rgb(rgb)).0, rgb);
            }
        }
    }
}
