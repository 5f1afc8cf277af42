//! Printing, reading, correcting: with printers that the program does not know, what is lost comes back.

use shadecard::colour::{Lab50, difference};
use shadecard::correction::Form;
use shadecard::press::{
    ColourMode, Paper, PaperModel, PrintReading, ReadBy, Readings, RenderingIntent, Round, tune,
};
use shadecard::work::Work;

use crate::colour_sets;
use crate::printers::Printer;

fn model() -> Paper {
    Paper::model(PaperModel::Matte, ColourMode::Srgb, RenderingIntent::Relative).expect("a paper")
}

/// Readings of the demo's values, each twice, and the paper that they correct; pairs lost and the paper's error before
/// and after.
fn one_round(printer: &Printer, kind: (ReadBy, f64)) -> (Paper, [usize; 2], [f64; 2]) {
    let rgbs = colour_sets::demo();
    let aims = colour_sets::aims(&rgbs);
    let work = Work::default();
    let error = |paper: &Paper, values: &[[u8; 4]]| {
        let off = values.iter().map(|v| difference(paper.shows(*v), printer.shows(*v, 0.0, 0.0)));
        off.sum::<f64>() / values.len() as f64
    };
    let shown = |values: &[[u8; 4]]| -> Vec<Lab50> {
        values.iter().map(|v| printer.shows(*v, 0.0, 0.0)).collect()
    };
    let before = model();
    let values = tune(&before, &aims, &colour_sets::plain(&before, &aims, &rgbs), &work).values;
    let mut rng = fastrand::Rng::with_seed(5);
    let twice = values.iter().chain(&values);
    let read: Vec<PrintReading> =
        twice.map(|value| printer.read(*value, kind, (0.0, &mut rng))).collect();
    let mut readings = Readings::begun("matte", "a printer", &before);
    readings.rounds.push(Round { about: String::new(), readings: read });
    let after = readings.correct(model());
    let anew = tune(&after, &aims, &colour_sets::plain(&after, &aims, &rgbs), &work).values;
    let lost = |values: &[[u8; 4]]| colour_sets::lost(&aims, &shown(values)).iter().sum();
    let errors = [error(&before, &values), error(&after, &values)];
    (after, [lost(&values), lost(&anew)], errors)
}

#[test]
fn a_round_by_instrument_teaches_the_printer() {
    for printer in Printer::all(&[]) {
        let (after, lost, [before, error]) = one_round(&printer, (ReadBy::Instrument, 0.17));
        println!("{}: lost {lost:?}, error {before:.2} -> {error:.2}", printer.name);
        assert!(before > 1.0, "{}: {before:.2}", printer.name);
        // Of a printer that was 4 off; of those that were 9 off in one round less is left than a twelfth.
        assert!(error < f64::max(0.4, before / 12.0), "{}: {error:.2}", printer.name);
        assert!(lost[1] <= lost[0], "{}: {lost:?}", printer.name);
        assert_ne!(after.fingerprint(), model().fingerprint());
        // What is stated is what is found.
        let correction = after.correction().expect("a correction");
        assert!(correction.form() > Form::Shift);
        let left = || correction.left_out();
        let found: f64 = left().map(|(off, _)| off.iter().map(|v| v * v).sum::<f64>()).sum();
        let stated: f64 = left().map(|(_, sigma)| sigma * sigma).sum();
        let ratio = (stated / found).sqrt();
        assert!((0.8..1.25).contains(&ratio), "{}: stated by found {ratio:.2}", printer.name);
    }
}

#[test]
fn noisy_readings_lean_on_each_other() {
    for printer in Printer::all(&[]).iter().take(2) {
        let (_, _, [before, error]) = one_round(printer, (ReadBy::Photograph, 1.0));
        println!("{}: error {before:.2} -> {error:.2}", printer.name);
        // Of a reading alone a difference of about 1.2 would be left.
        assert!(error < 0.7, "{}: {error:.2}", printer.name);
    }
}

#[test]
fn the_file_of_readings_keeps_them() {
    let printer = &Printer::all(&[])[2];
    let mut rng = fastrand::Rng::with_seed(9);
    let paper = model();
    let mut readings = Readings::begun("matte", "Desk printer", &paper);
    for about in ["March", "April"] {
        let values = (0..30u8).map(|i| [i * 8, 255 - i * 5, i.wrapping_mul(37), 0]);
        let read = values.map(|v| printer.read(v, (ReadBy::Eye, 1.0), (0.0, &mut rng))).collect();
        readings.rounds.push(Round { about: about.to_owned(), readings: read });
    }
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("matte.read.ron");
    std::fs::write(&file, readings.text()).expect("written");
    let mut sources = shadecard::diag::Sources::default();
    let read = shadecard::press::readings::read(&file, &paper, &mut sources).expect("readings");
    assert_eq!(read.text(), readings.text());
    assert_eq!(read.printer, "Desk printer");
    // Of another paper they are refused, and so is what is no reading.
    let other = Paper::model(PaperModel::Coated, ColourMode::Srgb, RenderingIntent::Relative);
    assert!(
        shadecard::press::readings::read(&file, &other.expect("a paper"), &mut sources).is_err()
    );
    for (from, to) in
        [("shown: (", "shown: (900"), ("by: eye", "by: ear"), ("sigma: ", "sigma: 90")]
    {
        std::fs::write(&file, readings.text().replacen(from, to, 1)).expect("written");
        assert!(shadecard::press::readings::read(&file, &paper, &mut sources).is_err(), "{to}");
    }
}
