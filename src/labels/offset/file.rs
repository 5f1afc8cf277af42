//! The file of what was measured: a table or a RON text, checked line by line.
//!
//! Columns mark, dx, dy; x and y where the marks are not those of the trial
//! sheet that is at hand. A line without dx and dy is a mark that was not measured.

use std::collections::BTreeMap;
use std::path::Path;

use kurbo::{Point, Size, Vec2};
use serde::Deserialize;

use super::reading::{Mark, Reading};
use crate::diag::{Diagnostic, Findings, Sources, Span};
use crate::read::cells::heads::{self, Head};
use crate::read::cells::{self, Grid};
use crate::read::read_text;
use crate::read::ron::{Place, decode};

/// The largest distance that is believed, mm.
pub const MOST: f64 = 10.0;
/// Marks nearer to each other are one place, mm.
const SAME: f64 = 0.5;
/// The largest sheet, mm.
const FARTHEST: f64 = 10_000.0;

/// The contents of a file.
#[derive(Clone, Debug, Default)]
pub struct Measured {
    /// Which machine, which sheet: in the words of whoever measured.
    pub about: Option<String>,
    pub readings: Vec<Reading>,
}

/// One line as it is written, with the place of each number.
#[derive(Default)]
struct MeasuredLine {
    mark: Field<usize>,
    x: Field<f64>,
    y: Field<f64>,
    dx: Field<f64>,
    dy: Field<f64>,
    place: Option<Span>,
}

/// A number that may be missing, or damaged and already reported.
struct Field<T> {
    value: Option<T>,
    faulty: bool,
    place: Option<Span>,
}

impl<T> Default for Field<T> {
    fn default() -> Field<T> {
        Field { value: None, faulty: false, place: None }
    }
}

/// Reads what was measured at `marks`; `size` is the sheet's.
///
/// # Errors
/// Every invalid line, with its place.
pub fn read(
    file: &Path,
    marks: &[Mark],
    size: Size,
    sources: &mut Sources,
) -> Result<(Measured, Findings), Findings> {
    let mut findings = Findings::default();
    let ending = file.extension().map(|e| e.to_string_lossy().to_lowercase());
    let (about, lines) = match ending.as_deref() {
        Some("ron") => ron_lines(file, sources, &mut findings)?,
        _ => (None, table_lines(file, sources, &mut findings)?),
    };
    let sheet = TrialSheet { marks, size };
    let mut readings: Vec<Reading> = Vec::new();
    let mut seen = BTreeMap::new();
    for line in &lines {
        let Some(reading) = sheet.reading(line, &mut findings) else { continue };
        let first = *seen.entry(reading.mark.number).or_insert(readings.len());
        if first < readings.len() {
            let message = format!("mark {} appears a second time", reading.mark.number);
            findings.push(
                Diagnostic::error("double-mark", message)
                    .at(line.mark.place.clone().or_else(|| line.place.clone()))
                    .help("keep the line that is right"),
            );
            continue;
        }
        if let Some(near) = readings.iter().find(|r| r.mark.at.distance(reading.mark.at) < SAME) {
            let message = format!(
                "marks {} and {} are in the same place",
                near.mark.number, reading.mark.number
            );
            findings.push(
                Diagnostic::error("double-mark", message)
                    .at(line.x.place.clone().or_else(|| line.place.clone()))
                    .help("give each its own x and y, in mm from the sheet's top left corner"),
            );
            continue;
        }
        readings.push(reading);
    }
    if findings.failed() { Err(findings) } else { Ok((Measured { about, readings }, findings)) }
}

/// What the lines are held against.
struct TrialSheet<'a> {
    marks: &'a [Mark],
    size: Size,
}

impl TrialSheet<'_> {
    /// The reading of a line, if it has one.
    fn reading(&self, line: &MeasuredLine, findings: &mut Findings) -> Option<Reading> {
        let fields = [&line.x, &line.y, &line.dx, &line.dy];
        let faulty = line.mark.faulty || fields.iter().any(|f| f.faulty);
        if !line.dx.faulty && !line.dy.faulty && line.dx.value.is_none() && line.dy.value.is_none()
        {
            return None;
        }
        let mut missing = |name: &str, field: Option<Span>| {
            findings.push(
                Diagnostic::error("missing-number", format!("this line has no {name}"))
                    .at(field.or_else(|| line.place.clone()))
                    .help("write it in mm, or 0 if the cut is exact; leave both dx and dy empty if nothing was measured"),
            );
        };
        for (name, field, other) in [("dx", &line.dx, &line.dy), ("dy", &line.dy, &line.dx)] {
            if field.value.is_none() && !field.faulty && other.value.is_some() {
                missing(name, field.place.clone());
            }
        }
        for (name, field, other) in [("x", &line.x, &line.y), ("y", &line.y, &line.x)] {
            if field.value.is_none() && !field.faulty && other.value.is_some() {
                missing(name, field.place.clone());
            }
        }
        if line.mark.value.is_none() && !line.mark.faulty {
            findings.push(
                Diagnostic::error("missing-number", "this line does not name a mark")
                    .at(line.mark.place.clone().or_else(|| line.place.clone()))
                    .help("write the number printed beside the mark"),
            );
        }
        let off = Vec2::new(line.dx.value?, line.dy.value?);
        let number = line.mark.value?;
        let mut far = false;
        for (name, field) in [("dx", &line.dx), ("dy", &line.dy)] {
            let Some(value) = field.value.filter(|v| v.abs() > MOST) else { continue };
            far = true;
            findings.push(
                Diagnostic::error(
                    "far-cut",
                    format!("'{name}' of mark {number} must be at most {MOST} mm, not {value}"),
                )
                .at(field.place.clone().or_else(|| line.place.clone()))
                .help("write distances in mm; if the machine is farther off, set its origin first"),
            );
        }
        if far || faulty {
            return None;
        }
        let at = self.place_of(number, line, findings)?;
        Some(Reading { mark: Mark { number, at }, off, place: line.place.clone() })
    }

    /// Where a mark is: as the line gives it, else as the trial sheet has it.
    fn place_of(
        &self,
        number: usize,
        line: &MeasuredLine,
        findings: &mut Findings,
    ) -> Option<Point> {
        if let (Some(x), Some(y)) = (line.x.value, line.y.value) {
            let on = (0.0..=self.size.width).contains(&x) && (0.0..=self.size.height).contains(&y);
            if !on {
                findings.push(
                    Diagnostic::error(
                        "mark-off-sheet",
                        format!(
                            "mark {number} at {x}, {y} is not on the sheet of {} x {} mm",
                            self.size.width, self.size.height
                        ),
                    )
                    .at(line.x.place.clone().or_else(|| line.place.clone()))
                    .help(
                        "these marks are from a different sheet: make a trial sheet for this one",
                    ),
                );
            }
            return on.then_some(Point::new(x, y));
        }
        if line.x.value.is_some() || line.y.value.is_some() {
            return None;
        }
        let found = self.marks.iter().find(|m| m.number == number);
        if found.is_none() {
            let help = match self.marks.len() {
                0 => "give its x and y, in mm from the sheet's top left corner".to_owned(),
                n => format!("write a number from 1 to {n}, as printed beside the mark"),
            };
            findings.push(
                Diagnostic::error("unknown-mark", format!("the trial sheet has no mark {number}"))
                    .at(line.mark.place.clone().or_else(|| line.place.clone()))
                    .help(help),
            );
        }
        found.map(|m| m.at)
    }
}

/// The columns, by what may head them.
const COLUMNS: [(&str, &[&str]); 5] = [
    ("mark", &["number", "mark number"]),
    ("dx", &["to the right", "dx mm"]),
    ("dy", &["down", "dy mm"]),
    ("x", &["x mm"]),
    ("y", &["y mm"]),
];

fn table_lines(
    file: &Path,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Result<Vec<MeasuredLine>, Findings> {
    let grid = cells::read(file, None, None, sources)?;
    // Distances that all end in .0 are no slip of a spreadsheet.
    findings.extend(grid.notes.clone());
    let wanted = COLUMNS.map(|(name, also)| {
        let head = Head::new(name, also);
        if matches!(name, "x" | "y") { head } else { head.needed() }
    });
    let own = heads::Own::Renamed("name the columns 'mark', 'dx' and 'dy', each once");
    let found = heads::find(&grid, &wanted, own, findings);
    let Some(found) = found else { return Err(std::mem::take(findings)) };
    heads::surplus(&grid, &found, findings);
    let column = |i: usize| found.columns[i];
    let lines = found.rows(&grid).map(|row| {
        let mut number = |i: usize| match column(i) {
            Some(column) => cell(&grid, row, column, findings),
            None => Field::default(),
        };
        let [mark, dx, dy, x, y] = [0, 1, 2, 3, 4].map(&mut number);
        let place = column(0).and_then(|c| grid.span(row, c));
        MeasuredLine { mark: whole(mark, findings), x, y, dx, dy, place }
    });
    Ok(lines.collect())
}

/// A number of a cell; a comma may stand for the point, and any kind of minus for the sign.
fn cell(grid: &Grid, row: usize, column: usize, findings: &mut Findings) -> Field<f64> {
    let place = grid.span(row, column);
    if let Some(fault) = heads::spoiled(grid, row, column) {
        findings.push(fault);
        return Field { value: None, faulty: true, place };
    }
    let text = grid.at(row, column);
    if text.is_empty() {
        return Field { value: None, faulty: false, place };
    }
    let plain = text.trim_end_matches("mm").trim_end();
    let plain = plain.replace(',', ".").replace(['\u{2212}', '\u{2013}'], "-");
    let value = plain.parse::<f64>().ok().filter(|v| v.is_finite() && v.abs() <= FARTHEST);
    if value.is_none() {
        findings.push(
            Diagnostic::error("bad-number", format!("'{text}' is not a number of millimetres"))
                .at(place.clone())
                .help("write a number, for example 0.3 or -0.15"),
        );
    }
    Field { value, faulty: value.is_none(), place }
}

/// The number of a mark.
fn whole(field: Field<f64>, findings: &mut Findings) -> Field<usize> {
    let value = field.value.filter(|v| v.fract() == 0.0 && (1.0..=1e6).contains(v));
    if let (Some(wrong), None) = (field.value, value) {
        findings.push(
            Diagnostic::error("unknown-mark", format!("there is no mark {wrong}"))
                .at(field.place.clone())
                .help("write the number printed beside the mark"),
        );
    }
    let faulty = field.faulty || (field.value.is_some() && value.is_none());
    Field { value: value.map(|v| v as usize), faulty, place: field.place }
}

/// The same in RON: `Offset(about: "..", marks: [(mark: 1, dx: 0.6, dy: -0.1)])`.
#[derive(Deserialize)]
#[serde(rename = "Offset")]
struct OffsetFile {
    about: Option<String>,
    marks: Option<Vec<Row>>,
}

#[derive(Deserialize)]
struct Row {
    mark: Option<f64>,
    x: Option<f64>,
    y: Option<f64>,
    dx: Option<f64>,
    dy: Option<f64>,
}

fn ron_lines(
    file: &Path,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Result<(Option<String>, Vec<MeasuredLine>), Findings> {
    let text = read_text(file, None, &sources.session)?;
    sources.add(file, text.clone());
    let Some(doc) = decode::<OffsetFile>(file, &text, "Offset", findings) else {
        return Err(std::mem::take(findings));
    };
    let root = doc.source.root();
    let rows = doc.value.marks.unwrap_or_default();
    let mut lines = Vec::with_capacity(rows.len());
    for (i, row) in rows.into_iter().enumerate() {
        let at = root.field("marks").item(i);
        let mut number = |name: &str, value: Option<f64>| field(at, name, value, findings);
        let [mark, x, y, dx, dy] =
            [("mark", row.mark), ("x", row.x), ("y", row.y), ("dx", row.dx), ("dy", row.dy)]
                .map(|(name, value)| number(name, value));
        lines.push(MeasuredLine { mark: whole(mark, findings), x, y, dx, dy, place: at.head() });
    }
    Ok((doc.value.about, lines))
}

fn field(at: Place<'_>, name: &str, value: Option<f64>, findings: &mut Findings) -> Field<f64> {
    let place = value.and_then(|_| at.field(name).span());
    let fits = value.filter(|v| v.is_finite() && v.abs() <= FARTHEST);
    if let (Some(wrong), None) = (value, fits) {
        findings.push(
            Diagnostic::error("bad-number", format!("'{wrong}' is not a number of millimetres"))
                .at(place.clone())
                .help("write a number, for example 0.3 or -0.15"),
        );
    }
    let faulty = at.faulted(name) || (value.is_some() && fits.is_none());
    Field { value: fits, faulty, place }
}
