//! A CSV file, as a table of cells.

use std::path::Path;

use shadecard::diag::Sources;
use shadecard::limits::{self, Limits};
use shadecard::read::cells::{self, Grid};

use super::desk;
use super::told::{errors, told};

pub fn entry(bytes: &[u8]) -> String {
    grid(&desk::file("list.csv"), &mut desk::sources(&[("list.csv", bytes)]))
}

/// Reads a table by itself.
pub fn grid(file: &Path, sources: &mut Sources) -> String {
    match cells::read(file, None, None, sources) {
        Ok(grid) => {
            whole(&grid);
            format!("{} {}", grid.rows.len(), told(grid.notes, sources))
        }
        Err(fault) => errors(fault.into(), sources),
    }
}

/// Every cell is where it says.
fn whole(grid: &Grid) {
    assert!(grid.rows.len() <= Limits::default().most(limits::ROWS), "{} rows", grid.rows.len());
    let mut last = 0;
    for (r, row) in grid.rows.iter().enumerate() {
        assert!(row.len() <= Limits::default().most(limits::COLUMNS), "{} columns", row.len());
        for (c, cell) in row.iter().enumerate() {
            let range = cell.range();
            assert!(grid.text.get(range.clone()).is_some(), "cell {r},{c} outside: {range:?}");
            assert!(range.start >= last, "cell {r},{c} before the last one: {range:?}");
            last = range.start;
            let text = grid.at(r, c);
            assert_eq!(text, text.trim(), "blanks around cell {r},{c}");
        }
    }
}
