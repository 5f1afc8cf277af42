//! CIELAB (D65, 2 degrees) of sRGB bytes.
//!
//! Reference: colour-science 0.4.7 from PyPI,
//! `colour.XYZ_to_Lab(colour.sRGB_to_XYZ(numpy.array([r, g, b]) / 255),
//! colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"])`,
//! printed to four digits.

use shadecard::range::lab;
use shadecard::sheet::Rgb;

const REFERENCE: [(Rgb, [f64; 3]); 9] = [
    (Rgb(255, 0, 0), [53.2329, 80.1112, 67.2237]),
    (Rgb(0, 255, 0), [87.7370, -86.1829, 83.1878]),
    (Rgb(0, 0, 255), [32.3026, 79.1981, -107.8504]),
    (Rgb(0, 255, 255), [91.1165, -48.0776, -14.1243]),
    (Rgb(255, 0, 255), [60.3199, 98.2563, -60.8296]),
    (Rgb(255, 255, 0), [97.1382, -21.5536, 94.4895]),
    (Rgb(255, 255, 255), [100.0, 0.0077, 0.0035]),
    (Rgb(128, 128, 128), [53.5850, 0.0046, 0.0021]),
    (Rgb(0, 0, 0), [0.0, 0.0, 0.0]),
];

#[test]
fn lab_of_the_primaries() {
    for (rgb, want) in REFERENCE {
        let got = lab(rgb);
        for (got, want) in [got.l, got.a, got.b].into_iter().zip(want) {
            assert!((got - want).abs() < 0.05, "{}: {got} instead of {want}", rgb.hex());
        }
    }
}
