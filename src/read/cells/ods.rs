//! A look at an ODS file's cells before the library expands their repeats: a few
//! bytes can stand for a million rows, or for gigabytes of blanks.

use std::io::BufRead;

use quick_xml::events::{BytesStart, Event};

/// How much there may be.
#[derive(Debug, Clone, Copy)]
pub struct Most {
    pub rows: usize,
    pub columns: usize,
    /// That hold something.
    pub cells: usize,
    /// What all sheets take up once repeats are written out.
    pub bytes: usize,
}

/// A formula that was saved without its result.
#[derive(Debug, PartialEq, Eq)]
pub struct Unresolved {
    pub sheet: String,
    pub row: u32,
    pub column: u32,
}

/// Why the cells are not read.
#[derive(Debug, PartialEq, Eq)]
pub enum Refused {
    /// More than so much.
    TooMuch(String),
    /// It is not XML, or ends before its elements do: the library would look for their ends for ever.
    Broken,
}

/// The most formulas without results that are noted.
const MOST_UNRESOLVED: usize = 100_000;
/// What a cell takes up besides its text: its value and its formula, as the library keeps them.
const CELL: usize = 56;

/// Checks the cells.
///
/// # Errors
/// There is too much, or the file is damaged.
pub fn look(from: impl BufRead, most: Most) -> Result<Vec<Unresolved>, Refused> {
    let mut reader = quick_xml::Reader::from_reader(from);
    let mut buf = Vec::new();
    let mut look = Look::new(most);
    let mut depth = 0usize;
    loop {
        let event = reader.read_event_into(&mut buf).map_err(|_| Refused::Broken)?;
        match &event {
            Event::Start(e) => {
                depth += 1;
                look.start(e, false).map_err(Refused::TooMuch)?;
            }
            Event::Empty(e) => look.start(e, true).map_err(Refused::TooMuch)?,
            Event::End(e) => {
                depth = depth.saturating_sub(1);
                look.end(e.local_name().as_ref()).map_err(Refused::TooMuch)?;
            }
            Event::Text(t) => look.text(t.len()),
            Event::CData(t) => look.text(t.len()),
            // One character, whatever its name.
            Event::GeneralRef(_) => look.text(4),
            Event::Eof if depth > 0 => return Err(Refused::Broken),
            Event::Eof => break,
            _ => {}
        }
        buf.clear();
    }
    Ok(look.unresolved)
}

struct Look {
    most: Most,
    sheet: String,
    /// Rows of this sheet up to the last that holds something, and empty ones behind it.
    rows: usize,
    pending_rows: usize,
    /// Columns of this sheet.
    columns: usize,
    /// Of all sheets.
    cells: usize,
    /// Of all sheets, this one's rectangle not yet among them.
    bytes: usize,
    row: Row,
    cell: Option<InCell>,
    unresolved: Vec<Unresolved>,
}

#[derive(Default)]
struct Row {
    repeated: usize,
    /// Cells up to here, and up to the last one that holds something.
    at: usize,
    width: usize,
    filled: usize,
    bytes: usize,
}

struct InCell {
    count: usize,
    filled: bool,
    /// Has a formula, and no value or text.
    unresolved: bool,
    bytes: usize,
}

impl Look {
    fn new(most: Most) -> Look {
        Look {
            most,
            sheet: String::new(),
            rows: 0,
            pending_rows: 0,
            columns: 0,
            cells: 0,
            bytes: 0,
            row: Row::default(),
            cell: None,
            unresolved: Vec::new(),
        }
    }

    fn start(&mut self, e: &BytesStart<'_>, empty: bool) -> Result<(), String> {
        match e.local_name().as_ref() {
            "table" => {
                (self.rows, self.pending_rows, self.columns) = (0, 0, 0);
                self.sheet = attribute(e, "name").unwrap_or_default();
            }
            "table-row" => {
                self.row = Row { repeated: count(e, "number-rows-repeated"), ..Row::default() };
                if empty {
                    self.row_ends()?;
                }
            }
            "table-cell" | "covered-table-cell" => {
                self.cell = Some(in_cell(e));
                if empty {
                    self.cell_ends();
                }
            }
            name => {
                // Anything else in a cell fills it.
                if let Some(cell) = &mut self.cell {
                    cell.filled = true;
                    if name == "s" {
                        cell.bytes = cell.bytes.saturating_add(count(e, "c"));
                    }
                }
            }
        }
        Ok(())
    }

    fn text(&mut self, bytes: usize) {
        if let Some(cell) = &mut self.cell {
            cell.bytes = cell.bytes.saturating_add(bytes);
        }
    }

    fn end(&mut self, name: &str) -> Result<(), String> {
        match name {
            "table-cell" | "covered-table-cell" => self.cell_ends(),
            "table-row" => self.row_ends()?,
            "table" => {
                self.bytes = self.bytes.saturating_add(self.rectangle());
                (self.rows, self.columns) = (0, 0);
            }
            _ => {}
        }
        Ok(())
    }

    fn cell_ends(&mut self) {
        let Some(cell) = self.cell.take() else { return };
        let (row, column) = (self.rows.saturating_add(self.pending_rows), self.row.at);
        self.row.at = column.saturating_add(cell.count);
        if cell.filled {
            self.row.width = self.row.at;
            self.row.filled = self.row.filled.saturating_add(cell.count);
            self.row.bytes = self.row.bytes.saturating_add(cell.bytes.saturating_mul(cell.count));
        }
        let room = self.unresolved.len() < MOST_UNRESOLVED;
        if let (true, true, Ok(row), Ok(column)) =
            (cell.unresolved && cell.bytes == 0, room, row.try_into(), column.try_into())
        {
            self.unresolved.push(Unresolved { sheet: self.sheet.clone(), row, column });
        }
    }

    fn row_ends(&mut self) -> Result<(), String> {
        let row = std::mem::take(&mut self.row);
        if row.filled == 0 {
            self.pending_rows = self.pending_rows.saturating_add(row.repeated);
            return Ok(());
        }
        self.rows = self.rows.saturating_add(self.pending_rows).saturating_add(row.repeated);
        self.pending_rows = 0;
        self.columns = self.columns.max(row.width);
        self.cells = self.cells.saturating_add(row.filled.saturating_mul(row.repeated));
        self.bytes = self.bytes.saturating_add(row.bytes.saturating_mul(row.repeated));
        let most = self.most;
        for (found, most, what) in [
            (self.rows, most.rows, "rows"),
            (row.width, most.columns, "columns"),
            (self.cells, most.cells, "cells"),
        ] {
            if found > most {
                return Err(format!("more than {most} {what}"));
            }
        }
        if self.bytes.saturating_add(self.rectangle()) > most.bytes {
            return Err(super::grid::too_many_bytes(most.bytes));
        }
        Ok(())
    }

    /// What the cells of this sheet take up, the empty ones among them too.
    fn rectangle(&self) -> usize {
        self.rows.saturating_mul(self.columns).saturating_mul(CELL)
    }
}

fn in_cell(e: &BytesStart<'_>) -> InCell {
    let (mut formula, mut value, mut bytes) = (false, false, 0usize);
    for a in e.attributes().with_checks(false).flatten() {
        match a.key.local_name().as_ref() {
            "formula" => formula = true,
            "value-type" | "value" | "string-value" | "date-value" | "time-value"
            | "boolean-value" => {
                value = true;
                bytes = bytes.saturating_add(a.value.len());
            }
            _ => continue,
        }
    }
    let filled = formula || value;
    InCell {
        count: count(e, "number-columns-repeated"),
        filled,
        unresolved: formula && !value,
        bytes,
    }
}

fn attribute(e: &BytesStart<'_>, name: &str) -> Option<String> {
    let mut attributes = e.attributes();
    let mut all = attributes.with_checks(false).flatten();
    let found = all.find(|a| a.key.local_name().as_ref() == name)?;
    Some(quick_xml::escape::unescape(&found.value).ok()?.into_owned())
}

/// A number of repeats; 1 where it is not given.
fn count(e: &BytesStart<'_>, name: &str) -> usize {
    let mut attributes = e.attributes();
    let mut all = attributes.with_checks(false).flatten();
    let found = all.find(|a| a.key.local_name().as_ref() == name);
    found.and_then(|a| a.value.parse().ok()).unwrap_or(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    const MOST: Most = Most { rows: 1_000, columns: 100, cells: 5_000, bytes: 1 << 20 };

    fn looked(rows: &str) -> Result<Vec<Unresolved>, String> {
        let table = format!("<table:table table:name='S'>{rows}</table:table>");
        look(table.as_bytes(), MOST).map_err(|refused| match refused {
            Refused::TooMuch(what) => what,
            Refused::Broken => "broken".into(),
        })
    }

    #[test]
    fn elements_that_do_not_end_are_no_table() {
        for rows in ["<table:table-row>", "<table:table-row", "<a><b></a></b>", "</table:table>"] {
            assert_eq!(looked(rows).unwrap_err(), "broken", "{rows}");
        }
    }

    #[test]
    fn what_a_few_bytes_stand_for_is_counted() {
        let cell = |inner: &str| format!("<table:table-row>{inner}</table:table-row>");
        let blanks = "<table:table-cell office:value-type='string'><text:p><text:s text:c='2000000000'/></text:p></table:table-cell>";
        assert!(looked(&cell(blanks)).unwrap_err().contains("MB"));
        let long = format!(
            "<table:table-row table:number-rows-repeated='50'><table:table-cell table:number-columns-repeated='50'><text:p>{}</text:p></table:table-cell></table:table-row>",
            "x".repeat(1_000)
        );
        assert!(looked(&long).unwrap_err().contains("MB"));
        // Empty cells before one that is not are cells, too.
        let far = "<table:table-cell table:number-columns-repeated='99'/><table:table-cell><text:p>x</text:p></table:table-cell>";
        let far =
            format!("<table:table-row table:number-rows-repeated='999'>{far}</table:table-row>");
        assert!(looked(&far).unwrap_err().contains("MB"));
        let many = "<table:table-row table:number-rows-repeated='1001'><table:table-cell><text:p>x</text:p></table:table-cell></table:table-row>";
        assert_eq!(looked(many).unwrap_err(), "more than 1000 rows");
        let empty = "<table:table-row table:number-rows-repeated='1000000'><table:table-cell table:number-columns-repeated='16384'/></table:table-row>";
        assert_eq!(looked(empty), Ok(Vec::new()));
    }

    #[test]
    fn formulas_without_results_are_found() {
        let rows = "<table:table-row table:number-rows-repeated='2'><table:table-cell/></table:table-row>\
            <table:table-row><table:table-cell table:number-columns-repeated='3'/>\
            <table:table-cell table:formula='of:=1+1'/>\
            <table:table-cell table:formula='of:=1+1' office:value-type='float' office:value='2'><text:p>2</text:p></table:table-cell>\
            </table:table-row>";
        let found = looked(rows).unwrap();
        assert_eq!(found, [Unresolved { sheet: "S".into(), row: 2, column: 3 }]);
    }
}
