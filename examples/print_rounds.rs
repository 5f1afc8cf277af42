//! Printing, reading and correcting, with printers that the program does not know: the table of
//! docs/print-look-correct-figures.md.
//!
//!     cargo run --release --example print_rounds PROFILE.icc.. >table.md
//!
//! Values are tuned with the built-in matte paper, printed on another printer and read: by instrument, by photograph, by
//! eye. What was read corrects the paper, and the values are tuned anew.

#[path = "../tests/colour_sets/mod.rs"]
mod colour_sets;
#[path = "../tests/printers/mod.rs"]
mod printers;

use printers::{Printer, normal};
use shadecard::colour::{Lab50, difference};
use shadecard::correction::Form;
use shadecard::graphic::Rgb;
use shadecard::learn::out_of_reach;
use shadecard::press::paper::Bytes;
use shadecard::press::{
    ColourMode, Paper, PaperModel, PrintReading, ReadBy, Readings, RenderingIntent, Round, tune,
};
use shadecard::target::Step;
use shadecard::work::Work;

const ROUNDS: usize = 3;
/// How far patches are from each other, in each round.
const STEPS: [f64; ROUNDS] = [6.0, 3.0, 3.0];
/// A part is like no patch that is farther from it (CIEDE2000).
const UNLIKE: f64 = 4.0;
/// Kinds of reading with their noise, standard deviation of each axis of CIELAB: 0.3, 1 and 2 as a difference.
const KINDS: [(ReadBy, f64); 3] =
    [(ReadBy::Instrument, 0.17), (ReadBy::Photograph, 0.58), (ReadBy::Eye, 0.6)];

fn model() -> Paper {
    Paper::model(PaperModel::Matte, ColourMode::Srgb, RenderingIntent::Relative).expect("a paper")
}

/// What is true of values on a printer: pairs lost, orders swapped, mean difference from the aims, and how far the
/// paper is off what it says of them.
struct Figures {
    lost: [usize; 4],
    mean: f64,
    model: f64,
}

fn figures(aims: &[Lab50], values: &[Bytes], paper: &Paper, printer: &Printer) -> Figures {
    let shown: Vec<Lab50> = values.iter().map(|v| printer.shows(*v, 0.0, 0.0)).collect();
    let said = values.iter().zip(&shown).map(|(v, s)| difference(paper.shows(*v), *s));
    Figures {
        lost: colour_sets::lost(aims, &shown),
        mean: colour_sets::mean_off(aims, &shown),
        model: said.sum::<f64>() / values.len() as f64,
    }
}

/// One round of readings of values.
fn read(
    paper: &Paper,
    printer: &Printer,
    (by, sigma, step): (ReadBy, f64, f64),
    (aims, values): (&[Lab50], &[Bytes]),
    rng: &mut fastrand::Rng,
) -> Vec<PrintReading> {
    // From day to day.
    let drift = 0.5 * normal(rng);
    let mut out = Vec::new();
    for (aim, value) in aims.iter().zip(values) {
        match by {
            ReadBy::Eye => {
                out.extend(look(paper, printer, (*aim, *value), (drift, sigma, step), rng))
            }
            _ => {
                for _ in 0..2 {
                    out.push(printer.read(*value, (by, sigma), (drift, rng)));
                }
            }
        }
    }
    out
}

/// Somebody lays a part in the middle of nine patches, and names the one that is most like it; what they see is off by
/// chance.
fn look(
    paper: &Paper,
    printer: &Printer,
    (aim, value): (Lab50, Bytes),
    (drift, sigma, size): (f64, f64, f64),
    rng: &mut fastrand::Rng,
) -> Option<PrintReading> {
    let mut patches = vec![value];
    patches.extend(Step::ALL.map(|step| step.value(paper, value, size)));
    let nearest = patches.iter().enumerate().map(|(i, patch)| {
        let seen = printer.shows(*patch, drift, 0.0);
        let seen = Lab50::new(
            seen.l + sigma * normal(rng),
            seen.a + sigma * normal(rng),
            seen.b + sigma * normal(rng),
        );
        (difference(aim, seen), i, *patch)
    });
    let (off, i, value) = nearest.min_by(|a, b| a.0.total_cmp(&b.0))?;
    if off > UNLIKE {
        return None;
    }
    let sigma = ReadBy::Eye.sigma().hypot(out_of_reach(paper, aim));
    let sigma = sigma * if i == 0 { 1.0 } else { 1.25 };
    Some(PrintReading { value, shown: aim, by: ReadBy::Eye, sigma })
}

fn main() {
    let profiles: Vec<(&'static str, Vec<u8>)> = std::env::args()
        .skip(1)
        .map(|file| {
            let stem = std::path::Path::new(&file).file_stem().unwrap_or_default();
            let name: &'static str =
                Box::leak(stem.to_string_lossy().into_owned().into_boxed_str());
            (name, std::fs::read(&file).expect("a profile"))
        })
        .collect();
    println!("| set | printer | read by | after 0 | after 1 | after 2 | after {ROUNDS} |");
    println!("|---|---|---|---|---|---|---|");
    let mut stated = Vec::new();
    let sets = [
        ("demo", colour_sets::demo()),
        ("survey", colour_sets::survey_200()),
        ("greys of the survey", colour_sets::greys()),
    ];
    for (set, rgbs) in sets {
        let aims = colour_sets::aims(&rgbs);
        for printer in Printer::all(&profiles) {
            for kind in KINDS {
                let row = rounds(&printer, kind, (&aims, &rgbs), &mut stated);
                println!(
                    "| {set}, {} | {} | {} | {} |",
                    aims.len(),
                    printer.name,
                    kind.0.word(),
                    row.join(" | ")
                );
            }
        }
    }
    println!("\nLeft out, stated by found (RMS): {}", ratios(&stated));
}

/// The figures after each round.
fn rounds(
    printer: &Printer,
    kind: (ReadBy, f64),
    (aims, rgbs): (&[Lab50], &[Rgb]),
    stated: &mut Vec<(ReadBy, Form, f64)>,
) -> Vec<String> {
    let work = Work::default();
    let mut paper = model();
    let mut readings = Readings::begun("matte", "", &paper);
    let mut rng = fastrand::Rng::with_seed(11);
    let mut values = tune(&paper, aims, &colour_sets::plain(&paper, aims, rgbs), &work).values;
    let mut row = Vec::new();
    for step in STEPS.into_iter().map(Some).chain([None]) {
        let f = figures(aims, &values, &paper, printer);
        let [lost, light, hue, strength] = f.lost;
        row.push(format!("{lost} / {light} / {hue} / {strength}; {:.2}; {:.2}", f.mean, f.model));
        let Some(step) = step else { break };
        let how = (kind.0, kind.1, step);
        let read = read(&paper, printer, how, (aims, &values), &mut rng);
        readings.rounds.push(Round { about: String::new(), readings: read });
        paper = readings.correct(model());
        if let Some(correction) = paper.correction() {
            let left = || correction.left_out();
            let off: f64 = left().map(|(off, _)| off.iter().map(|v| v * v).sum::<f64>()).sum();
            let said: f64 = left().map(|(_, sigma)| sigma * sigma).sum();
            stated.push((kind.0, correction.form(), (said / off.max(1e-9)).sqrt()));
        }
        values = tune(&paper, aims, &colour_sets::plain(&paper, aims, rgbs), &work).values;
    }
    row
}

fn ratios(stated: &[(ReadBy, Form, f64)]) -> String {
    let of = |by: ReadBy| {
        let all: Vec<f64> = stated.iter().filter(|s| s.0 == by).map(|s| s.2).collect();
        let low = all.iter().copied().fold(f64::MAX, f64::min);
        let high = all.iter().copied().fold(0.0, f64::max);
        let process = stated.iter().filter(|s| s.0 == by && s.1 == Form::Process).count();
        format!(
            "{} {low:.2} to {high:.2} (Gaussian process in {process} of {})",
            by.word(),
            all.len()
        )
    };
    KINDS.map(|(by, _)| of(by)).join("; ")
}
