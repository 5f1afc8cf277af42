//! What the numbers of a picture stand for: its embedded ICC profile, or sRGB.
//!
//! A profile of curves and a matrix is taken apart, so that light stays in the camera's own channels:
//! a camera's tone bends each of these by itself. One of tables is gone through to linear light.

use lcms2::{
    CIExyY, CIExyYTRIPLE, ColorSpaceSignature, Flags, Intent, PixelFormat, Profile, Tag,
    TagSignature, ToneCurve, Transform,
};

use super::decoded::Decoded;
use crate::capture::fault::Fault;
use crate::capture::picture::{Encoding, Samples, srgb_to_linear};

/// The largest profile that is read.
const MOST_BYTES: usize = 32 << 20;

/// sRGB to XYZ, adapted to D50 (ICC.1:2022, annex E; IEC 61966-2-1).
const SRGB: [[f64; 3]; 3] = [
    [0.436_065_7, 0.385_151_5, 0.143_078_4],
    [0.222_493_1, 0.716_887_0, 0.060_616_9],
    [0.013_923_9, 0.097_081_4, 0.714_093_9],
];

/// Adobe RGB (1998) to XYZ, adapted to D50.
const WIDE: [[f64; 3]; 3] = [
    [0.609_741_6, 0.205_276_5, 0.149_181_8],
    [0.311_113_0, 0.625_671_4, 0.063_215_6],
    [0.019_470_2, 0.060_867_2, 0.744_567_9],
];

/// The samples to go on with, and what they stand for.
pub(super) fn understand(decoded: Decoded) -> Result<(Samples, Encoding), Fault> {
    let samples = decoded.samples;
    let values = match &samples {
        Samples::Eight(_) => 256,
        Samples::Sixteen(_) => 65_536,
    };
    let Some(icc) = &decoded.icc else {
        let encoding = if decoded.wide {
            Encoding { curves: same(values, |v| v.powf(563.0 / 256.0)), matrix: WIDE }
        } else {
            Encoding { curves: same(values, srgb_to_linear), matrix: SRGB }
        };
        return Ok((samples, encoding));
    };
    let profile = open(icc)?;
    if profile.is_matrix_shaper() {
        let encoding = taken_apart(&profile, values).ok_or(UNREADABLE)?;
        return Ok((samples, encoding));
    }
    through(&profile, &samples)
}

const UNREADABLE: Fault = Fault::Profile("is damaged and cannot be read");

/// One curve for all channels.
fn same(values: usize, curve: impl Fn(f64) -> f64) -> [Vec<f32>; 3] {
    let top = (values - 1) as f64;
    let curve: Vec<f32> = (0..values).map(|v| curve(v as f64 / top) as f32).collect();
    [curve.clone(), curve.clone(), curve]
}

/// Looks a profile over before the engine sees it (ICC.1:2022, 7.2 and 7.3).
fn open(icc: &[u8]) -> Result<Profile, Fault> {
    let number =
        |at: usize| icc.get(at..at + 4).map(|b| u32::from_be_bytes([b[0], b[1], b[2], b[3]]));
    let says = number(0).map_or(usize::MAX, |n| n as usize);
    if icc.len() > MOST_BYTES || says > icc.len() || icc.get(36..40) != Some(b"acsp") {
        return Err(UNREADABLE);
    }
    if icc.get(16..20) != Some(b"RGB ") {
        return Err(Fault::Profile("is not one for RGB"));
    }
    let tags = number(128).unwrap_or(u32::MAX);
    if tags > 256 {
        return Err(UNREADABLE);
    }
    for i in 0..tags as usize {
        let (from, size) = (number(136 + 12 * i), number(140 + 12 * i));
        let end = from.and_then(|f| size.and_then(|s| f.checked_add(s)));
        if end.is_none_or(|end| end as usize > icc.len()) {
            return Err(UNREADABLE);
        }
    }
    let profile = Profile::new_icc(icc).map_err(|_| UNREADABLE)?;
    if profile.color_space() != ColorSpaceSignature::RgbData {
        return Err(Fault::Profile("is not one for RGB"));
    }
    Ok(profile)
}

/// The curves and the matrix of a profile that has these.
fn taken_apart(profile: &Profile, values: usize) -> Option<Encoding> {
    let curve = |tag| {
        let Tag::ToneCurve(curve) = profile.read_tag(tag) else { return None };
        let top = (values - 1) as f32;
        let curve: Vec<f32> = (0..values).map(|v| curve.eval(v as f32 / top)).collect();
        let rises = curve.first()? < curve.last()? && curve.iter().all(|v| v.is_finite());
        rises.then_some(curve)
    };
    let column = |tag| match profile.read_tag(tag) {
        Tag::CIEXYZ(c) => Some([c.X, c.Y, c.Z]).filter(|c| c.iter().all(|v| v.is_finite())),
        _ => None,
    };
    let curves = [
        curve(TagSignature::RedTRCTag)?,
        curve(TagSignature::GreenTRCTag)?,
        curve(TagSignature::BlueTRCTag)?,
    ];
    let r = column(TagSignature::RedColorantTag)?;
    let g = column(TagSignature::GreenColorantTag)?;
    let b = column(TagSignature::BlueColorantTag)?;
    Some(Encoding { curves, matrix: [0, 1, 2].map(|i| [r[i], g[i], b[i]]) })
}

/// Takes samples through a profile of tables, to linear light of wide primaries (ITU-R BT.2020).
fn through(profile: &Profile, samples: &Samples) -> Result<(Samples, Encoding), Fault> {
    let linear = linear_wide().ok_or(UNREADABLE)?;
    let count = match samples {
        Samples::Eight(data) => data.len(),
        Samples::Sixteen(data) => data.len(),
    } / 3;
    let mut out = vec![[0u16; 3]; count];
    let intent = Intent::RelativeColorimetric;
    match samples {
        Samples::Eight(data) => {
            let pixels: Vec<[u8; 3]> = data.chunks_exact(3).map(|p| [p[0], p[1], p[2]]).collect();
            let (from, to) = (PixelFormat::RGB_8, PixelFormat::RGB_16);
            Transform::new_flags(profile, from, &linear, to, intent, Flags::NO_OPTIMIZE)
                .map_err(|_| UNREADABLE)?
                .transform_pixels(&pixels, &mut out);
        }
        Samples::Sixteen(data) => {
            let pixels: Vec<[u16; 3]> = data.chunks_exact(3).map(|p| [p[0], p[1], p[2]]).collect();
            let (from, to) = (PixelFormat::RGB_16, PixelFormat::RGB_16);
            Transform::new_flags(profile, from, &linear, to, intent, Flags::NO_OPTIMIZE)
                .map_err(|_| UNREADABLE)?
                .transform_pixels(&pixels, &mut out);
        }
    }
    let mut encoding = taken_apart(&linear, 65_536).ok_or(UNREADABLE)?;
    encoding.curves = same(65_536, |v| v);
    Ok((Samples::Sixteen(out.into_iter().flatten().collect()), encoding))
}

/// Linear light with the primaries of ITU-R BT.2020, which hold those of cameras' usual spaces.
fn linear_wide() -> Option<Profile> {
    let white = CIExyY { x: 0.3127, y: 0.3290, Y: 1.0 };
    let primaries = CIExyYTRIPLE {
        Red: CIExyY { x: 0.708, y: 0.292, Y: 1.0 },
        Green: CIExyY { x: 0.170, y: 0.797, Y: 1.0 },
        Blue: CIExyY { x: 0.131, y: 0.046, Y: 1.0 },
    };
    let straight = ToneCurve::new(1.0);
    Profile::new_rgb(&white, &primaries, &[&straight, &straight, &straight]).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn decoded(icc: Option<Vec<u8>>) -> Decoded {
        let samples = Samples::Eight(vec![255, 255, 255, 120, 60, 200]);
        Decoded { size: (2, 1), samples, icc, orientation: 1, wide: false }
    }

    #[test]
    fn an_embedded_srgb_is_what_is_taken_without() {
        let plain = understand(decoded(None)).unwrap().1;
        let icc = Profile::new_srgb().icc().unwrap();
        let embedded = understand(decoded(Some(icc))).unwrap().1;
        for i in 0..3 {
            for v in 0..256 {
                assert!((plain.curves[i][v] - embedded.curves[i][v]).abs() < 1e-4);
            }
            for k in 0..3 {
                assert!((plain.matrix[i][k] - embedded.matrix[i][k]).abs() < 2e-4);
            }
        }
    }

    #[test]
    fn damaged_profiles_are_refused() {
        let icc = Profile::new_srgb().icc().unwrap();
        for cut in [0, 10, 127, 200, icc.len() - 1] {
            assert!(understand(decoded(Some(icc[..cut].to_vec()))).is_err(), "{cut}");
        }
    }
}
