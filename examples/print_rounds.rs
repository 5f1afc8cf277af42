//! Printing, reading and correcting, with printers that the program does not know: the table of
//! docs/print-look-correct-figures.md.
//!
//!     cargo run --release --example print_rounds [eye|photograph|instrument] [SEED] [NAME=PROFILE.icc]..
//!
//! Values are tuned with the built-in matte paper, printed on another printer and read: by instrument, by photograph, by
//! eye. What was read corrects the paper, and the values are tuned anew. Profiles are printers too.

#[path = "../tests/colour_sets/mod.rs"]
mod colour_sets;
#[path = "../tests/printers/mod.rs"]
mod printers;

use printers::{Printer, normal};
use shadecard::colour::{Lab50, difference};
use shadecard::correction::Form;
use shadecard::graphic::Rgb;
use shadecard::press::paper::Bytes;
use shadecard::press::{
    ColourMode, Paper, PaperModel, ReadBy, Readings, RenderingIntent, Round, tune,
};
use shadecard::target::Step;
use shadecard::work::Work;

const ROUNDS: usize = 3;
/// How far patches are from each other, in each round.
const STEPS: [f64; ROUNDS] = [6.0, 3.0, 3.0];
/// Kinds of reading with their noise, standard deviation of each axis of CIELAB: 0.3, 1 and 2 as a difference.
const KINDS: [(Kind, f64); 3] = [
    (Kind::Read(ReadBy::Instrument), 0.17),
    (Kind::Read(ReadBy::Photograph), 0.58),
    (Kind::Eye, 0.6),
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Read(ReadBy),
    Eye,
}

impl Kind {
    fn word(self) -> &'static str {
        match self {
            Kind::Read(by) => by.word(),
            Kind::Eye => "eye",
        }
    }
}

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
    (kind, sigma, step): (Kind, f64, f64),
    (aims, values): (&[Lab50], &[Bytes]),
    rng: &mut fastrand::Rng,
) -> Round {
    // From day to day.
    let drift = 0.5 * normal(rng);
    let mut out = Round::default();
    for (aim, value) in aims.iter().zip(values) {
        match kind {
            Kind::Eye => {
                let patches = around(paper, *value, step);
                out.seen.push(printer.seen(*aim, patches, (drift, sigma), rng));
            }
            Kind::Read(by) => {
                for _ in 0..2 {
                    out.readings.push(printer.read(*value, (by, sigma), (drift, rng)));
                }
            }
        }
    }
    out
}

/// The middle and its eight patches.
fn around(paper: &Paper, value: Bytes, size: f64) -> [Bytes; 9] {
    let mut out = [value; 9];
    let steps = out[1..].iter_mut().zip(Step::ALL);
    steps.for_each(|(patch, step)| *patch = step.value(paper, value, size));
    out
}

fn main() {
    let (mut kinds, mut seed, mut profiles) = (KINDS.to_vec(), 11, Vec::new());
    for word in std::env::args().skip(1) {
        if let Some((name, file)) = word.split_once('=') {
            let name: &'static str = Box::leak(name.to_owned().into_boxed_str());
            profiles.push((name, std::fs::read(file).expect("a profile")));
        } else if let Ok(number) = word.parse() {
            seed = number;
        } else {
            kinds.retain(|kind| kind.0.word() == word);
        }
    }
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
            for &kind in &kinds {
                let row = rounds(&printer, (kind, seed), (&aims, &rgbs), &mut stated);
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
    println!("\nLeft out, stated by found (RMS): {}", ratios(&kinds, &stated));
}

/// The figures after each round.
fn rounds(
    printer: &Printer,
    (kind, seed): ((Kind, f64), u64),
    (aims, rgbs): (&[Lab50], &[Rgb]),
    stated: &mut Vec<(Kind, Form, f64)>,
) -> Vec<String> {
    let work = Work::default();
    let mut paper = model();
    let mut readings = Readings::begun("matte", "", &paper);
    let mut rng = fastrand::Rng::with_seed(seed);
    let mut values = tune(&paper, aims, &colour_sets::plain(&paper, aims, rgbs), &work).values;
    let mut row = Vec::new();
    for step in STEPS.into_iter().map(Some).chain([None]) {
        let f = figures(aims, &values, &paper, printer);
        let [lost, light, hue, strength] = f.lost;
        row.push(format!("{lost} / {light} / {hue} / {strength}; {:.2}; {:.2}", f.mean, f.model));
        let Some(step) = step else { break };
        let how = (kind.0, kind.1, step);
        readings.rounds.push(read(&paper, printer, how, (aims, &values), &mut rng));
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

fn ratios(kinds: &[(Kind, f64)], stated: &[(Kind, Form, f64)]) -> String {
    let of = |(kind, _): &(Kind, f64)| {
        let all: Vec<f64> = stated.iter().filter(|s| s.0 == *kind).map(|s| s.2).collect();
        let low = all.iter().copied().fold(f64::MAX, f64::min);
        let high = all.iter().copied().fold(0.0, f64::max);
        let process = stated.iter().filter(|s| s.0 == *kind && s.1 == Form::Process).count();
        format!(
            "{} {low:.2} to {high:.2} (Gaussian process in {process} of {})",
            kind.word(),
            all.len()
        )
    };
    kinds.iter().map(of).collect::<Vec<_>>().join("; ")
}
