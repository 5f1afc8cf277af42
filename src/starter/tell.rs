//! What was not understood: each column once, whatever the number of its cells.

use std::collections::BTreeMap;

use super::columns::{Column, Table};
use crate::diag::{Diagnostic, Findings, Span};
use crate::read::cells::CellKind;
use crate::read::cells::heads::spoiled;

/// The most columns that are reported separately.
const MOST: usize = 4;

/// Collects what is to be reported.
#[derive(Default)]
pub struct Tell {
    pub findings: Findings,
    /// By sheet, column and what became of the cells.
    cells: BTreeMap<(String, usize, &'static str), Cells>,
}

struct Cells {
    heading: String,
    first: String,
    span: Option<Span>,
    count: usize,
}

impl Tell {
    /// A cell that was not understood; `so` gives the consequence: 'these colours have no value'.
    pub fn cell(&mut self, table: &Table<'_>, column: &Column, row: usize, so: &'static str) {
        let sheet = table.grid.file.display().to_string();
        let cells = self.cells.entry((sheet, column.at, so)).or_insert_with(|| Cells {
            heading: table.named(column),
            first: table.grid.at(row, column.at).chars().take(60).collect(),
            span: table.grid.span(row, column.at),
            count: 0,
        });
        cells.count += 1;
    }

    /// The text of a cell; nothing, with a message, where a spreadsheet has lost it.
    pub fn text<'a>(&mut self, table: &Table<'a>, column: &Column, row: usize) -> &'a str {
        let grid = table.grid;
        let lost = grid.cell(row, column.at).is_some_and(|cell| match cell.kind {
            CellKind::Date | CellKind::Fault | CellKind::Unresolved => true,
            CellKind::Text | CellKind::Number | CellKind::DateLike => false,
        });
        if lost && spoiled(grid, row, column.at).is_some() {
            self.cell(
                table,
                column,
                row,
                "the spreadsheet turned them into dates or errors, so they are left out",
            );
            return "";
        }
        grid.at(row, column.at)
    }

    /// Everything collected so far, one message for each column.
    pub fn finish(mut self) -> Findings {
        let left = self.cells.len().saturating_sub(MOST);
        let mut more = Vec::new();
        for (n, ((sheet, _, so), cells)) in self.cells.into_iter().enumerate() {
            if left > 1 && n >= MOST {
                more.push((sheet, cells));
                continue;
            }
            let (are, them) = if cells.count == 1 {
                ("one cell".to_owned(), format!("'{}'", cells.first))
            } else {
                (format!("{} cells", cells.count), format!("'{}' first", cells.first))
            };
            self.findings.push(
                Diagnostic::warning(
                    "cells-not-understood",
                    format!("{are} of {} not understood, {them}: {so}", cells.heading),
                )
                .at(cells.span)
                .help("correct the cells there and run 'new' again, or fill in the new tables"),
            );
        }
        if let Some((_, first)) = more.first() {
            let count: usize = more.iter().map(|m| m.1.count).sum();
            let names: Vec<&str> = more.iter().take(8).map(|m| m.1.heading.as_str()).collect();
            let tail = if more.len() > 8 { " ..." } else { "" };
            self.findings.push(
                Diagnostic::warning(
                    "cells-not-understood",
                    format!(
                        "{count} cells of {} more columns not understood: {}{tail}",
                        more.len(),
                        names.join(", ")
                    ),
                )
                .at(first.span.clone())
                .help("correct the cells there and run 'new' again, or fill in the new tables"),
            );
        }
        self.findings
    }
}
