//! Where measured values come from, for `check`.

use serde::Serialize;

use crate::colour::difference;
use crate::diag::Sources;
use crate::range::{Colour, ColourRange};

/// So many colours are listed; all of them with `--json`.
const LISTED: usize = 40;

/// A colour whose value is measured, as `check --json` lists it behind the findings.
#[derive(Debug, Serialize)]
pub struct MeasuredColour {
    file: Option<String>,
    line: Option<usize>,
    column: Option<usize>,
    /// Always `measured`: no finding has this code.
    code: &'static str,
    severity: &'static str,
    colour: String,
    value: String,
    /// CIELAB, D50.
    lab: [f64; 3],
    spread: Option<f64>,
    readings: usize,
    source: String,
    note: Option<String>,
    typed: Option<String>,
    /// CIEDE2000 from the typed value.
    typed_difference: Option<f64>,
    /// File and line, for people.
    #[serde(skip)]
    place: String,
}

/// The colours whose values are measured, in the order of the range.
pub fn measured(range: &ColourRange, sources: &Sources) -> Vec<MeasuredColour> {
    range.colours().iter().filter_map(|colour| one(colour, sources)).collect()
}

fn one(colour: &Colour, sources: &Sources) -> Option<MeasuredColour> {
    let of = colour.measured().as_ref()?;
    let span = of.source().span.as_ref();
    let at = span.and_then(|span| sources.line_column(span));
    let aim = colour.value().aim();
    let typed = of.typed().as_ref();
    Some(MeasuredColour {
        file: span.map(|s| s.file.display().to_string()),
        line: at.map(|at| at.0),
        column: at.map(|at| at.1),
        code: "measured",
        severity: "none",
        colour: colour.key().clone(),
        value: colour.value().brief(),
        lab: [aim.l, aim.a, aim.b],
        spread: of.spread(),
        readings: of.readings(),
        source: of.source().value.clone(),
        note: of.note().clone(),
        place: span.map(|span| sources.brief(span)).unwrap_or_default(),
        typed: typed.map(|t| t.brief()),
        typed_difference: typed.filter(|t| t.is_known()).map(|t| difference(t.aim(), aim)),
    })
}

/// The same as lines of text.
pub fn listed(all: &[MeasuredColour]) -> String {
    if all.is_empty() {
        return String::new();
    }
    let lines = all.iter().take(LISTED).map(|of| format!("  {}\n", of.line()));
    let mut out = format!("Measured values:\n{}", lines.collect::<String>());
    if all.len() > LISTED {
        out += &format!("  ... and {} more: see --json\n", all.len() - LISTED);
    }
    out + "\n"
}

impl MeasuredColour {
    fn line(&self) -> String {
        let mut out = format!("{}: {}", self.colour, self.value);
        if let Some(spread) = self.spread {
            out += &format!(", spread {spread:.2}");
        }
        if self.readings > 1 {
            out += &format!(", {} readings", self.readings);
        }
        out += &format!("; {}", self.place);
        if self.source != self.place {
            out += &format!(", {}", self.source);
        }
        if let (Some(typed), Some(far)) = (&self.typed, self.typed_difference) {
            out += &format!("; typed as {typed}, {far:.1} dE00 away");
        }
        out
    }
}
