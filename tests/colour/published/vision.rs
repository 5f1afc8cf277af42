//! Protan, deutan and tritan vision.
//!
//! Source of the model: Machado, Oliveira & Fernandes 2009 (IEEE TVCG 15, 6).
//! Expected values: colour-science 0.4.7, `matrix_cvd_Machado2009` at severity 1
//! on linear sRGB, then Bradford from D65 (0.95047, 1, 1.08883) to D50 and CIELAB.

use shadecard::colour::vision::Vision;
use shadecard::colour::{Lab50, difference, from_rgb};
use shadecard::graphic::Rgb;

/// sRGB, and CIELAB as protan, deutan and tritan eyes see it.
const CASES: [(&str, [[f64; 3]; 3]); 6] = [
    ("#c8322d", [[36.844, -0.815, 26.558], [50.148, -1.621, 44.018], [46.082, 76.127, 39.168]]),
    ("#3f7a3a", [[47.526, -1.031, 34.466], [45.273, -1.124, 26.292], [45.550, -23.394, -0.162]]),
    ("#2d4f9e", [[37.067, 2.932, -45.285], [32.840, 4.550, -49.433], [35.765, -31.365, -17.141]]),
    ("#e0b52c", [[73.274, -1.838, 73.795], [77.493, -2.394, 67.392], [75.354, 28.912, 17.170]]),
    ("#7d4f8c", [[39.466, 1.683, -30.183], [41.482, 1.713, -24.586], [41.544, 17.994, -2.437]]),
    ("#a9a8a0", [[68.649, -0.173, 4.345], [68.849, -0.226, 4.262], [68.704, 1.274, 1.101]]),
];

#[test]
fn six_colours_as_three_eyes_see_them() {
    for (hex, want) in CASES {
        let lab = from_rgb(Rgb::parse(hex).expect("a colour"));
        for (vision, want) in Vision::ALL.into_iter().zip(want) {
            let got = vision.sees(lab);
            let apart = difference(got, Lab50::new(want[0], want[1], want[2]));
            assert!(apart < 0.05, "{hex} {vision:?}: {got:?}, not {want:?}");
        }
    }
}

/// The rows of the published matrices add up to 1: greys stay as they are.
#[test]
fn greys_look_alike_to_everybody() {
    for v in (0..=255).step_by(15) {
        let lab = from_rgb(Rgb(v, v, v));
        for vision in Vision::ALL {
            assert!(difference(vision.sees(lab), lab) < 0.01, "{v} {vision:?}");
        }
    }
}
