//! The colour engine and the shipped profile against another build of the
//! engine and the full profile.
//!
//! Source: Pillow 13.0.0, ImageCms (Little CMS 2.19), transforms of 8 bits
//! without optimisation, on the unaltered ISOcoated_v2_300_bas.ICC, from which
//! the shipped profile was made. Recorded values, not computed here.

use shadecard::graphic::Rgb;
use shadecard::press::{ColourMode, Paper, PaperModel, RenderingIntent};

fn coated(colour_mode: ColourMode, intent: RenderingIntent) -> Paper {
    Paper::model(PaperModel::Coated, colour_mode, intent).unwrap_or_else(|e| panic!("{e:?}"))
}

/// CMYK bytes, and CIELAB as 8 bits have it: L* in 255 steps, a* and b* + 128.
const SHOWN: [([u8; 4], [f64; 3]); 8] = [
    ([0, 0, 0, 0], [255.0, 128.0, 128.0]),
    ([255, 0, 0, 0], [148.0, 89.0, 78.0]),
    ([0, 255, 0, 0], [130.0, 205.0, 126.0]),
    ([0, 0, 255, 0], [239.0, 123.0, 226.0]),
    ([0, 0, 0, 255], [44.0, 128.0, 129.0]),
    ([128, 64, 32, 16], [170.0, 122.0, 110.0]),
    ([255, 255, 0, 0], [66.0, 151.0, 81.0]),
    ([30, 200, 180, 40], [126.0, 173.0, 158.0]),
];

#[test]
fn ink_shows_what_the_full_profile_says() {
    let paper = coated(ColourMode::Cmyk, RenderingIntent::Relative);
    for (ink, [l, a, b]) in SHOWN {
        let lab = paper.shows(ink);
        let got = [lab.l * 2.55, lab.a + 128.0, lab.b + 128.0];
        for (got, want) in got.iter().zip([l, a, b]) {
            // Half a step of rounding, and the engine's own rounding to 16 bits.
            assert!((got - want).abs() < 0.55, "{ink:?}: {got} {want}");
        }
    }
}

/// sRGB, and the ink of it by either intent; relative with black point compensation.
const HOUSE: [(Rgb, [u8; 4], [u8; 4]); 8] = [
    (Rgb(201, 40, 45), [32, 237, 206, 16], [31, 234, 205, 16]),
    (Rgb(18, 128, 192), [208, 101, 10, 0], [205, 100, 15, 1]),
    (Rgb(247, 246, 241), [10, 7, 16, 0], [10, 7, 16, 0]),
    (Rgb(12, 12, 14), [193, 170, 146, 224], [190, 167, 150, 227]),
    (Rgb(96, 160, 64), [168, 29, 230, 13], [167, 29, 227, 13]),
    (Rgb(240, 210, 40), [23, 34, 224, 0], [27, 30, 217, 1]),
    (Rgb(128, 128, 128), [123, 99, 98, 52], [123, 98, 97, 50]),
    (Rgb(90, 30, 110), [195, 253, 39, 26], [192, 252, 34, 20]),
];

/// What a house prints of sRGB is reported by what the paper then shows: within
/// 1.5 CIEDE2000, since the shipped table from colour to ink has every other node.
#[test]
fn a_house_prints_srgb_as_the_full_profile_does() {
    let press = coated(ColourMode::Cmyk, RenderingIntent::Relative);
    for intent in [RenderingIntent::Relative, RenderingIntent::Perceptual] {
        let house = coated(ColourMode::Srgb, intent);
        for (rgb, relative, perceptual) in HOUSE {
            let ink = if intent == RenderingIntent::Relative { relative } else { perceptual };
            let (ours, theirs) = (house.shows([rgb.0, rgb.1, rgb.2, 0]), press.shows(ink));
            let off = shadecard::colour::difference(ours, theirs);
            assert!(off < 1.5, "{} {intent:?}: {off}", rgb.hex());
        }
    }
}
