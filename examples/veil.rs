//! Fits the veil of the matte model to a profile of uncoated paper.
//!
//!     cargo run --release --example veil -- UNCOATED.icc
//!
//! Prints the mean CIEDE2000 between what the base shows under a veil and
//! what the profile shows, over a grid of CMYK values, both relative to their
//! own white.

use palette::white_point::{D50, WhitePoint};
use palette::{IntoColor, Xyz};
use shadecard::colour::{Lab50, difference};
use shadecard::press::{ColourMode, Paper, PaperModel, RenderingIntent};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let file = std::env::args().nth(1).ok_or("a profile is needed")?;
    let bytes = std::fs::read(file)?;
    let fail = |e| format!("{e:?}");
    let real =
        Paper::profile(&bytes, Some(ColourMode::Cmyk), RenderingIntent::Relative).map_err(fail)?;
    let base = Paper::model(PaperModel::Coated, ColourMode::Cmyk, RenderingIntent::Relative)
        .map_err(fail)?;
    let steps = [0u8, 64, 128, 191, 255];
    let mut pairs = Vec::new();
    for c in steps {
        for m in steps {
            for y in steps {
                for k in steps {
                    let value = [c, m, y, k];
                    if shadecard::press::paper::ink(value) <= 300.0 {
                        pairs.push((base.shows(value), real.shows(value)));
                    }
                }
            }
        }
    }
    for n in 0..=24 {
        let veil = f64::from(n) * 0.005;
        let all: Vec<f64> = pairs.iter().map(|(b, r)| difference(veiled(*b, veil), *r)).collect();
        println!("veil {veil:.3}: mean {:.2}", all.iter().sum::<f64>() / all.len() as f64);
    }
    Ok(())
}

fn veiled(lab: Lab50, veil: f64) -> Lab50 {
    let white = <D50 as WhitePoint<f64>>::get_xyz();
    let xyz: Xyz<D50, f64> = lab.into_color();
    let rest = 1.0 - veil;
    Xyz::<D50, f64>::new(
        veil * white.x + rest * xyz.x,
        veil * white.y + rest * xyz.y,
        veil * white.z + rest * xyz.z,
    )
    .into_color()
}
