//! Tables of measured values: CSV files and workbooks, a sample a row, by their headings.
//!
//! A row goes by its key, its number or its name. Its value is in the columns L*, a*, b*; in X, Y, Z; in
//! columns of wavelengths ('400', '400 nm', 'SPECTRAL_NM400'); or in one column, as a range file writes it.

use super::conditions::Conditions;
use super::sample::{Sample, Scales, Spectrum, brief};
use super::wavelengths::{Bands, bands, wavelength};
use crate::diag::{Diagnostic, Findings, Located, Severity};
use crate::read::cells::Grid;
use crate::read::cells::heads::{
    Head, Heads, Mapping, Own, find, mapped, spoiled, surplus, targets, unknown,
};
use crate::read::raw;
use crate::read::table::{parse_decimal, parse_value};

/// The columns, in the order of [`Columns`].
fn wanted() -> Vec<Head> {
    vec![
        Head::new("colour", &["color", "key", "colour key"]),
        Head::new("number", &["id", "sample id", "sample number", "no", "nr"]),
        Head::new("name", &["sample", "sample name", "colour name", "color name"]),
        Head::new("L*", &["lab l", "lab_l"]),
        Head::new("a*", &["lab a", "lab_a"]),
        Head::new("b*", &["lab b", "lab_b"]),
        Head::new("X", &["xyz x", "xyz_x"]),
        Head::new("Y", &["xyz y", "xyz_y"]),
        Head::new("Z", &["xyz z", "xyz_z"]),
        Head::new("value", &["spectrum"]),
        Head::new("spread", &["spread dE00", "mean_de", "mcdm"]),
        Head::new("readings", &["count", "n", "how many"]),
        Head::new("source", &["photograph", "file", "measured from"]),
        Head::new("note", &["remark"]),
        Head::new("light", &["illuminant"]),
        Head::new("observer", &[]),
    ]
}

/// The samples of a table; none where its headings are of no use.
pub fn samples(
    grid: &Grid,
    own: &[Mapping],
    findings: &mut Findings,
) -> Option<(Vec<Sample>, Scales)> {
    let wanted = wanted();
    targets(own, &wanted, &|text| wavelength(text).is_some(), findings);
    let mut heads = find(grid, &wanted, Own::Mapped(own), findings)?;
    surplus(grid, &heads, findings);
    let columns = Columns::of(grid, &mut heads, own, findings)?;
    unknown(grid, &heads, &wanted, &[], findings);
    let samples = heads.rows(grid).filter_map(|row| {
        let mut row = Row { grid, row, findings, failed: false };
        columns.sample(&mut row)
    });
    // A value that is written as in a range file is on its scale.
    let one = columns.spectrum.is_none() && columns.value.is_some();
    Some((samples.collect(), Scales { spectrum: one.then_some(1.0), ..Scales::default() }))
}

/// Where a table has what of a sample.
struct Columns {
    names: Vec<usize>,
    lab: Option<[usize; 3]>,
    xyz: Option<[usize; 3]>,
    spectrum: Option<Bands>,
    value: Option<usize>,
    spread: Option<usize>,
    readings: Option<usize>,
    source: Option<usize>,
    note: Option<usize>,
    light: Option<usize>,
    observer: Option<usize>,
}

impl Columns {
    fn of(
        grid: &Grid,
        heads: &mut Heads,
        own: &[Mapping],
        findings: &mut Findings,
    ) -> Option<Columns> {
        let at = |i: usize| heads.columns.get(i).copied().flatten();
        let three = |i: usize| Some([at(i)?, at(i + 1)?, at(i + 2)?]);
        let mut columns = Columns {
            names: (0..3).filter_map(at).collect(),
            lab: three(3),
            xyz: three(6),
            spectrum: None,
            value: at(9),
            spread: at(10),
            readings: at(11),
            source: at(12),
            note: at(13),
            light: at(14),
            observer: at(15),
        };
        columns.spectrum = spectrum(grid, heads, own, findings)?;
        let values = columns.lab.is_some()
            || columns.xyz.is_some()
            || columns.spectrum.is_some()
            || columns.value.is_some();
        let missing = match (columns.names.is_empty(), values) {
            (false, true) => return Some(columns),
            (true, _) => ("colours", "colour", "of the colours' keys, numbers or names"),
            (false, false) => (
                "measured values",
                "L*",
                "L*, a* and b*, or X, Y and Z, or one for each wavelength, such as '400 nm'",
            ),
        };
        let (what, example, list) = missing;
        let message = format!("this table has no column of {what}");
        let help = format!(
            "add columns {list}, or map yours: headings: {{\"your heading\": \"{example}\"}}"
        );
        let at = grid.span(heads.row, 0);
        findings.push(Diagnostic::error("missing-column", message).at(at).help(help));
        None
    }

    fn sample(&self, row: &mut Row<'_>) -> Option<Sample> {
        let names: Vec<Located<String>> = self
            .names
            .iter()
            .map(|c| Located::new(row.text(*c).unwrap_or_default(), row.span(*c)))
            .collect();
        let spectrum = match &self.spectrum {
            Some(Bands { columns, from, step }) => {
                let values = row.numbers(columns);
                values.map(|values| Spectrum { from: *from, step: *step, values })
            }
            None => None,
        };
        let three = |row: &mut Row<'_>, at: Option<[usize; 3]>| {
            row.numbers(&at?).and_then(|list| <[f64; 3]>::try_from(list).ok())
        };
        let mut sample = Sample { spectrum, ..Sample::default() };
        sample.lab = three(row, self.lab);
        sample.xyz = three(row, self.xyz);
        row.value(self.value, &mut sample);
        let none = sample.lab.is_none() && sample.xyz.is_none() && sample.spectrum.is_none();
        // A row that is still to be filled in is no fault.
        if none || row.failed {
            return None;
        }
        if names.iter().all(|n| n.is_empty()) {
            row.fault(
                0,
                "missing-field",
                "this row names no colour".into(),
                "write the key, the number or the name of its colour",
            );
            return None;
        }
        sample.names = names;
        sample.at = self.first(row).and_then(|c| row.span(c));
        sample.viewed = self.viewed(row);
        sample.spread = self.spread.and_then(|c| row.number(c));
        sample.readings = self.readings.and_then(|c| row.whole(c));
        sample.source = self.source.and_then(|c| row.plain(c));
        sample.note = self.note.and_then(|c| row.plain(c));
        if let (Some(column), Some(spread)) = (self.spread, sample.spread)
            && spread < 0.0
        {
            row.fault(
                column,
                "wrong-value",
                format!("the spread must not be {spread}"),
                "write 0 or more",
            );
        }
        (!row.failed).then_some(sample)
    }

    /// The first cell of the value that is used.
    fn first(&self, row: &Row<'_>) -> Option<usize> {
        let of = [
            self.spectrum.as_ref().and_then(|s| s.columns.first().copied()),
            self.value,
            self.lab.map(|l| l[0]),
            self.xyz.map(|x| x[0]),
        ];
        of.into_iter().flatten().find(|c| !row.grid.at(row.row, *c).is_empty())
    }

    fn viewed(&self, row: &mut Row<'_>) -> Located<Conditions> {
        let mut viewed = Located::<Conditions>::default();
        if let Some((column, text)) = self.light.and_then(|c| Some((c, row.plain(c)?))) {
            viewed.set_light_at(&text, row.span(column));
        }
        if let Some((column, text)) = self.observer.and_then(|c| Some((c, row.plain(c)?))) {
            viewed.set_observer_at(&text, row.span(column));
        }
        viewed
    }
}

/// Takes the columns of wavelengths out of those that nobody wanted. Outer none: they are of no use.
fn spectrum(
    grid: &Grid,
    heads: &mut Heads,
    own: &[Mapping],
    findings: &mut Findings,
) -> Option<Option<Bands>> {
    let mut list: Vec<(f64, usize)> = Vec::new();
    heads.others.retain(|(column, heading)| {
        let found = wavelength(mapped(heading, own));
        list.extend(found.map(|nm| (nm, *column)));
        found.is_none()
    });
    let Some((_, first)) = list.first().copied() else { return Some(None) };
    let Some(bands) = bands(list) else {
        let message = "the wavelengths of these columns are not evenly spaced";
        let fault = Diagnostic::error("uneven-spectrum", message).at(grid.span(heads.row, first));
        findings.push(fault.help("export the table with a fixed step, such as 10 nm"));
        return None;
    };
    Some(Some(bands))
}

/// One row while it is read.
struct Row<'a> {
    grid: &'a Grid,
    row: usize,
    findings: &'a mut Findings,
    failed: bool,
}

impl Row<'_> {
    fn span(&self, column: usize) -> Option<crate::diag::Span> {
        self.grid.span(self.row, column)
    }

    fn fault(&mut self, column: usize, code: &'static str, message: String, help: &str) {
        let at = self.span(column);
        self.findings.push(Diagnostic::error(code, message).at(at).help(help));
        self.failed = true;
    }

    /// What is in a cell, whatever a spreadsheet took it for.
    fn plain(&self, column: usize) -> Option<String> {
        Some(self.grid.at(self.row, column)).filter(|t| !t.is_empty()).map(str::to_owned)
    }

    /// The text of a cell that a spreadsheet has not spoiled.
    fn text(&mut self, column: usize) -> Option<String> {
        let text = self.plain(column)?;
        if let Some(fault) = spoiled(self.grid, self.row, column) {
            let lost = fault.severity == Severity::Error;
            self.findings.push(fault);
            self.failed |= lost;
        }
        Some(text)
    }

    fn number(&mut self, column: usize) -> Option<f64> {
        let text = self.text(column)?;
        let number = parse_decimal(&text);
        if number.is_none() && !self.failed {
            self.fault(
                column,
                "wrong-value",
                format!("'{}' is not a number", brief(&text)),
                "write digits only",
            );
        }
        number
    }

    /// A count of at least 1.
    fn whole(&mut self, column: usize) -> Option<usize> {
        let text = self.text(column)?;
        let digits = text.trim_end_matches('0').strip_suffix('.').unwrap_or(&text);
        let number = digits.parse().ok().filter(|n| *n > 0);
        if number.is_none() {
            let message = format!("'{}' is not a number of readings", brief(&text));
            self.fault(column, "wrong-value", message, "write a whole number, 1 or more");
        }
        number
    }

    /// The numbers of some columns; none where all of them are empty, or one has a fault.
    fn numbers(&mut self, columns: &[usize]) -> Option<Vec<f64>> {
        let empty: Vec<usize> =
            columns.iter().copied().filter(|c| self.grid.at(self.row, *c).is_empty()).collect();
        if empty.len() == columns.len() {
            return None;
        }
        if let Some(first) = empty.first() {
            self.fault(
                *first,
                "missing-value",
                "this measured value is incomplete".into(),
                "fill in the cell, or empty all of the value's cells",
            );
            return None;
        }
        columns.iter().map(|c| self.number(*c)).collect()
    }

    /// A value as a range file writes it.
    fn value(&mut self, column: Option<usize>, sample: &mut Sample) {
        let Some((column, text)) = column.and_then(|c| Some((c, self.text(c)?))) else { return };
        match parse_value(&text) {
            Some(raw::Value::Lab(raw::Lab(l, a, b))) => sample.lab = Some([l, a, b]),
            Some(raw::Value::Spectrum(raw::Spectrum {
                from: Some(from),
                step,
                values: Some(values),
            })) => {
                sample.spectrum = Some(Spectrum { from, step: step.unwrap_or(10.0), values });
            }
            _ => {
                let message = format!("'{}' is not a measured value", brief(&text));
                let help = "write Lab(l, a, b) or Spectrum(from: 400, step: 10, values: [...]), or use columns L*, a* and b*";
                self.fault(column, "wrong-value", message, help);
            }
        }
    }
}
