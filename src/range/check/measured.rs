//! Measured values: which colour each reading is of, and what comes of several.

use std::collections::BTreeMap;

use super::tables::{self, Files};
use super::values::parsed;
use crate::colour::{Lab50, difference};
use crate::diag::{Diagnostic, Findings, Located, Sources, Span, Suggestions};
use crate::measured::{self, Asked, Reading, brief};
use crate::range::{Measured, Value};
use crate::read::raw;
use crate::read::ron::Place;

/// The measured values of a range.
#[derive(Default)]
pub struct Measurements {
    /// By the numbers of the colours in their list.
    by_colour: Vec<Option<MeasuredValue>>,
    /// The range names a file of them.
    named: bool,
    /// It could not be read, or only in part.
    lost: bool,
}

/// A measured value of a colour.
pub struct MeasuredValue {
    pub value: Value,
    pub at: Option<Span>,
    /// Without the typed value.
    pub measured: Measured,
}

/// A reading whose value was checked.
struct Checked {
    value: Value,
    reading: Reading,
}

impl Measurements {
    /// The measured value of a colour.
    pub fn of(&self, colour: usize) -> Option<&MeasuredValue> {
        self.by_colour.get(colour)?.as_ref()
    }

    /// Does the range name a file of measured values?
    pub fn named(&self) -> bool {
        self.named
    }

    /// Is something missing that the file may well have?
    pub fn lost(&self) -> bool {
        self.lost
    }

    /// Reads the file that a range names. `colours`: those of the range, and whether these are all.
    pub fn read(
        raw: Option<raw::ValuesIn>,
        root: Place,
        (colours, whole): (&[raw::Colour], bool),
        files: &mut Files<'_>,
        findings: &mut Findings,
    ) -> Measurements {
        let Some(raw::ValuesIn::Table(there)) = raw else {
            let lost = root.faulted("values");
            return Measurements { named: lost, lost, ..Measurements::default() };
        };
        let place = root.field("values");
        let mut found = Findings::default();
        let readings = open(there, place, files, &mut found).unwrap_or_default();
        let mut names = Names::of(colours);
        let mut each: Vec<Vec<Checked>> = colours.iter().map(|_| Vec::new()).collect();
        let (read, mut unknown) = (readings.len(), Findings::default());
        let column = names.column(&readings);
        for reading in readings {
            let Some(name) = reading.name(column) else { continue };
            let colour = match names.find(name) {
                Ok(colour) => colour,
                Err(Missed::Several(fault)) => {
                    found.push(fault);
                    continue;
                }
                Err(Missed::Unknown(fault)) => {
                    unknown.push(fault);
                    continue;
                }
            };
            match parsed(reading.value.value.clone()) {
                Ok(value) => each[colour].push(Checked { value, reading }),
                Err(fault) => found.push(fault.at(reading.value.span.clone())),
            }
        }
        if whole && read > 0 && !found.failed() && each.iter().all(Vec::is_empty) {
            found.push(nothing_matches(read, place));
        }
        let lost = found.failed() || !whole;
        if whole {
            found.extend(unknown);
        }
        findings.extend(found);
        let sources: &Sources = files.sources;
        let by_colour = each.into_iter().map(|of| together(of, sources)).collect();
        Measurements { by_colour, named: true, lost }
    }
}

fn nothing_matches(count: usize, place: Place) -> Diagnostic {
    let message = match count {
        1 => "the one reading in this file is of no colour of the range".to_owned(),
        n => format!("none of the {n} readings in this file is of a colour of the range"),
    };
    Diagnostic::error("nothing-measured", message).at(place.field("file").span()).help(
        "name the samples in it by the colours' keys, numbers or names, or name a different file",
    )
}

fn open(
    there: raw::Table,
    place: Place,
    files: &mut Files<'_>,
    findings: &mut Findings,
) -> Option<Vec<Reading>> {
    let file = tables::file(&there, place, files, findings)?;
    let sheet = there.sheet.clone();
    let headings = tables::mappings(there, place);
    let from = place.field("file").span();
    let asked = Asked { file: &file, sheet: sheet.as_deref(), headings: &headings, from };
    measured::read(&asked, files.sources, findings)
}

/// What a colour can be called, in the order in which it counts.
const CALLED: [&str; 3] = ["key", "number", "name"];

/// Why a name is that of no colour.
enum Missed {
    Several(Diagnostic),
    Unknown(Diagnostic),
}

/// The colours of a range by what they are called.
struct Names<'a> {
    colours: &'a [raw::Colour],
    /// By keys, by numbers and by names, as written.
    exact: [BTreeMap<&'a str, Vec<usize>>; 3],
    /// The same without case, blanks and hyphens.
    loose: [BTreeMap<String, Vec<usize>>; 3],
    all: Vec<&'a str>,
    suggestions: Suggestions,
}

impl<'a> Names<'a> {
    fn of(colours: &'a [raw::Colour]) -> Names<'a> {
        let mut names = Names {
            colours,
            exact: Default::default(),
            loose: Default::default(),
            all: Vec::new(),
            suggestions: Suggestions::default(),
        };
        for (i, colour) in colours.iter().enumerate() {
            colour.key.iter().for_each(|key| names.add(0, key, i));
            let numbers = colour.numbers.iter().flat_map(|n| &n.0);
            numbers.for_each(|(_, number)| names.add(1, number, i));
            for (_, words) in colour.names.iter().flat_map(|n| &n.0) {
                names.add(2, &words.text, i);
                words.forms.0.iter().for_each(|(_, form)| names.add(2, form, i));
            }
        }
        names
    }

    fn add(&mut self, called: usize, text: &'a str, colour: usize) {
        let lists = [
            self.exact[called].entry(text.trim()).or_default(),
            self.loose[called].entry(loose(text)).or_default(),
        ];
        for list in lists {
            // Those of one colour come one after the other.
            if list.last() != Some(&colour) {
                list.push(colour);
            }
        }
        self.all.push(text);
    }

    /// Of the columns of a file that may name colours the one that names the most.
    fn column(&self, readings: &[Reading]) -> usize {
        let columns = readings.iter().map(|r| r.names.len()).max().unwrap_or(0);
        let known = |column: usize| {
            let names = readings.iter().filter_map(|r| r.name(column));
            names.filter(|name| self.called(name).is_some()).count()
        };
        // Of equals the first.
        (0..columns).rev().max_by_key(|column| known(*column)).unwrap_or(0)
    }

    /// The colours of a name, and what of them it is.
    fn called(&self, name: &str) -> Option<(&'static str, &[usize])> {
        let plain = loose(name);
        let exact = self.exact.iter().map(|of| of.get(name.trim()));
        let loosely = self.loose.iter().map(|of| of.get(&plain).filter(|_| !plain.is_empty()));
        let mut found = exact.chain(loosely).zip(CALLED.iter().cycle());
        found.find_map(|(list, called)| Some((*called, list?.as_slice())))
    }

    /// The colour of a name.
    fn find(&mut self, name: &Located<String>) -> Result<usize, Missed> {
        match self.called(name) {
            Some((_, [one])) => Ok(*one),
            Some((called, several)) => Err(Missed::Several(self.ambiguous(name, called, several))),
            None => Err(Missed::Unknown(self.unknown(name))),
        }
    }

    fn ambiguous(&self, name: &Located<String>, called: &str, several: &[usize]) -> Diagnostic {
        /// So many are named.
        const NAMED: usize = 4;
        let key =
            |i: &usize| self.colours.get(*i).and_then(|c| c.key.as_deref()).unwrap_or_default();
        let keys: Vec<String> =
            several.iter().take(NAMED).map(|i| format!("'{}'", key(i))).collect();
        let more = several.len() - keys.len();
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        let keys = keys.join(", ");
        let message = format!("'{}' is the {called} of several colours: {keys}{more}", brief(name));
        Diagnostic::error("ambiguous-colour", message)
            .at(name.span.clone())
            .help("write the key of the colour instead")
    }

    fn unknown(&mut self, name: &Located<String>) -> Diagnostic {
        let message =
            format!("no colour of the range is called '{}'; its reading is ignored", brief(name));
        let help = match self.suggestions.nearest(name, &self.all) {
            Some(near) => format!("did you mean '{near}'?"),
            None => "write the key, the number or the name of a colour, or remove the reading"
                .to_owned(),
        };
        Diagnostic::warning("unknown-colour", message)
            .at(name.span.clone())
            .help(help)
            .cause(brief(name))
    }
}

/// A name without case, blanks and hyphens.
fn loose(text: &str) -> String {
    let sign = |c: &char| !c.is_whitespace() && !matches!(c, '-' | '_' | '\u{2010}'..='\u{2014}');
    text.chars().filter(sign).flat_map(char::to_lowercase).collect()
}

/// The mean of the readings of a colour.
///
/// Its spread is the mean CIEDE2000 from the mean (ASTM E2214, 'MCDM'), or what a reading has by itself where that is
/// more.
fn together(of: Vec<Checked>, sources: &Sources) -> Option<MeasuredValue> {
    let first = of.first()?;
    let source = source(&of, sources);
    let readings = of.iter().fold(0usize, |sum, c| sum.saturating_add(c.reading.readings));
    let own = of.iter().filter_map(|c| c.reading.spread).reduce(f64::max);
    let (value, spread) = match of.as_slice() {
        [one] => (one.value.clone(), own),
        _ => {
            let value = mean(&of, readings as f64);
            let aim = value.aim();
            let far = of.iter().map(|c| c.reading.readings as f64 * difference(c.value.aim(), aim));
            let spread = far.sum::<f64>() / readings as f64;
            (value, Some(own.map_or(spread, |own| own.max(spread))))
        }
    };
    let mut notes: Vec<&str> = of.iter().filter_map(|c| c.reading.note.as_deref()).collect();
    notes.dedup();
    let note = (!notes.is_empty()).then(|| notes.join("; "));
    let at = first.reading.value.span.clone();
    let measured =
        Measured { source: Located::new(source, at.clone()), spread, readings, note, typed: None };
    Some(MeasuredValue { value, at, measured })
}

/// The mean value: a spectrum where all are spectra of one scale, else CIELAB under D50.
fn mean(of: &[Checked], readings: f64) -> Value {
    let weighted = |number: &dyn Fn(&Checked) -> f64| -> f64 {
        of.iter().map(|c| c.reading.readings as f64 * number(c)).sum::<f64>() / readings
    };
    let scale = |value: &Value| match value {
        Value::Spectrum { from, step, values } => Some((*from, *step, values.len())),
        _ => None,
    };
    let first = of.first().and_then(|c| scale(&c.value));
    if let Some((from, step, count)) =
        first.filter(|f| of.iter().all(|c| scale(&c.value) == Some(*f)))
    {
        let band = |i: usize| {
            weighted(&|c: &Checked| match &c.value {
                Value::Spectrum { values, .. } => values.get(i).copied().unwrap_or(0.0),
                _ => 0.0,
            })
        };
        return Value::Spectrum { from, step, values: (0..count).map(band).collect() };
    }
    let lab = |part: &dyn Fn(Lab50) -> f64| weighted(&|c: &Checked| part(c.value.aim()));
    Value::LabD50 { l: lab(&|v| v.l), a: lab(&|v| v.a), b: lab(&|v| v.b) }
}

/// Where readings come from, in words: what their file says, else the file and the line.
fn source(of: &[Checked], sources: &Sources) -> String {
    let written = |c: &Checked| c.reading.value.span.as_ref().map(|span| sources.brief(span));
    let words = |c: &Checked| c.reading.source.clone().or_else(|| written(c)).unwrap_or_default();
    let mut all: Vec<String> = of.iter().map(words).collect();
    all.dedup();
    let more = all.len().saturating_sub(1);
    let first = all.into_iter().next().unwrap_or_default();
    if more == 0 { first } else { format!("{first} and {more} more") }
}
