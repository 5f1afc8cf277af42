//! The file of what was read on prints: all rounds for one paper and printer. Written by `learn`, used by whatever
//! opens the paper.

use std::fmt::Write as _;
use std::path::Path;

use serde::Deserialize;

use super::corrected::{Correction, ReadValue};
use super::paper::{Bytes, ColourMode, Paper};
use super::values::{Value, value, value_bytes};
use crate::colour::Lab50;
use crate::diag::{Diagnostic, Findings, Sources, Span};
use crate::read::read_text;
use crate::read::ron::{Place, Source, Spanned, decode};

/// Rounds and readings of a file at most.
const MOST_ROUNDS: usize = 100;
const MOST_READINGS: usize = 20_000;

/// How a value was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ReadBy {
    /// Somebody named the patch that is most like the part.
    Eye,
    /// Part and print in one photograph.
    Photograph,
    /// A measuring instrument.
    Instrument,
}

impl ReadBy {
    /// As files and tables write it.
    pub fn word(self) -> &'static str {
        match self {
            ReadBy::Eye => "eye",
            ReadBy::Photograph => "photograph",
            ReadBy::Instrument => "instrument",
        }
    }

    /// How exact it usually is: standard deviation of each axis of CIELAB. What the readings themselves show of their
    /// noise corrects it. By eye: patches are about 3 apart; by photograph: what a camera's model leaves of a
    /// difference; by instrument: patches of one value on a desk print.
    pub fn sigma(self) -> f64 {
        match self {
            ReadBy::Eye => 1.2,
            ReadBy::Photograph => 0.8,
            ReadBy::Instrument => 0.3,
        }
    }
}

/// What was read of one patch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PrintReading {
    pub value: Bytes,
    /// CIELAB D50, relative to the paper's white.
    pub shown: Lab50,
    pub by: ReadBy,
    /// Standard deviation of each axis of CIELAB.
    pub sigma: f64,
}

/// One print that was read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Round {
    /// In the words of whoever read it: a date, a batch of paper.
    pub about: String,
    pub readings: Vec<PrintReading>,
}

/// All rounds for a paper and a printer.
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    pub paper: String,
    /// The print house or the printer, in the user's words.
    pub printer: String,
    /// [`Paper::model_fingerprint`] of the paper that values were read on.
    pub profile: String,
    pub colour_mode: ColourMode,
    pub rounds: Vec<Round>,
}

impl Readings {
    /// None yet.
    pub fn begun(name: &str, printer: &str, paper: &Paper) -> Readings {
        Readings {
            paper: name.to_owned(),
            printer: printer.to_owned(),
            profile: paper.model_fingerprint(),
            colour_mode: paper.colour_mode(),
            rounds: Vec::new(),
        }
    }

    /// Every reading.
    pub fn all(&self) -> impl Iterator<Item = &PrintReading> {
        self.rounds.iter().flat_map(|round| &round.readings)
    }

    /// A paper with what these readings add to its model.
    pub fn correct(&self, paper: Paper) -> Paper {
        let one = |r: &PrintReading| ReadValue {
            value: r.value,
            shown: r.shown,
            sigma: r.sigma,
            kind: r.by as u8,
            coarse: r.by == ReadBy::Eye,
        };
        let all: Vec<ReadValue> = self.all().map(one).collect();
        let model = |value| paper.model_shows(value);
        let correction = Correction::learnt(&all, paper.channels(), &model);
        paper.with_correction(correction, self.text())
    }

    /// The file's text.
    pub fn text(&self) -> String {
        let Readings { paper, printer, profile, colour_mode, .. } = self;
        let mut out = String::new();
        let _ = writeln!(
            out,
            "// What was read on prints on the paper '{paper}'; written by 'shadecard learn'."
        );
        out += "// 'tune', 'proof' and 'make' use it with the paper. To take a round out: learn --remove-round N.\n";
        let _ = writeln!(out, "Readings(\n    paper: {paper:?},\n    printer: {printer:?},");
        let _ =
            writeln!(out, "    profile: {profile:?},\n    colour_mode: {},", colour_mode.word());
        out += "    rounds: [\n";
        for (i, round) in self.rounds.iter().enumerate() {
            let _ = writeln!(out, "        // Round {}", i + 1);
            let _ = writeln!(out, "        (about: {:?}, readings: [", round.about);
            for r in &round.readings {
                let Lab50 { l, a, b, .. } = r.shown;
                let _ = writeln!(
                    out,
                    "            (value: {}, shown: ({l:.2}, {:.2}, {:.2}), by: {}, sigma: {:.2}),",
                    value(r.value, *colour_mode),
                    a + 0.0,
                    b + 0.0,
                    r.by.word(),
                    r.sigma
                );
            }
            out += "        ]),\n";
        }
        out + "    ],\n)\n"
    }
}

/// As written.
#[derive(Debug, Default, Deserialize)]
#[serde(rename = "Readings")]
struct RawReadings {
    paper: Option<String>,
    printer: Option<String>,
    profile: Option<Spanned<String>>,
    colour_mode: Option<Spanned<ColourMode>>,
    rounds: Option<Vec<RawRound>>,
}

#[derive(Debug, Default, Deserialize)]
struct RawRound {
    about: Option<String>,
    readings: Option<Vec<RawReading>>,
}

#[derive(Debug, Default, Deserialize)]
struct RawReading {
    value: Option<Value>,
    shown: Option<Spanned<[f64; 3]>>,
    by: Option<ReadBy>,
    sigma: Option<Spanned<f64>>,
}

/// Reads the file of a paper.
///
/// # Errors
/// Everything that is wrong with it; that it is of another paper.
pub fn read(file: &Path, paper: &Paper, sources: &mut Sources) -> Result<Readings, Findings> {
    let text = read_text(file, None, &sources.session)?;
    sources.add(file, text.clone());
    let mut findings = Findings::default();
    let Some(doc) = decode::<RawReadings>(file, &text, "Readings", &mut findings) else {
        return Err(findings);
    };
    let (raw, root) = (doc.value, doc.source.root());
    whose(&raw, &doc.source, paper, &mut findings);
    if findings.failed() {
        return Err(findings);
    }
    let raw_rounds = raw.rounds.unwrap_or_default();
    let count: usize = raw_rounds.iter().filter_map(|r| r.readings.as_ref()).map(Vec::len).sum();
    if raw_rounds.len() > MOST_ROUNDS || count > MOST_READINGS {
        let message = format!(
            "{} rounds with {count} readings are too many: at most {MOST_ROUNDS} and {MOST_READINGS} are used",
            raw_rounds.len()
        );
        let help = "take old rounds out with 'shadecard learn --remove-round 1'";
        findings.push(Diagnostic::error("too-many-readings", message).at(whole(file)).help(help));
        return Err(findings);
    }
    let rounds = raw_rounds.into_iter().enumerate().map(|(i, raw)| {
        let at = root.field("rounds").item(i).field("readings");
        let each = raw.readings.unwrap_or_default().into_iter().enumerate();
        let readings =
            each.filter_map(|(k, raw)| one(raw, (&doc.source, at.item(k)), paper, &mut findings));
        Round { readings: readings.collect(), about: raw.about.unwrap_or_default() }
    });
    let rounds = rounds.collect();
    if findings.failed() {
        return Err(findings);
    }
    Ok(Readings {
        paper: raw.paper.unwrap_or_default(),
        printer: raw.printer.unwrap_or_default(),
        profile: paper.model_fingerprint(),
        colour_mode: paper.colour_mode(),
        rounds,
    })
}

fn whole(file: &Path) -> Option<Span> {
    Some(Span { file: file.into(), range: 0..0 })
}

/// Is the file of this paper?
fn whose(raw: &RawReadings, source: &Source, paper: &Paper, findings: &mut Findings) {
    let help =
        "read a print of this paper with 'shadecard learn --start-again', or rename this file";
    if let Some(profile) = raw.profile.as_ref().filter(|p| p.value != paper.model_fingerprint()) {
        let message = "these readings are of another paper, or of one with another profile";
        findings
            .push(Diagnostic::error("other-readings", message).at(source.of(profile)).help(help));
    }
    if let Some(mode) = raw.colour_mode.as_ref().filter(|m| m.value != paper.colour_mode()) {
        let message = format!(
            "these readings are of {} values, but the paper needs {}",
            mode.value.word(),
            paper.colour_mode().word()
        );
        findings.push(Diagnostic::error("other-readings", message).at(source.of(mode)).help(help));
    }
}

fn one(
    raw: RawReading,
    (source, at): (&Source, Place<'_>),
    paper: &Paper,
    findings: &mut Findings,
) -> Option<PrintReading> {
    let fields =
        [("value", raw.value.is_some()), ("shown", raw.shown.is_some()), ("by", raw.by.is_some())];
    for (name, is_there) in fields {
        if !is_there && !at.faulted(name) {
            let message = format!("this reading has no '{name}'");
            let help = "write it as the other lines, or remove the line";
            findings.push(Diagnostic::error("missing-field", message).at(at.head()).help(help));
        }
    }
    let (shown, by) = (raw.shown?, raw.by?);
    let [l, a, b] = *shown;
    if !(0.0..=110.0).contains(&l) || ![a, b].iter().all(|v| (-160.0..=160.0).contains(v)) {
        let message = format!("({l}, {a}, {b}) is not a colour");
        let help = "L must be from 0 to 100, a and b from -160 to 160";
        findings.push(Diagnostic::error("bad-value", message).at(source.of(&shown)).help(help));
        return None;
    }
    let sigma = raw.sigma.as_ref().map_or(by.sigma(), |s| s.value);
    if !(0.05..=20.0).contains(&sigma) {
        let message = format!("'sigma' must be from 0.05 to 20, not {sigma}");
        let at = raw.sigma.as_ref().and_then(|s| source.of(s));
        let help = "it is the standard deviation of a reading in CIELAB";
        findings.push(Diagnostic::error("out-of-bounds", message).at(at).help(help));
        return None;
    }
    let value = value_bytes(&raw.value?, paper, at.field("value"), findings)?;
    Some(PrintReading { value, shown: Lab50::new(l, a, b), by, sigma })
}
