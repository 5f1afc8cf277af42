//! Tables: printed as aligned text, CSV and JSON.

use std::borrow::Cow;

use serde_json::{Map, Value};
use unicode_width::UnicodeWidthStr;

/// How a column is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Align {
    #[default]
    Left,
    Right,
}

/// A small table: one head, rows of the same length.
#[derive(Debug, Clone, Default)]
pub struct Table {
    head: Vec<String>,
    align: Vec<Align>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// A table with these column heads.
    pub fn new(head: &[(&str, Align)]) -> Table {
        Table {
            head: head.iter().map(|(h, _)| (*h).to_owned()).collect(),
            align: head.iter().map(|(_, a)| *a).collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row; missing cells stay empty, cells too many are dropped.
    pub fn row(&mut self, cells: impl IntoIterator<Item = impl Into<String>>) {
        let mut row: Vec<String> =
            cells.into_iter().map(Into::into).take(self.head.len()).collect();
        row.resize(self.head.len(), String::new());
        self.rows.push(row);
    }

    /// How many rows there are.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Has it no rows?
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// Columns aligned by what they take on a screen, two blanks apart, no blanks at line ends.
    pub fn text(&self) -> String {
        let lines = || std::iter::once(&self.head).chain(&self.rows);
        let widths: Vec<usize> = (0..self.head.len())
            .map(|i| lines().map(|r| r[i].width()).max().unwrap_or(0))
            .collect();
        let mut out = String::new();
        for row in lines() {
            let mut line = String::new();
            for (i, cell) in row.iter().enumerate() {
                let pad = " ".repeat(widths[i] - cell.width());
                line.push_str(if i == 0 { "" } else { "  " });
                match self.align[i] {
                    Align::Left => line.extend([cell.as_str(), &pad]),
                    Align::Right => line.extend([pad.as_str(), cell]),
                }
            }
            out.push_str(line.trim_end());
            out.push('\n');
        }
        out
    }

    /// Comma-separated values (RFC 4180, line ends LF).
    ///
    /// A text that a spreadsheet would take for a formula gets an apostrophe before it.
    pub fn csv(&self) -> String {
        let mut writer = csv::WriterBuilder::new().from_writer(Vec::new());
        for row in std::iter::once(&self.head).chain(&self.rows) {
            // Rows of one length, written to memory: there is nothing to fail.
            let _ = writer.write_record(row.iter().map(|cell| plain_text(cell).into_owned()));
        }
        String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
    }

    /// A list of objects, their keys in the order of the columns; right-aligned cells that are numbers become numbers.
    pub fn json(&self) -> Value {
        let object = |row: &Vec<String>| {
            let pairs = self.head.iter().zip(&self.align).zip(row);
            let map: Map<String, Value> = pairs
                .map(|((key, align), cell)| {
                    let number = (*align == Align::Right)
                        .then(|| cell.parse::<serde_json::Number>().ok())
                        .flatten();
                    (key.clone(), number.map_or_else(|| Value::String(cell.clone()), Value::Number))
                })
                .collect();
            Value::Object(map)
        };
        Value::Array(self.rows.iter().map(object).collect())
    }
}

/// A cell that no spreadsheet takes for a formula.
fn plain_text(cell: &str) -> Cow<'_, str> {
    let formula = cell.starts_with(['=', '+', '-', '@', '\t']) && cell.parse::<f64>().is_err();
    if formula { Cow::Owned(format!("'{cell}")) } else { Cow::Borrowed(cell) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn example() -> Table {
        let mut t = Table::new(&[("name", Align::Left), ("n", Align::Right)]);
        t.row(["Mermaid’s 真珠", "12"]);
        t.row(["a, \"b\""]);
        t.row(["=1+1", "-0.5", "dropped"]);
        t
    }

    #[test]
    fn text_is_aligned_by_screen_width() {
        assert_eq!(
            example().text(),
            "name               n\nMermaid’s 真珠    12\na, \"b\"\n=1+1            -0.5\n"
        );
    }

    #[test]
    fn csv_quotes_what_needs_it() {
        assert_eq!(example().csv(), "name,n\nMermaid’s 真珠,12\n\"a, \"\"b\"\"\",\n'=1+1,-0.5\n");
    }

    #[test]
    fn json_keeps_numbers() {
        let json = example().json();
        assert_eq!(json[0]["n"], 12);
        assert_eq!(json[1]["n"], "");
    }
}
