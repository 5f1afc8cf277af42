//! What `capture` reports, and the table that it writes.

use std::collections::BTreeMap;
use std::path::Path;

use serde_json::json;

use crate::capture::Doubt;
use crate::capture::colours::{ColourRead, PageRead, PlaceDoubt};
use crate::colour::difference;
use crate::diag::{Diagnostic, Findings};
use crate::measured::{MeasuredLine, csv};
use crate::range::{Colour, Value};
use crate::stage::PHOTOGRAPH;
use crate::table::{Align, Table};

/// A measured value farther than this from the typed one is reported, CIEDE2000.
const FAR: f64 = 5.0;
/// So many places are named where a list could be long.
const NAMED: usize = 12;

pub(super) struct Report<'a> {
    /// The colours of the range by their keys.
    pub(super) range: &'a BTreeMap<&'a str, &'a Colour>,
    pub(super) pages: &'a [PageRead<'a>],
    pub(super) colours: &'a [ColourRead],
    pub(super) doubtful: &'a [PlaceDoubt],
}

impl Report<'_> {
    /// The table: a row for every colour.
    ///
    /// # Errors
    /// It cannot be written.
    pub(super) fn table(&self) -> Result<Vec<u8>, Diagnostic> {
        let line = |read: &ColourRead| MeasuredLine {
            colour: read.colour.clone(),
            lab: [read.lab.l, read.lab.a, read.lab.b].map(hundredths),
            spread: Some(hundredths(read.spread)),
            readings: read.places,
            source: read.photographs.join(" "),
            note: note(read),
        };
        let lines: Vec<MeasuredLine> = self.colours.iter().map(line).collect();
        csv(&lines).map_err(|why| {
            let message = format!("the table cannot be written: {why}");
            Diagnostic::error("not-written", message)
        })
    }

    /// What deserves attention.
    pub(super) fn findings(&self) -> Findings {
        let mut findings = Findings::default();
        for lost in [true, false] {
            let of: Vec<&PlaceDoubt> = self.doubtful.iter().filter(|d| d.is_lost == lost).collect();
            for doubt in of.iter().take(NAMED) {
                findings.push(reported(doubt));
            }
            if of.len() > NAMED {
                let what = if lost { "gave no colour" } else { "are doubtful" };
                let message = format!("{} more places {what}", of.len() - NAMED);
                findings.push(Diagnostic::warning("more-places", message));
            }
        }
        self.charts(&mut findings);
        if self.colours.iter().any(|read| read.relative) {
            let message = "readings are relative: no colour of the pages has a measured value";
            let help = "lay a chart of reference colours on the page (stage --chart), give some colours measured values, Lab(...) or Spectrum(...), or use --trust-screen-values";
            findings.push(Diagnostic::warning("relative-readings", message).help(help));
        }
        findings
    }

    /// Charts that were not used, or not whole.
    fn charts(&self, findings: &mut Findings) {
        let read = self.pages.iter().flat_map(|page| page.photographs.iter().zip(&page.readings));
        for (name, chart) in read.filter_map(|(name, read)| Some((name, read.chart.as_ref()?))) {
            let used = chart.known.len();
            let (message, help) = match chart.off {
                None => (
                    format!("{name}: the chart is not to be seen"),
                    "lay it within its corners, and keep reflections off it",
                ),
                Some(off) if used == 0 => (
                    format!(
                        "{name}: the chart is not used: its colours are {off:.0} dE00 from those of its reference file"
                    ),
                    "lay the chart straight within its corners, and name the reference file of this very chart to 'stage'",
                ),
                Some(_) if used < chart.patches => (
                    format!("{name}: {used} of the chart's {} patches are used", chart.patches),
                    "keep reflections and shadows off it",
                ),
                Some(_) => continue,
            };
            let report = if used == 0 { Diagnostic::warning } else { Diagnostic::hint };
            findings.push(report("chart", message).help(help));
        }
    }

    /// The pages, the colours, and those that are far from what the range gives.
    pub(super) fn text(&self, out: &Path) -> String {
        let mut text = self.photographs().text();
        text.push('\n');
        let mut table = Table::new(&[
            ("colour", Align::Left),
            ("name", Align::Left),
            ("L*", Align::Right),
            ("a*", Align::Right),
            ("b*", Align::Right),
            ("spread", Align::Right),
            ("model error", Align::Right),
            ("places", Align::Right),
            ("from the range's value", Align::Right),
        ]);
        for read in self.colours {
            let known = self.colour(&read.colour);
            let number = |v: f64| format!("{v:.1}");
            table.row([
                read.colour.clone(),
                known.map_or(String::new(), |c| c.any_name().to_owned()),
                number(read.lab.l),
                number(read.lab.a),
                number(read.lab.b),
                number(read.spread),
                read.error.map_or("-".to_owned(), number),
                read.places.to_string(),
                known.and_then(|c| away(c, read)).map_or("-".to_owned(), number),
            ]);
        }
        text.push_str(&table.text());
        let far: Vec<String> = self.far().map(|(c, d)| format!("{} ({d:.1})", c.key())).collect();
        if !far.is_empty() {
            text.push_str(&format!(
                "\nMore than {FAR:.0} dE00 from the range's value: {}.\n",
                far.join(", ")
            ));
        }
        if self.colours.iter().any(|read| read.relative) {
            text.push_str(
                "\nAll values are relative to the paper: compare them with each other only.\n",
            );
        }
        text.push_str(&format!("\nWritten: {}\n", out.display()));
        text
    }

    pub(super) fn json(&self) -> String {
        let colours: Vec<_> = self.colours.iter().map(|read| {
            let lab = [read.lab.l, read.lab.a, read.lab.b].map(hundredths);
            json!({
                "colour": read.colour,
                "lab": lab,
                "spread": hundredths(read.spread),
                "model_error": read.error.map(hundredths),
                "places": read.places,
                "relative": read.relative,
                "photographs": read.photographs,
                "from_range": self.colour(&read.colour).and_then(|c| away(c, read)).map(hundredths),
            })
        }).collect();
        let all = json!({ "photographs": self.photographs().json(), "colours": colours });
        // Texts and finite numbers always serialise.
        serde_json::to_string_pretty(&all).unwrap_or_default() + "\n"
    }

    fn photographs(&self) -> Table {
        let mut table = Table::new(&[
            ("photograph", Align::Left),
            ("page", Align::Left),
            ("dots", Align::Right),
            ("off mm", Align::Right),
            ("pixels a mm", Align::Right),
            ("known colours", Align::Right),
            ("error dE00", Align::Right),
            ("95 %", Align::Right),
        ]);
        for page in self.pages {
            for (name, read) in page.photographs.iter().zip(&page.readings) {
                let code = page.page.code.text.split(':').nth(2).unwrap_or_default();
                let dots = match read.dots {
                    (_, 0) => "-".to_owned(),
                    (found, all) => format!("{found} of {all}"),
                };
                let error = |of: fn((f64, f64)) -> f64| {
                    read.error.map_or("-".to_owned(), |e| format!("{:.1}", of(e)))
                };
                table.row([
                    (*name).to_owned(),
                    code.to_owned(),
                    dots,
                    if read.dots.1 == 0 { "-".to_owned() } else { format!("{:.2}", read.rms) },
                    format!("{:.1}", read.scale),
                    read.references.to_string(),
                    error(|e| e.0),
                    error(|e| e.1),
                ]);
            }
        }
        table
    }

    fn colour(&self, key: &str) -> Option<&Colour> {
        self.range.get(key).copied()
    }

    fn far(&self) -> impl Iterator<Item = (&Colour, f64)> {
        let known = self.colours.iter().filter_map(|read| {
            let colour = self.colour(&read.colour)?;
            Some((colour, away(colour, read)?))
        });
        known.filter(|(_, d)| *d > FAR)
    }
}

/// How far a reading is from the value of the range; none of a relative one, or of no value.
fn away(colour: &Colour, read: &ColourRead) -> Option<f64> {
    let has_value = *colour.value() != Value::Unknown && !read.relative;
    has_value.then(|| difference(read.lab, colour.aim()))
}

fn note(read: &ColourRead) -> String {
    match read.error {
        _ if read.relative => format!("{PHOTOGRAPH}; relative to the paper"),
        Some(error) => format!("{PHOTOGRAPH}; camera model {error:.1} dE00"),
        None => PHOTOGRAPH.to_owned(),
    }
}

fn hundredths(v: f64) -> f64 {
    (v * 100.0).round() / 100.0
}

/// A place with what is doubtful about it.
fn reported(doubt: &PlaceDoubt) -> Diagnostic {
    let whys: Vec<String> = doubt.doubts.iter().map(Doubt::to_string).collect();
    let message = format!(
        "{}, part '{}' in '{}': {}",
        doubt.photographs.join(", "),
        doubt.part,
        doubt.colour,
        whys.join("; ")
    );
    let help = doubt.doubts.first().map_or("", |d| d.help());
    match doubt.is_lost {
        true => Diagnostic::warning("place-lost", message).help(help),
        false => Diagnostic::hint("place-doubtful", message).help(help),
    }
}
