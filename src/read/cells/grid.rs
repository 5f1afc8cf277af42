//! The cells of a table, and what collects them.

use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

use crate::diag::{Diagnostic, Findings, Span};
use crate::limits::{self, Limits};

/// One cell: blanks around it do not count.
#[derive(Debug, Clone)]
pub struct Cell {
    pub(super) start: u32,
    pub(super) end: u32,
    /// Its text where the file writes it otherwise: quotes doubled, blanks around it.
    pub(super) own: Option<Box<str>>,
    /// What the spreadsheet made of it.
    pub kind: CellKind,
}

/// What a spreadsheet took a cell for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CellKind {
    Text,
    Number,
    /// Text that was typed is lost: 10-12 has become the tenth of December.
    Date,
    /// A text of a CSV file that may have been made from something else.
    DateLike,
    /// A formula that came to nothing, `#REF!`.
    Fault,
    /// A formula that was saved without its result.
    Unresolved,
}

impl Cell {
    /// Where it is in the text of its grid.
    pub fn range(&self) -> Range<usize> {
        self.start as usize..self.end as usize
    }
}

/// The cells of one table.
#[derive(Debug)]
pub struct Grid {
    /// The file; for a workbook with the sheet's name behind it.
    pub file: Arc<Path>,
    pub text: Arc<str>,
    /// Rows as written, empty ones included; rows may differ in length.
    pub rows: Vec<Vec<Cell>>,
    /// Found on the way; nothing that stops the reading.
    pub notes: Findings,
    /// Columns whose numbers were read without the .0 that all of them have.
    pub floats: Findings,
    /// Cells are parted by a sign, so that one sign too many moves all that follow.
    pub parted: bool,
}

impl Grid {
    /// All that was found on the way.
    pub fn remarks(&self) -> Findings {
        let mut all = self.notes.clone();
        all.extend(self.floats.clone());
        all
    }

    /// The text of a cell; empty where there is none.
    pub fn at(&self, row: usize, column: usize) -> &str {
        self.cell(row, column).map_or("", |c| self.text_of(c))
    }

    /// A cell, if the row is that long.
    pub fn cell(&self, row: usize, column: usize) -> Option<&Cell> {
        self.rows.get(row)?.get(column)
    }

    /// What is written in a cell.
    pub fn text_of<'a>(&'a self, cell: &'a Cell) -> &'a str {
        cell.own.as_deref().unwrap_or(&self.text[cell.range()])
    }

    /// The place of a cell; the row's end where the row is too short.
    pub fn span(&self, row: usize, column: usize) -> Option<Span> {
        let cells = self.rows.get(row)?;
        let range = match cells.get(column) {
            Some(cell) => cell.range(),
            None => cells.last().map_or(0..0, |c| c.end as usize..c.end as usize),
        };
        Some(Span { file: self.file.clone(), range })
    }

    /// Has the row anything in it?
    pub fn is_empty(&self, row: usize) -> bool {
        self.rows.get(row).is_none_or(|r| r.iter().all(|c| self.text_of(c).is_empty()))
    }
}

/// The file of a table as a whole.
pub(super) struct Whole<'a> {
    pub(super) file: &'a Path,
    /// Where faults are reported that have no place in it.
    pub(super) place: Option<Span>,
    pub(super) limits: Limits,
}

impl Whole<'_> {
    /// Of what there is too much if a cell is added in this row and column (from 0) to so many others.
    pub(super) fn beyond(&self, row: usize, column: usize, cells: usize) -> Option<String> {
        [
            (row, limits::ROWS, "rows"),
            (column, limits::COLUMNS, "columns"),
            (cells, limits::CELLS, "cells"),
        ]
        .into_iter()
        .map(|(count, limit, what)| (count, self.limits.most(limit), what))
        .find(|(count, most, _)| count >= most)
        .map(|(_, most, what)| format!("more than {most} {what}"))
    }

    /// The message for a table beyond the limits.
    pub(super) fn too_large(&self, what: &str) -> Diagnostic {
        Diagnostic::error("table-too-large", format!("'{}' has {what}", self.file.display()))
            .at(self.place.clone())
            .help(self.limits.or_raise("delete everything outside the list, or split the list"))
    }
}

/// What is said of a table that takes up more than so many bytes.
pub(super) fn too_many_bytes(most: usize) -> String {
    format!("more than {} MB of cells", most >> 20)
}

/// Collects cells and the text that contains them.
#[derive(Default)]
pub(super) struct Builder {
    pub(super) text: String,
    pub(super) rows: Vec<Vec<Cell>>,
}

impl Builder {
    /// Adds a cell behind the last one of the last row.
    pub(super) fn push(&mut self, value: &str, kind: CellKind) {
        let Some(row) = self.rows.last_mut() else { return };
        if !row.is_empty() {
            self.text.push('\t');
        }
        let start = self.text.len() as u32;
        let value = value.trim_matches(is_blank);
        self.text.extend(value.chars().map(|c| if c.is_control() { ' ' } else { c }));
        let own = (self.text[start as usize..] != *value).then(|| value.into());
        row.push(Cell { start, end: self.text.len() as u32, own, kind });
    }

    /// Starts rows until there are `count`.
    pub(super) fn rows_until(&mut self, count: usize) {
        while self.rows.len() < count {
            if !self.rows.is_empty() {
                self.text.push('\n');
            }
            self.rows.push(Vec::new());
        }
    }
}

/// Blanks that do not count around a cell, the no-break space among them.
pub(super) fn is_blank(c: char) -> bool {
    c.is_whitespace() || c == '\u{feff}' || c == '\u{200b}'
}
