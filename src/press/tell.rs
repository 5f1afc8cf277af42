//! Reports as tables, with the names of a range.

use std::fmt::Write as _;

use serde_json::{Value, json};

use super::corrected::Errors;
use super::paper::{ColourMode, Paper};
use super::print::Print;
use super::report::{ColourLine, PairLine, Report, Totals};
use super::values::value;
use crate::colour::Lab50;
use crate::colour::lookalike::words;
use crate::correction::Form;
use crate::graphic::Rgb;
use crate::range::{ColourId, ColourRange, ListingId};
use crate::table::{Align, Table};

/// How a paper is printed on: a line of the table of totals.
pub struct Case<'a> {
    pub paper_name: &'a str,
    /// 'plain' or 'tuned'.
    pub how: &'a str,
    pub paper: &'a Paper,
    pub print: &'a Print,
    pub report: &'a Report,
}

/// Names for a report: a range in one listing.
#[derive(Clone, Copy)]
pub struct Names<'a> {
    pub range: &'a ColourRange,
    pub listing: ListingId,
}

impl Names<'_> {
    /// Number and name in the listing; what there is of them, else the key.
    pub fn colour(&self, id: ColourId) -> String {
        let colour = self.range.colour(id);
        let name = colour.names()[self.listing.0].as_ref().map_or("", |w| &w.text);
        let name = if name.is_empty() { colour.any_name() } else { name };
        match &colour.numbers()[self.listing.0].value {
            Some(number) => format!("{number} {name}"),
            None => name.to_owned(),
        }
    }
}

/// One paper a line: which keeps colours apart best.
pub fn totals(cases: &[Case<'_>]) -> Table {
    let mut table = Table::new(&[
        ("paper", Align::Left),
        ("values", Align::Left),
        ("colours", Align::Right),
        ("in gamut", Align::Right),
        ("mean dE", Align::Right),
        ("max dE", Align::Right),
        ("pairs", Align::Right),
        ("together", Align::Right),
        ("lightness swapped", Align::Right),
        ("hue swapped", Align::Right),
        ("strength swapped", Align::Right),
        ("hues turned", Align::Right),
    ]);
    for case in cases {
        let t: &Totals = &case.report.totals;
        table.row([
            case.paper_name.to_owned(),
            case.how.to_owned(),
            t.colours.to_string(),
            t.in_gamut.to_string(),
            format!("{:.2}", t.mean),
            format!("{:.2}", t.most),
            t.pairs.to_string(),
            t.together.to_string(),
            t.lightness_swapped.to_string(),
            t.hue_swapped.to_string(),
            t.strength_swapped.to_string(),
            t.turned.to_string(),
        ]);
    }
    table
}

/// Every colour of a paper, the worst first.
pub fn colours(case: &Case<'_>, names: Names<'_>, most: usize) -> Table {
    let mut table = Table::new(&[
        ("paper", Align::Left),
        ("values", Align::Left),
        ("key", Align::Left),
        ("colour", Align::Left),
        ("target L a b", Align::Right),
        ("printed L a b", Align::Right),
        ("measured L a b", Align::Right),
        ("dE", Align::Right),
        ("nearest dE", Align::Right),
        ("in gamut", Align::Left),
        ("value", Align::Left),
    ]);
    for line in case.report.colours.iter().take(most) {
        let id = case.print.colours[line.colour];
        table.row([
            case.paper_name.to_owned(),
            case.how.to_owned(),
            names.range.colour(id).key().clone(),
            names.colour(id),
            lab(line.aim),
            lab(line.shown),
            lab(line.measured),
            format!("{:.2}", line.off),
            format!("{:.2}", line.least),
            in_gamut(line),
            written(line, case.paper.colour_mode()),
        ]);
    }
    table
}

/// Every pair of look-alikes of a paper, the worst first.
pub fn pairs(case: &Case<'_>, names: Names<'_>, most: usize) -> Table {
    let mut table = Table::new(&[
        ("paper", Align::Left),
        ("values", Align::Left),
        ("first", Align::Left),
        ("second", Align::Left),
        ("second is", Align::Left),
        ("printed", Align::Left),
        ("dE target", Align::Right),
        ("dE printed", Align::Right),
        ("verdict", Align::Left),
    ]);
    for line in case.report.pairs.iter().take(most) {
        let (first, second) = (case.print.colours[line.first], case.print.colours[line.second]);
        table.row([
            case.paper_name.to_owned(),
            case.how.to_owned(),
            names.colour(first),
            names.colour(second),
            second_is(&case.print.aims, line),
            second_is(&case.print.shown, line),
            format!("{:.2}", line.aimed),
            format!("{:.2}", line.shown),
            verdict(line),
        ]);
    }
    table
}

/// How the second of a pair differs, as aimed at or as shown: 'lighter, redder'.
fn second_is(colours: &[Lab50], line: &PairLine) -> String {
    let words = words(colours[line.first], colours[line.second]);
    words.into_iter().map(|w| w.text()).collect::<Vec<_>>().join(", ")
}

/// What is wrong with a pair as printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// Apart as aimed, not as printed.
    Together,
    /// Too close already as aimed.
    Close,
    Lightness,
    Hue,
    Strength,
}

impl Fault {
    fn word(self) -> &'static str {
        match self {
            Fault::Together => "falls together",
            Fault::Close => "already too close",
            Fault::Lightness => "lightness swapped",
            Fault::Hue => "hue swapped",
            Fault::Strength => "strength swapped",
        }
    }
}

/// Everything that is wrong with a pair.
pub fn faults(line: &PairLine) -> Vec<Fault> {
    let fallen = line.fallen();
    let all = [
        (Fault::Together, fallen),
        (Fault::Close, !fallen && line.shown < super::tune::APART),
        (Fault::Lightness, line.lightness_swapped),
        (Fault::Hue, line.hue_swapped),
        (Fault::Strength, line.strength_swapped),
    ];
    all.into_iter().filter(|(_, is)| *is).map(|(fault, _)| fault).collect()
}

/// What became of a pair, in words.
pub fn verdict(line: &PairLine) -> String {
    let words: Vec<&str> = faults(line).into_iter().map(Fault::word).collect();
    if words.is_empty() { "apart".to_owned() } else { words.join(", ") }
}

fn in_gamut(line: &ColourLine) -> String {
    if line.in_gamut() { "yes".to_owned() } else { format!("no, by {:.1}", line.least) }
}

fn written(line: &ColourLine, colour_mode: ColourMode) -> String {
    match colour_mode {
        ColourMode::Srgb => Rgb(line.value[0], line.value[1], line.value[2]).hex(),
        ColourMode::Cmyk => value(line.value, colour_mode),
    }
}

fn lab(lab: Lab50) -> String {
    format!("{:.1} {:.1} {:.1}", lab.l, lab.a + 0.0, lab.b + 0.0)
}

/// Everything about some papers, for machines.
pub fn json(cases: &[Case<'_>], names: Names<'_>) -> Value {
    let one = |case: &Case<'_>| {
        let t = &case.report.totals;
        let lab = |l: Lab50| json!([round(l.l), round(l.a), round(l.b)]);
        let key = |i: usize| names.range.colour(case.print.colours[i]).key().clone();
        let colours: Vec<Value> = case
            .report
            .colours
            .iter()
            .map(|c| {
                json!({
                    "key": key(c.colour), "aim": lab(c.aim), "printed": lab(c.shown),
                    "measured": lab(c.measured), "dE": round(c.off), "nearest_dE": round(c.least),
                    "in_gamut": c.in_gamut(), "value": written(c, case.paper.colour_mode()),
                })
            })
            .collect();
        let pairs: Vec<Value> = case
            .report
            .pairs
            .iter()
            .map(|p| {
                json!({
                    "first": key(p.first), "second": key(p.second),
                    "second_is": second_is(&case.print.aims, p),
                    "printed_as": second_is(&case.print.shown, p),
                    "dE_aimed": round(p.aimed), "dE_printed": round(p.shown), "apart": !p.fallen(),
                    "lightness_swapped": p.lightness_swapped, "hue_swapped": p.hue_swapped,
                    "strength_swapped": p.strength_swapped,
                })
            })
            .collect();
        json!({
            "paper": case.paper_name, "values": case.how,
            "profile": case.paper.description(), "colour_mode": case.paper.colour_mode().word(),
            "corrected": corrected(case.paper).map(|(readings, e)| json!({
                "readings": readings, "model_left_out": round(e.model), "left_out": round(e.learnt),
                "stated": round(e.stated),
            })),
            "totals": {
                "colours": t.colours, "in_gamut": t.in_gamut, "mean_dE": round(t.mean),
                "most_dE": round(t.most), "pairs": t.pairs, "too_close": t.too_close,
                "together": t.together, "lightness_swapped": t.lightness_swapped,
                "hue_swapped": t.hue_swapped, "strength_swapped": t.strength_swapped,
                "hues_turned": t.turned, "total_ink": round(t.ink),
            },
            "colours": colours, "pairs": pairs,
        })
    };
    Value::Array(cases.iter().map(one).collect())
}

fn round(v: f64) -> f64 {
    (v * 100.0).round() / 100.0 + 0.0
}

/// How many readings of prints correct a paper, and how far they are from what it says; none where they correct
/// nothing.
pub fn corrected(paper: &Paper) -> Option<(usize, Errors)> {
    let correction = paper.correction().filter(|c| c.form() != Form::None)?;
    Some((correction.offsets().len(), correction.errors()))
}

/// Which papers readings of prints correct, a line each.
pub fn corrections(cases: &[Case<'_>]) -> String {
    let mut out = String::new();
    for (i, case) in cases.iter().enumerate() {
        if cases[..i].iter().any(|before| before.paper_name == case.paper_name) {
            continue;
        }
        if let Some((readings, e)) = corrected(case.paper) {
            let _ = writeln!(
                out,
                "{}: corrected by {readings} readings of prints. Left out, a reading is off by {:.1}, by the model alone by {:.1}.",
                case.paper_name, e.learnt, e.model
            );
        }
    }
    out
}

/// What could not be saved, in a sentence or two; empty where all is well.
pub fn not_saved(report: &Report) -> String {
    let t = &report.totals;
    let mut out = Vec::new();
    let broken = report.pairs.iter().filter(|p| !p.kept()).count();
    if broken > 0 {
        let pairs = if broken == 1 { "1 pair".to_owned() } else { format!("{broken} pairs") };
        out.push(format!("{pairs} not kept apart and in order: no better values were found"));
    }
    if t.too_close > 0 {
        let pairs = if t.too_close == 1 {
            "1 pair is".to_owned()
        } else {
            format!("{} pairs are", t.too_close)
        };
        out.push(format!("{pairs} already under a difference of 2: no print can separate them"));
    }
    out.join("; ")
}
