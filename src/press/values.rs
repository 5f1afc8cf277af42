//! The file of print values: written by `tune`, read by `make` and `proof`,
//! and open to a careful hand.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

use serde::Deserialize;

use super::paper::{Bytes, ColourMode, Paper};
use super::print::Print;
use super::report::{Report, Totals};
use crate::colour::{Lab50, difference};
use crate::diag::{Diagnostic, Findings, Sources, Span, Suggestions};
use crate::graphic::Rgb;
use crate::range::{ColourId, ColourRange, SheetSpec};
use crate::read::read_text;
use crate::read::ron::{Place, decode};
use crate::work::Work;

/// A colour's aim may have moved by so much through rounding in the file.
const SAME_AIM: f64 = 0.05;

/// As written.
#[derive(Debug, Default, Deserialize)]
#[serde(rename = "Values")]
#[allow(dead_code, reason = "paper and figures are for the eyes of people")]
struct RawValues {
    sheet: Option<String>,
    paper: Option<String>,
    colour_mode: Option<ColourMode>,
    profile: Option<String>,
    plain: Option<Figures>,
    tuned: Option<Figures>,
    colours: Option<Vec<RawValueLine>>,
}

#[derive(Debug, Default, Deserialize)]
#[allow(dead_code, reason = "for the eyes of people: checked for form, not used")]
struct Figures {
    mean: Option<f64>,
    most: Option<f64>,
    together: Option<usize>,
    lightness_swapped: Option<usize>,
    hue_swapped: Option<usize>,
    strength_swapped: Option<usize>,
    hues_turned: Option<usize>,
}

#[derive(Debug, Default, Deserialize)]
#[allow(dead_code, reason = "differences and plain values are for the eyes of people")]
struct RawValueLine {
    key: Option<String>,
    aim: Option<[f64; 3]>,
    value: Option<Value>,
    off: Option<f64>,
    plain: Option<Value>,
    plain_off: Option<f64>,
}

/// `"#rrggbb"`, or ink in percent: `(cyan, magenta, yellow, black)`.
#[derive(Debug, Clone, Deserialize)]
#[serde(
    expecting = "a value for a paper; write \"#rrggbb\", or ink in percent: (cyan, magenta, yellow, black)"
)]
pub(super) enum Value {
    #[serde(rename = "\"")]
    Srgb(String),
    #[serde(rename = "(")]
    Cmyk([f64; 4]),
}

/// The text of the file.
pub fn text(
    name: &str,
    (paper, print): (&Paper, &Print),
    (range, sheet): (&ColourRange, &SheetSpec),
    work: &Work,
) -> String {
    let colour_mode = paper.colour_mode();
    let plain =
        Print { values: print.plain.clone(), shown: shows(paper, &print.plain), ..print.clone() };
    let mut out = String::new();
    let _ =
        writeln!(out, "// Print values of the sheet '{}' for the paper '{name}'.", sheet.name());
    out += "// You may edit a value by hand. `off` is the difference (CIEDE2000) between the\n";
    out += "// aim and what the paper shows; two colours are distinct from a difference of 2.\n";
    let _ = writeln!(out, "Values(\n    sheet: {:?},\n    paper: {name:?},", sheet.name());
    let _ = writeln!(
        out,
        "    colour_mode: {},\n    profile: {:?},",
        colour_mode.word(),
        paper.fingerprint()
    );
    let reports = Report::both(paper, [&plain, print], super::report::LIMIT, work);
    for (field, report) in ["plain", "tuned"].into_iter().zip(&reports) {
        let _ = writeln!(out, "    {field}: {},", figures(&report.totals));
    }
    out += "    colours: [\n";
    for (i, id) in print.colours.iter().enumerate() {
        let (aim, key) = (print.aims[i], range.colour(*id).key());
        let _ = writeln!(
            out,
            "        (key: {key:?}, aim: ({:.2}, {:.2}, {:.2}), value: {}, off: {:.2}, plain: {}, plain_off: {:.2}),",
            aim.l,
            aim.a + 0.0,
            aim.b + 0.0,
            value(print.values[i], colour_mode),
            difference(aim, print.shown[i]),
            value(print.plain[i], colour_mode),
            difference(aim, plain.shown[i]),
        );
    }
    out + "    ],\n)\n"
}

fn figures(t: &Totals) -> String {
    format!(
        "(mean: {:.2}, most: {:.2}, together: {}, lightness_swapped: {}, hue_swapped: {}, strength_swapped: {}, hues_turned: {})",
        t.mean,
        t.most,
        t.together,
        t.lightness_swapped,
        t.hue_swapped,
        t.strength_swapped,
        t.turned
    )
}

fn shows(paper: &Paper, values: &[Bytes]) -> Vec<Lab50> {
    values.iter().map(|v| paper.shows(*v)).collect()
}

/// As a file and a table show a value: `"#c9282d"`, `(0.0, 96.1, 90.2, 4.7)`.
pub fn value([a, b, c, d]: Bytes, colour_mode: ColourMode) -> String {
    match colour_mode {
        ColourMode::Srgb => format!("\"{}\"", Rgb(a, b, c).hex()),
        ColourMode::Cmyk => {
            let p = [a, b, c, d].map(|v| format!("{:.1}", f64::from(v) / 2.55));
            format!("({})", p.join(", "))
        }
    }
}

/// Reads the values of a sheet's colours, in the sheet's order.
///
/// # Errors
/// Everything that is wrong with the file: another paper or sheet, colours
/// that are missing or whose aim has changed since.
pub fn read(
    file: &Path,
    named_at: Option<Span>,
    paper: &Paper,
    (range, sheet): (&ColourRange, &SheetSpec),
    sources: &mut Sources,
) -> Result<Print, Findings> {
    let text = read_text(file, named_at, &sources.session)?;
    sources.add(file, text.clone());
    let mut findings = Findings::default();
    let Some(doc) = decode::<RawValues>(file, &text, "Values", &mut findings) else {
        return Err(findings);
    };
    let root = doc.source.root();
    let raw = doc.value;
    let before = findings.len();
    whose(&raw, root, paper, sheet, &mut findings);
    // Values for something else are not wrong one by one.
    let for_another = findings.len() > before;
    let wanted = super::print::colours(range, sheet);
    let mut lines = Lines {
        range,
        paper,
        wanted: &wanted,
        places: (0..).zip(&wanted).map(|(n, c)| (range.colour(*c).key().as_str(), n)).collect(),
        for_another,
        known: range.colours().iter().map(|c| c.key().as_str()).collect(),
        suggestions: Suggestions::default(),
        values: vec![None; wanted.len()],
        stale: Vec::new(),
        first_stale: None,
    };
    for (i, line) in raw.colours.unwrap_or_default().into_iter().enumerate() {
        lines.take(line, root.field("colours").item(i), &mut findings);
    }
    if !findings.failed() {
        let Lines { values, stale, first_stale, .. } = &lines;
        let without = wanted.iter().zip(values).filter(|(_, v)| v.is_none());
        let without: Vec<String> = without.map(|(c, _)| range.colour(*c).key().clone()).collect();
        let changed = "has changed since it was tuned";
        out_of_date(stale, first_stale.clone(), changed, &mut findings);
        out_of_date(&without, root.field("colours").key_span(), "has no value here", &mut findings);
    }
    if findings.failed() {
        return Err(findings);
    }
    let values = lines.values.into_iter().flatten().collect();
    Ok(Print::given(paper, range, sheet, values))
}

/// The lines of a file as they are read.
struct Lines<'a> {
    range: &'a ColourRange,
    paper: &'a Paper,
    /// The colours of the sheet, and where each key is among them.
    wanted: &'a [ColourId],
    places: BTreeMap<&'a str, usize>,
    /// The file is for another sheet or paper.
    for_another: bool,
    /// Every key of the range.
    known: Vec<&'a str>,
    suggestions: Suggestions,
    values: Vec<Option<Bytes>>,
    /// Colours whose aim is another now, and where the first of them is.
    stale: Vec<String>,
    first_stale: Option<Span>,
}

impl Lines<'_> {
    fn take(&mut self, line: RawValueLine, at: Place, findings: &mut Findings) {
        let Some(key) = line.key else {
            if !at.faulted("key") {
                findings.push(missing("key", at));
            }
            return;
        };
        let Some(&n) = self.places.get(key.as_str()) else {
            findings.extend(self.unknown(&key, at));
            return;
        };
        if self.values[n].is_some() {
            let d = Diagnostic::error("double-key", format!("the colour '{key}' appears twice"));
            findings.push(d.at(at.field("key").span()).help("remove one of the lines"));
        }
        let aim = self.range.colour(self.wanted[n]).aim();
        let was = line.aim.map(|[l, a, b]| Lab50::new(l, a, b));
        if was.is_some_and(|was| difference(was, aim) > SAME_AIM) {
            self.stale.push(key);
            self.first_stale = self.first_stale.take().or(at.field("aim").span());
        }
        match line.value {
            Some(_) if self.for_another => {}
            Some(value) => {
                self.values[n] = value_bytes(&value, self.paper, at.field("value"), findings)
            }
            None if !at.faulted("value") => findings.push(missing("value", at)),
            None => {}
        }
    }

    /// A key that no colour of the sheet has. Colours that the sheet does not show do no harm, unless
    /// they are a slip.
    fn unknown(&mut self, key: &str, at: Place) -> Findings {
        if self.range.colours().iter().any(|c| c.key() == key) {
            return Findings::default();
        }
        let d = Diagnostic::error("unknown-colour", format!("the range has no colour '{key}'"))
            .at(at.field("key").span());
        let d = match self.suggestions.nearest(key, &self.known) {
            Some(near) => d.help(format!("did you mean '{near}'?")),
            None => d.help("remove the line, or tune again"),
        };
        d.into()
    }
}

/// Is the file for this sheet and this paper?
fn whose(raw: &RawValues, root: Place, paper: &Paper, sheet: &SheetSpec, findings: &mut Findings) {
    let mut other = |field: &str, message: String| {
        findings.push(
            Diagnostic::error("other-values", message)
                .at(root.field(field).span())
                .help("make new values with 'shadecard tune'"),
        );
    };
    if let Some(of) = raw.sheet.as_ref().filter(|of| *of != sheet.name()) {
        other("sheet", format!("these values are for the sheet '{of}', not '{}'", sheet.name()));
    }
    if let Some(colour_mode) = raw.colour_mode.filter(|c| *c != paper.colour_mode()) {
        let now = paper.colour_mode().word();
        other(
            "colour_mode",
            format!("these values are {}, but the paper needs {now}", colour_mode.word()),
        );
    }
    if raw.profile.as_ref().is_some_and(|p| *p != paper.fingerprint()) {
        other(
            "profile",
            "these values were made for a different profile or model of the paper, or before its last readings"
                .into(),
        );
    }
}

fn out_of_date(keys: &[String], span: Option<Span>, what: &str, findings: &mut Findings) {
    let Some(first) = keys.first() else { return };
    let more = match keys.len() - 1 {
        0 => String::new(),
        1 => " (and one more colour)".to_owned(),
        n => format!(" (and {n} more colours)"),
    };
    findings.push(
        Diagnostic::error("old-values", format!("the colour '{first}' {what}{more}"))
            .at(span)
            .help("make new values with 'shadecard tune'"),
    );
}

fn missing(field: &str, at: Place) -> Diagnostic {
    Diagnostic::error("missing-field", format!("this line has no {field}"))
        .at(at.head())
        .help("make new values with 'shadecard tune'")
}

/// A value as bytes; written as CMYK or sRGB, as the paper needs it.
pub(super) fn value_bytes(
    value: &Value,
    paper: &Paper,
    at: Place,
    findings: &mut Findings,
) -> Option<Bytes> {
    let (read, help) = match (value, paper.colour_mode()) {
        (Value::Srgb(text), ColourMode::Srgb) => {
            let rgb = Rgb::parse(text).map(|Rgb(r, g, b)| [r, g, b, 0]);
            (rgb, "write a colour, for example \"#c9282d\"")
        }
        (Value::Cmyk(percent), ColourMode::Cmyk) => {
            let fits = percent.iter().all(|p| (0.0..=100.0).contains(p));
            let bytes = percent.map(|p| (p * 2.55).round() as u8);
            (
                fits.then_some(bytes),
                "write four numbers from 0 to 100: cyan, magenta, yellow, black",
            )
        }
        (_, ColourMode::Srgb) => {
            (None, "this paper needs sRGB: write a colour, for example \"#c9282d\"")
        }
        (_, ColourMode::Cmyk) => {
            (None, "this paper needs CMYK: write (cyan, magenta, yellow, black)")
        }
    };
    let Some(read) = read else {
        findings.push(
            Diagnostic::error("bad-value", "this is not a value for this paper")
                .at(at.span())
                .help(help),
        );
        return None;
    };
    let ink = paper.ink(read);
    if ink > paper.ink_limit() + 1e-6 {
        findings.push(
            Diagnostic::error(
                "too-much-ink",
                format!("the total ink must be at most {:.0} %, not {ink:.1} %", paper.ink_limit()),
            )
            .at(at.span())
            .help("reduce each ink, or raise ink_limit if the print house agrees"),
        );
        return None;
    }
    Some(read)
}
