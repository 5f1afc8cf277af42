//! An ICC profile: read as a paper, and asked what it shows.

use shadecard::colour::from_rgb;
use shadecard::graphic::Rgb;
use shadecard::press::icc::Icc;
use shadecard::press::{ColourMode, Paper, RenderingIntent};

pub fn entry(bytes: &[u8]) -> String {
    let icc = match Icc::read(bytes) {
        Ok(icc) => icc,
        Err(why) => {
            let told = why.to_string();
            assert!(!told.trim().is_empty(), "says nothing: {why:?}");
            return told;
        }
    };
    assert!(icc.bytes().len() <= bytes.len(), "longer than its file");
    let white = icc.white();
    assert!(white.iter().all(|v| (0.05..1.5).contains(v)), "no white: {white:?}");
    let mut out =
        format!("{:?} {white:?} {:?} {}", icc.space(), icc.description(), icc.total_ink());
    for colour_mode in [None, Some(ColourMode::Cmyk), Some(ColourMode::Srgb)] {
        for intent in [RenderingIntent::Relative, RenderingIntent::Perceptual] {
            match Paper::profile(bytes, colour_mode, intent) {
                Ok(paper) => out += &shown(&paper),
                Err(why) => out += &format!("{why:?}"),
            }
        }
    }
    out
}

fn shown(paper: &Paper) -> String {
    let mut out = String::new();
    for rgb in [Rgb(0, 0, 0), Rgb(255, 255, 255), Rgb(200, 30, 90), Rgb(40, 90, 10)] {
        let bytes = paper.plain(from_rgb(rgb), rgb);
        assert!(paper.ink(bytes) <= paper.ink_limit() + 0.5, "{bytes:?} has too much ink");
        let lab = paper.shows(bytes);
        let measured = paper.measured(lab);
        for lab in [lab, measured] {
            let fine = [lab.l, lab.a, lab.b].iter().all(|v| v.is_finite());
            assert!(fine, "{bytes:?} is shown as no colour: {lab:?}");
        }
        out += &format!(" {bytes:?} {:.3} {:.3} {:.3}", lab.l, lab.a, lab.b);
    }
    out
}
