//! CIELAB under D50, and what the camera model needs of it.

pub use crate::colour::{Lab50, difference};

/// XYZ of D50 (ICC.1:2022, 7.2.16).
pub const WHITE: [f64; 3] = [0.9642, 1.0, 0.8249];

/// CIELAB of XYZ with Y = 1 for the perfect white. Below 0 the straight part of the curve goes on.
pub fn lab(xyz: [f64; 3]) -> Lab50 {
    let f = |v: f64| {
        let e = 216.0 / 24389.0;
        if v > e { v.cbrt() } else { (24389.0 / 27.0 * v + 16.0) / 116.0 }
    };
    let [x, y, z] = [0, 1, 2].map(|i| f(xyz[i] / WHITE[i]));
    Lab50::new(116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z))
}

/// XYZ of CIELAB, Y = 1 for the perfect white.
#[cfg(test)]
pub fn xyz(lab: Lab50) -> [f64; 3] {
    use palette::white_point::D50;
    use palette::{IntoColor, Xyz};
    let xyz: Xyz<D50, f64> = lab.into_color();
    [xyz.x, xyz.y, xyz.z]
}

/// What turns a small step in CIELAB at a colour into one whose length is about its CIEDE2000: rows
/// for lightness, chroma and hue (the weighting functions of ISO/CIE 11664-6 without its rotation).
pub fn step(at: Lab50) -> [[f64; 3]; 3] {
    let chroma = at.a.hypot(at.b);
    let (cos, sin) = if chroma > 1e-6 { (at.a / chroma, at.b / chroma) } else { (1.0, 0.0) };
    let dark = (at.l - 50.0).powi(2);
    let lightness = 1.0 + 0.015 * dark / (20.0 + dark).sqrt();
    let strength = 1.0 + 0.045 * chroma;
    let hue = 1.0 + 0.015 * chroma * 0.9;
    // Greys: a is stretched by up to a half (the factor G).
    let seven = chroma.powi(7);
    let stretch = 1.0 + 0.5 * (1.0 - (seven / (seven + 25f64.powi(7))).sqrt());
    [
        [1.0 / lightness, 0.0, 0.0],
        [0.0, stretch * cos / strength, sin / strength],
        [0.0, -stretch * sin / hue, cos / hue],
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lab_and_xyz_are_inverse() {
        for (l, a, b) in [(50.0, 20.0, -30.0), (5.0, 1.0, 2.0), (95.0, 0.0, 5.0)] {
            let back = lab(xyz(Lab50::new(l, a, b)));
            assert!((back.l - l).abs() + (back.a - a).abs() + (back.b - b).abs() < 0.05);
        }
    }

    #[test]
    fn steps_are_about_as_long_as_differences() {
        for at in [(50.0, 0.0, 0.0), (30.0, 50.0, 30.0), (80.0, -40.0, 10.0), (60.0, 5.0, 70.0)] {
            let at = Lab50::new(at.0, at.1, at.2);
            for d in [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]] {
                let other = Lab50::new(at.l + d[0], at.a + d[1], at.b + d[2]);
                let rows = step(at).map(|r| r[0] * d[0] + r[1] * d[1] + r[2] * d[2]);
                let length = rows.iter().map(|v| v * v).sum::<f64>().sqrt();
                let true_length = difference(at, other);
                assert!((length / true_length - 1.0).abs() < 0.25, "{length} {true_length}");
            }
        }
    }
}
