//! The table beside pictures: which file shows which part in which colour, how large, and where in it.

use std::collections::BTreeMap;
use std::path::Path;

use kurbo::Point;

use super::index::Index;
use crate::diag::{Diagnostic, Findings, Sources, Span};
use crate::range::{ColourId, PartId};
use crate::read::cells::heads::{self, Head, Heads};
use crate::read::cells::{self, Grid};
use crate::read::table::parse_decimal;

/// The table's file, in the folder of pictures.
pub const TABLE: &str = "pictures.csv";
/// The largest picture of a part, mm.
const LARGEST: f64 = 2_000.0;

/// What a row says of a picture.
#[derive(Debug, Default)]
pub struct Row {
    /// Its file, where it is not named after its part and colour.
    pub file: Option<String>,
    /// Size of the whole picture, mm.
    pub width: Option<f64>,
    pub height: Option<f64>,
    /// The middle of the part in it, mm from its top left corner.
    pub centre: Option<Point>,
    /// Where the row is.
    pub span: Option<Span>,
}

/// All rows, by what they show.
pub type Rows = BTreeMap<(PartId, ColourId), Row>;

/// The headings of the columns; the first two are needed.
pub const HEADINGS: [&str; 7] =
    ["part", "colour", "file", "width_mm", "height_mm", "centre_x_mm", "centre_y_mm"];
/// What may head them besides.
const ALSO: [&[&str]; 7] = [
    &["part key"],
    &["color", "colour key"],
    &["picture"],
    &["width"],
    &["height"],
    &["centre x", "center_x_mm"],
    &["centre y", "center_y_mm"],
];

/// Reads the table; every fault is reported at its cell.
pub fn read(file: &Path, index: &Index, sources: &mut Sources, findings: &mut Findings) -> Rows {
    let grid = match cells::read(file, None, None, sources) {
        Ok(grid) => grid,
        Err(fault) => {
            findings.push(fault);
            return Rows::new();
        }
    };
    // Lengths that all end in .0 are no slip of a spreadsheet.
    findings.extend(grid.notes.clone());
    let wanted: Vec<Head> = HEADINGS
        .iter()
        .zip(ALSO)
        .enumerate()
        .map(|(n, (name, also))| {
            let head = Head::new(*name, also);
            if n < 2 { head.needed() } else { head }
        })
        .collect();
    let own = heads::Own::Renamed("name the columns 'part' and 'colour', each once");
    let Some(found) = heads::find(&grid, &wanted, own, findings) else { return Rows::new() };
    heads::surplus(&grid, &found, findings);
    heads::unknown(&grid, &found, &wanted, &[], findings);
    let table = Table { grid: &grid, heads: &found, index };
    let mut rows = Rows::new();
    for at in found.rows(&grid) {
        let Some((sample, row)) = table.row(at, findings) else { continue };
        let span = row.span.clone();
        if rows.insert(sample, row).is_some() {
            findings.push(
                Diagnostic::error("double-picture", "this part has two pictures in this colour")
                    .at(span)
                    .help("keep one of the rows"),
            );
        }
    }
    rows
}

struct Table<'a> {
    grid: &'a Grid,
    heads: &'a Heads,
    index: &'a Index,
}

impl Table<'_> {
    fn row(&self, at: usize, findings: &mut Findings) -> Option<((PartId, ColourId), Row)> {
        let part = self.key(at, 0, findings);
        let colour = self.key(at, 1, findings);
        let before = findings.len();
        let [width, height] = [3, 4].map(|n| self.length(at, n, findings));
        let [x, y] = [5, 6].map(|n| self.place(at, n, findings));
        if x.is_some() != y.is_some() && findings.len() == before {
            findings.push(
                Diagnostic::error("missing-number", "this row has one of the centre's two numbers")
                    .at(self.span(at, 5))
                    .help("give both centre_x_mm and centre_y_mm, or neither"),
            );
        }
        let row = Row {
            file: self.text(at, 2).map(str::to_owned),
            width,
            height,
            centre: x.zip(y).map(Point::from),
            span: self.span(at, if self.text(at, 2).is_some() { 2 } else { 0 }),
        };
        Some(((PartId(part?), ColourId(colour?)), row))
    }

    /// The part (column 0) or the colour (column 1) of a row.
    fn key(&self, at: usize, column: usize, findings: &mut Findings) -> Option<usize> {
        let (name, keys) = match column {
            0 => ("part", &self.index.parts),
            _ => ("colour", &self.index.colours),
        };
        let Some(key) = self.text(at, column) else {
            findings.push(
                Diagnostic::error("missing-field", format!("this row names no {name}"))
                    .at(self.span(at, column))
                    .help(format!("write the key of the {name}, or remove the row")),
            );
            return None;
        };
        keys.find_at(key, self.span(at, column), findings)
    }

    /// A size, mm: more than nothing.
    fn length(&self, at: usize, column: usize, findings: &mut Findings) -> Option<f64> {
        let value = self.place(at, column, findings)?;
        if value <= 0.0 {
            self.bad_number(at, column, findings);
        }
        (value > 0.0).then_some(value)
    }

    /// A place, mm.
    fn place(&self, at: usize, column: usize, findings: &mut Findings) -> Option<f64> {
        let text = self.text(at, column)?;
        let spoiled = self.heads.columns[column].and_then(|c| heads::spoiled(self.grid, at, c));
        let faulty = spoiled.as_ref().is_some_and(|s| s.severity == crate::diag::Severity::Error);
        spoiled.into_iter().for_each(|fault| findings.push(fault));
        if faulty {
            return None;
        }
        let plain = text.trim_end_matches("mm").trim_end();
        let value = parse_decimal(plain).filter(|v| v.abs() <= LARGEST);
        if value.is_none() {
            self.bad_number(at, column, findings);
        }
        value
    }

    fn bad_number(&self, at: usize, column: usize, findings: &mut Findings) {
        let name = HEADINGS[column];
        let text = self.text(at, column).unwrap_or_default();
        let message = format!("'{name}' must be a number of millimetres, not {text}");
        findings.push(
            Diagnostic::error("bad-number", message)
                .at(self.span(at, column))
                .help(format!("write a number from 0 to {LARGEST}, for example 12.5")),
        );
    }

    fn text(&self, at: usize, column: usize) -> Option<&str> {
        let text = self.grid.at(at, self.heads.columns[column]?);
        (!text.is_empty()).then_some(text)
    }

    fn span(&self, at: usize, column: usize) -> Option<Span> {
        self.grid.span(at, self.heads.columns[column].or(self.heads.columns[0])?)
    }
}
