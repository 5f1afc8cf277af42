//! Bringing a face to a colour: in CIELAB, so that what is lighter or darker than the face by shading
//! or shine stays so. Lightness runs from black through the colour to white; what is added to a and b
//! fades towards both, so that shine stays the colour of the light.

use crate::capture::difference;
use crate::capture::lab::{Lab50, WHITE, lab};

use crate::capture::least::median;

/// Linear sRGB of XYZ under D50 (IEC 61966-2-1, adapted by Bradford's matrix).
const TO_SRGB: [[f64; 3]; 3] = [
    [3.1338561, -1.6168667, -0.4906146],
    [-0.9787684, 1.9161415, 0.0334540],
    [0.0719453, -0.2289914, 1.4052427],
];
/// The other way.
const FROM_SRGB: [[f64; 3]; 3] = [
    [0.4360747, 0.3850649, 0.1430804],
    [0.2225045, 0.7168786, 0.0606169],
    [0.0139322, 0.0971045, 0.7141733],
];
/// Light of the paper, so that what is lighter than it has room below white.
const PAPER: f64 = 0.75;
/// Pixels that the face is measured by, at most.
const MOST: usize = 5000;

/// How light becomes colour.
#[derive(Debug, Clone)]
pub struct Tone {
    matrix: [[f64; 3]; 3],
    face: Lab50,
    aim: Lab50,
    /// CIEDE2000 between the face's median as it is written and the colour.
    pub off: f64,
}

fn times(m: &[[f64; 3]; 3], v: [f64; 3]) -> [f64; 3] {
    m.map(|r| r[0] * v[0] + r[1] * v[1] + r[2] * v[2])
}

impl Tone {
    /// From the light of a face's pixels (paper white = 1) to a value; `matrix` is the picture's.
    /// `None` of no pixels.
    pub fn of(face: &[[f64; 3]], matrix: &[[f64; 3]; 3], value: [f64; 3]) -> Option<Tone> {
        let want = Lab50::new(value[0], value[1], value[2]);
        let matrix = matrix.map(|row| row.map(|v| PAPER * v));
        let few: Vec<[f64; 3]> = face.iter().step_by(face.len() / MOST + 1).copied().collect();
        let labs: Vec<Lab50> = few.iter().map(|v| lab(times(&matrix, *v))).collect();
        if few.is_empty() {
            return None;
        }
        let mut tone = Tone { matrix, face: middle(&labs), aim: want, off: 0.0 };
        for _ in 0..5 {
            let written: Vec<Lab50> = few.iter().map(|v| decoded(tone.encoded(*v))).collect();
            let got = middle(&written);
            tone.off = difference(got, want);
            if tone.off < 0.1 {
                break;
            }
            let next = |aim: f64, want: f64, got: f64| aim + (want - got).clamp(-4.0, 4.0);
            let aim = Lab50::new(
                next(tone.aim.l, want.l, got.l).clamp(0.0, 100.0),
                next(tone.aim.a, want.a, got.a).clamp(-150.0, 150.0),
                next(tone.aim.b, want.b, got.b).clamp(-150.0, 150.0),
            );
            let better = Tone { aim, ..tone.clone() };
            let written: Vec<Lab50> = few.iter().map(|v| decoded(better.encoded(*v))).collect();
            let off = difference(middle(&written), want);
            if off >= tone.off {
                break;
            }
            tone = Tone { off, ..better };
        }
        Some(tone)
    }

    /// The sRGB of a pixel's light, 0 to 1, not yet encoded in bytes; clipped.
    pub fn encoded(&self, light: [f64; 3]) -> [f64; 3] {
        let seen = lab(times(&self.matrix, light));
        let base = self.face.l.clamp(1.0, 99.0);
        let over = seen.l > base;
        let share = if over { (100.0 - seen.l) / (100.0 - base) } else { seen.l / base };
        let share = share.clamp(0.0, 1.0);
        let l = if over { 100.0 - share * (100.0 - self.aim.l) } else { share * self.aim.l };
        let l = if seen.l > 100.0 { 100.0 } else { l };
        let a = seen.a + share * (self.aim.a - self.face.a);
        let b = seen.b + share * (self.aim.b - self.face.b);
        srgb(Lab50::new(l, a, b))
    }

    /// The same in bytes.
    pub fn bytes(&self, light: [f64; 3]) -> [u8; 3] {
        self.encoded(light).map(|v| (v * 255.0).round().clamp(0.0, 255.0) as u8)
    }
}

/// sRGB of CIELAB, clipped.
fn srgb(at: Lab50) -> [f64; 3] {
    let fy = (at.l + 16.0) / 116.0;
    let back = |f: f64| if f > 6.0 / 29.0 { f * f * f } else { (f - 16.0 / 116.0) * 108.0 / 841.0 };
    let xyz = [
        WHITE[0] * back(fy + at.a / 500.0),
        WHITE[1] * back(fy),
        WHITE[2] * back(fy - at.b / 200.0),
    ];
    times(&TO_SRGB, xyz).map(|v| {
        let v = v.clamp(0.0, 1.0);
        if v <= 0.0031308 { 12.92 * v } else { 1.055 * v.powf(1.0 / 2.4) - 0.055 }
    })
}

/// CIELAB of sRGB as it is written in bytes.
fn decoded(v: [f64; 3]) -> Lab50 {
    let bytes = v.map(|v| (v * 255.0).round() / 255.0);
    lab(times(&FROM_SRGB, bytes.map(crate::capture::picture::srgb_to_linear)))
}

fn middle(labs: &[Lab50]) -> Lab50 {
    let of = |f: fn(&Lab50) -> f64| median(&mut labs.iter().map(f).collect::<Vec<_>>());
    Lab50::new(of(|v| v.l), of(|v| v.a), of(|v| v.b))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_face_becomes_its_colour_and_shine_stays_white() {
        let rng = &mut fastrand::Rng::with_seed(4);
        for value in [[52.0, 55.0, 30.0], [20.0, 2.0, -14.0], [88.0, -6.0, 50.0]] {
            let mut face = Vec::new();
            let srgb = srgb(Lab50::new(value[0] + 4.0, value[1] * 0.8, value[2] + 3.0));
            let base = srgb.map(crate::capture::picture::srgb_to_linear);
            for i in 0..2000 {
                let shade = 0.9 + 0.2 * rng.f64();
                let shine = if i % 10 == 0 { 0.4 } else { 0.0 };
                face.push(base.map(|v| v * shade + shine));
            }
            let tone = Tone::of(&face, &FROM_SRGB, value).unwrap();
            assert!(tone.off < 0.3, "{value:?} {}", tone.off);
            let white = tone.encoded([1.4; 3]);
            assert!(white.iter().all(|v| *v > 0.97), "{white:?}");
        }
        assert!(Tone::of(&[], &FROM_SRGB, [50.0, 0.0, 0.0]).is_none());
        assert!(Tone::of(&[[f64::NAN; 3]; 9], &FROM_SRGB, [50.0, 0.0, 0.0]).is_some());
    }
}
