//! What tuned values keep on papers: published sets of colours on every paper named, as ink and as
//! sRGB, beside plain values; the tables of docs/paper-figures.md.
//!
//!     cargo run --release --example paper_trials PROFILE.icc.. >table.md
//!
//! With `--pictures DIR` pictures of the survey and of the demo instead, on matte and on the profiles named before it:
//! aimed, plain, tuned.

#[path = "../tests/colour_sets/mod.rs"]
mod colour_sets;

use std::time::Instant;

use shadecard::colour::{Lab50, to_rgb};
use shadecard::graphic::Rgb;
use shadecard::press::report::TURNED;
use shadecard::press::tune::turn;
use shadecard::press::{ColourMode, Paper, PaperModel, RenderingIntent, tune};
use shadecard::work::Work;
use tiny_skia as sk;

/// What is counted of a set as printed.
struct Figures {
    /// Pairs, and orders of lightness, hue and strength.
    lost: [usize; 4],
    turned: usize,
    mean: f64,
    most: f64,
}

fn figures(aims: &[Lab50], shown: &[Lab50]) -> Figures {
    Figures {
        lost: colour_sets::lost(aims, shown),
        turned: aims.iter().zip(shown).filter(|(a, s)| turn(**a, **s) > TURNED).count(),
        mean: colour_sets::mean_off(aims, shown),
        most: colour_sets::off(aims, shown).into_iter().fold(0.0, f64::max),
    }
}

fn row(f: &Figures) -> String {
    let [pairs, light, hue, strength] = f.lost;
    format!("{pairs} / {light} / {hue} / {strength} | {} | {:.2}, {:.1}", f.turned, f.mean, f.most)
}

/// A paper, its name, and how a file for it is made.
struct Way {
    name: String,
    paper: Paper,
}

fn ways(profiles: &[String]) -> Vec<Way> {
    let ways = [
        ("ink", ColourMode::Cmyk, RenderingIntent::Relative),
        ("sRGB, relative", ColourMode::Srgb, RenderingIntent::Relative),
        ("sRGB, perceptual", ColourMode::Srgb, RenderingIntent::Perceptual),
    ];
    let mut out = Vec::new();
    for model in PaperModel::ALL {
        for (way, colour_mode, intent) in ways {
            if let Ok(paper) = Paper::model(model, colour_mode, intent) {
                out.push(Way { name: format!("{}, {way}", model.name()), paper });
            }
        }
    }
    for file in profiles {
        let Ok(bytes) = std::fs::read(file) else { panic!("{file} cannot be read") };
        let name = std::path::Path::new(file).file_stem().unwrap_or_default().to_string_lossy();
        for (way, colour_mode, intent) in ways {
            match Paper::profile(&bytes, Some(colour_mode), intent) {
                Ok(paper) => out.push(Way { name: format!("{name}, {way}"), paper }),
                Err(why) => eprintln!("{name}, {way}: {why:?}"),
            }
        }
    }
    out
}

fn main() {
    let mut args: Vec<String> = std::env::args().skip(1).collect();
    if let Some(at) = args.iter().position(|a| a == "--pictures") {
        let folder = args.drain(at..).nth(1).unwrap_or_else(|| "out".into());
        let usual = |w: &Way| w.name.ends_with("sRGB, relative");
        let built_in = |w: &Way| w.name.starts_with("coated") || w.name.starts_with("semi-gloss");
        for way in ways(&args).into_iter().filter(|w| usual(w) && !built_in(w)) {
            for (name, colours) in
                [("survey", colour_sets::survey()), ("demo", colour_sets::demo())]
            {
                picture(&format!("{folder}/{name} on {}.png", way.name), &way.paper, &colours);
            }
        }
        return;
    }
    let sets: [(&str, Vec<Rgb>); 5] = [
        ("demo", colour_sets::demo()),
        ("80 greys and pastels", colour_sets::greys()),
        ("60 saturated darks", colour_sets::darks()),
        ("200 of the survey", colour_sets::survey_200()),
        ("949 of the survey", colour_sets::survey()),
    ];
    let ways = ways(&args);
    for (name, colours) in sets {
        println!("\n### {name}\n");
        println!(
            "| paper, file | plain: lost / light / hue / strength | turned | mean, most dE00 | tuned | turned | mean, most dE00 | s |"
        );
        println!("|---|---|---|---|---|---|---|---|");
        let aims = colour_sets::aims(&colours);
        for way in &ways {
            let plain = colour_sets::plain(&way.paper, &aims, &colours);
            let shown: Vec<Lab50> = plain.iter().map(|v| way.paper.shows(*v)).collect();
            let start = Instant::now();
            let tuned = tune(&way.paper, &aims, &plain, &Work::default());
            let took = start.elapsed().as_secs_f64();
            let (before, after) = (figures(&aims, &shown), figures(&aims, &tuned.shown));
            println!("| {} | {} | {} | {took:.1} |", way.name, row(&before), row(&after));
        }
    }
}

/// Every colour in three stripes: as aimed, as plain values print it on a paper, and as tuned ones do.
fn picture(file: &str, paper: &Paper, colours: &[Rgb]) {
    const ACROSS: usize = 32;
    const CELL: (f32, f32) = (40.0, 36.0);
    let aims = colour_sets::aims(colours);
    let plain = colour_sets::plain(paper, &aims, colours);
    let tuned = tune(paper, &aims, &plain, &Work::default());
    let rows = colours.len().div_ceil(ACROSS);
    let size = (ACROSS as f32 * CELL.0, rows as f32 * CELL.1);
    let mut map = sk::Pixmap::new(size.0 as u32, size.1 as u32).expect("a size");
    map.fill(sk::Color::WHITE);
    for (i, aim) in aims.iter().enumerate() {
        let (x, y) = ((i % ACROSS) as f32 * CELL.0, (i / ACROSS) as f32 * CELL.1);
        let stripes = [*aim, paper.shows(plain[i]), tuned.shown[i]];
        for (n, shown) in stripes.into_iter().enumerate() {
            let Rgb(r, g, b) = to_rgb(shown).0;
            let mut paint = sk::Paint::default();
            paint.set_color_rgba8(r, g, b, 255);
            let high = (CELL.1 - 4.0) / 3.0;
            let stripe = sk::Rect::from_xywh(x, y + n as f32 * high, CELL.0 - 4.0, high);
            let stripe = stripe.expect("a stripe");
            map.fill_rect(stripe, &paint, sk::Transform::identity(), None);
        }
    }
    map.save_png(file).expect("written");
}
