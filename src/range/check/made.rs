//! Which part is made in which colour, and in which years.

use crate::diag::{Diagnostic, Findings};
use crate::range::{Colour, ColourId, MadeYears, Part, PartId};
use crate::read::raw;
use crate::read::ron::Place;

use super::days::year;
use super::index::Index;

/// The matrix and its exceptions by year.
pub struct CheckedMade {
    /// `cells[colour][part]`
    pub cells: Vec<Vec<bool>>,
    pub years: Vec<MadeYears>,
}

/// What the matrix is about: a row for each colour, a column for each part.
pub struct Axes<'a> {
    pub index: &'a Index,
    pub parts: &'a [Part],
    pub colours: &'a [Colour],
}

/// Without a matrix every part is made in every colour.
pub fn check(
    raw: Option<raw::Made>,
    place: Place,
    axes: &Axes<'_>,
    findings: &mut Findings,
) -> CheckedMade {
    let Axes { index, parts, colours } = *axes;
    let whole = || vec![vec![true; parts.len()]; colours.len()];
    let Some(raw) = raw else { return CheckedMade { cells: whole(), years: Vec::new() } };
    let columns: Vec<Option<usize>> = match &raw.parts {
        Some(list) => columns(list, place.field("parts"), index, findings),
        None => (0..parts.len()).map(Some).collect(),
    };
    let unsure = place.faulted("parts")
        || place.faulted("rows")
        || index.colours.doubtful()
        || (raw.parts.is_none() && index.parts.doubtful())
        || (place.has("parts") && place.field("parts").damaged());
    let cells = match raw.rows {
        None => whole(),
        Some(rows) => {
            let table = Rows { axes, columns: &columns, own_list: raw.parts.is_some(), unsure };
            table.read(rows.0, place, findings)
        }
    };
    let years =
        raw.years.map(|y| years(y, place.field("years"), index, findings)).unwrap_or_default();
    // Years of what is not made at all, or without limits, have no effect.
    let years = years
        .into_iter()
        .filter(|y: &MadeYears| cells[y.colour.0][y.part.0] && (y.from.is_some() || y.to.is_some()))
        .collect();
    CheckedMade { cells, years }
}

fn columns(
    list: &[String],
    at: Place,
    index: &Index,
    findings: &mut Findings,
) -> Vec<Option<usize>> {
    let mut out: Vec<Option<usize>> = Vec::with_capacity(list.len());
    for (i, key) in list.iter().enumerate() {
        let found = index.parts.find(key, at.item(i), findings);
        if found.is_some() && out.contains(&found) {
            findings.push(
                Diagnostic::error("double-key", format!("the part '{key}' is in this list twice"))
                    .at(at.item(i).span())
                    .help("keep one of them"),
            );
        }
        out.push(found);
    }
    out
}

struct Rows<'a> {
    axes: &'a Axes<'a>,
    columns: &'a [Option<usize>],
    /// The columns are listed in made.parts, not taken from the range's parts.
    own_list: bool,
    unsure: bool,
}

impl Rows<'_> {
    /// The cells; `place` is the matrix's own.
    fn read(
        &self,
        rows: Vec<(String, String)>,
        place: Place,
        findings: &mut Findings,
    ) -> Vec<Vec<bool>> {
        let Axes { index, parts, colours } = *self.axes;
        let at = place.field("rows");
        let astray = rows.iter().filter(|(key, _)| !index.colours.holds(key)).count();
        let mut seen = vec![false; colours.len()];
        let mut cells = vec![vec![false; parts.len()]; colours.len()];
        for (i, (key, marks)) in rows.into_iter().enumerate() {
            let here = at.item(i);
            let colour = index.colours.find_at(&key, here.key_span(), findings);
            let row = self.marks(&key, &marks, here, findings);
            let Some(colour) = colour.filter(|c| *c < colours.len()) else { continue };
            if std::mem::replace(&mut seen[colour], true) {
                findings.push(
                    Diagnostic::error(
                        "double-key",
                        format!("the colour '{key}' has two rows of marks"),
                    )
                    .at(here.key_span())
                    .help("keep one of them"),
                );
            }
            for (part, made) in self.columns.iter().zip(row) {
                if let Some(part) = part.filter(|p| *p < parts.len()) {
                    cells[colour][part] = made;
                }
            }
        }
        let missing: Vec<_> = colours.iter().zip(seen).filter(|(_, s)| !s).collect();
        // A row under another key is already reported, and probably the missing one.
        if !self.unsure && !at.damaged() && missing.len() > astray {
            for (colour, _) in missing {
                self.no_row(colour, place.in_cells(), findings);
            }
        }
        cells
    }

    fn no_row(&self, colour: &Colour, in_cells: bool, findings: &mut Findings) {
        let key = &colour.key;
        let help = if in_cells {
            format!("add a row for '{key}' to the table of made parts")
        } else {
            let marks = ".".repeat(self.columns.len());
            format!("add \"{key}\": \"{marks}\" to made.rows")
        };
        findings.push(
            Diagnostic::warning("missing-row", format!("'{key}' has no row of marks"))
                .at(colour.span().clone())
                .cause("missing-row")
                .help(help),
        );
    }

    fn marks(&self, key: &str, marks: &str, here: Place, findings: &mut Findings) -> Vec<bool> {
        let mut row = Vec::new();
        for (i, c) in marks.char_indices() {
            match c {
                'x' | 'X' => row.push(true),
                '.' => row.push(false),
                c if c.is_whitespace() => {}
                c => {
                    row.push(false);
                    findings.push(
                        Diagnostic::error(
                            "bad-mark",
                            format!("'{}' is not a mark", c.escape_debug()),
                        )
                        .at(here.stretch(i..i + c.len_utf8()))
                        .help("write x for made and . for not made; spaces are ignored"),
                    );
                }
            }
        }
        if row.len() != self.columns.len() && !self.unsure {
            let list = if self.own_list { "made.parts" } else { "parts" };
            let (n, due) = (row.len(), self.columns.len());
            findings.push(
                Diagnostic::error(
                    "row-length",
                    format!(
                        "the row of '{key}' has {n} {}, but {list} has {due} parts",
                        if n == 1 { "mark" } else { "marks" }
                    ),
                )
                .at(here.span())
                .cause(format!("{n} of {due}"))
                .help(if n < due {
                    format!("add {}, one mark for each part in the order of {list}", due - n)
                } else {
                    format!(
                        "remove {}, to leave one mark for each part in the order of {list}",
                        n - due
                    )
                }),
            );
        }
        row
    }
}

fn years(
    raw: raw::Pairs<raw::Pairs<raw::Years>>,
    at: Place,
    index: &Index,
    findings: &mut Findings,
) -> Vec<MadeYears> {
    let mut out = Vec::new();
    for (i, (colour_key, list)) in raw.0.into_iter().enumerate() {
        let here = at.item(i);
        let colour = index.colours.find_at(&colour_key, here.key_span(), findings);
        for (j, (part_key, years)) in list.0.into_iter().enumerate() {
            let span = here.item(j);
            let part = index.parts.find_at(&part_key, span.key_span(), findings);
            let from = year(years.from, span.field("from"), findings);
            let to = year(years.to, span.field("to"), findings);
            if let (Some(f), Some(t)) = (from, to)
                && t < f
            {
                findings.push(
                    Diagnostic::error(
                        "year-order",
                        format!(
                            "the years of '{part_key}' in '{colour_key}' end in {t}, before they start in {f}"
                        ),
                    )
                    .at(span.field("to").span())
                    .help("correct one of the years"),
                );
            }
            if let (Some(colour), Some(part)) = (colour, part) {
                out.push(MadeYears { colour: ColourId(colour), part: PartId(part), from, to });
            }
        }
    }
    out
}
