//! The table of places that a part-used sheet has used up: a column headed place, numbers from 1.

use std::collections::BTreeSet;
use std::path::Path;

use crate::diag::{Diagnostic, Findings, Sources};
use crate::read::cells;
use crate::read::cells::heads::{self, Head};
use crate::table::{Align, Table};

/// Reads the table; the places come from 0.
///
/// # Errors
/// Every line that names no place of a sheet with so many.
pub fn read(file: &Path, places: u64, sources: &mut Sources) -> Result<BTreeSet<u64>, Findings> {
    let grid = cells::read(file, None, None, sources)?;
    let mut findings = grid.remarks();
    let wanted = [Head::new("place", &["places", "used"]).needed()];
    let own = heads::Own::Renamed("name the column of used places 'place', once");
    let heads = heads::find(&grid, &wanted, own, &mut findings);
    let mut used = BTreeSet::new();
    if let Some(heads) = &heads {
        heads::surplus(&grid, heads, &mut findings);
    }
    if let Some(heads) = heads
        && let [Some(column)] = heads.columns[..]
    {
        for row in heads.rows(&grid) {
            if let Some(d) = heads::spoiled(&grid, row, column) {
                findings.push(d);
                continue;
            }
            let text = grid.at(row, column);
            match text.parse::<u64>().ok().filter(|n| (1..=places).contains(n)) {
                Some(n) => drop(used.insert(n - 1)),
                None => findings.push(
                    Diagnostic::error("bad-place", format!("'{text}' is not a place on the sheet"))
                        .at(grid.span(row, column))
                        .help(format!("write a number from 1 to {places}, counted along the rows")),
                ),
            }
        }
    }
    if findings.failed() { Err(findings) } else { Ok(used) }
}

/// The same as a CSV file.
pub fn csv(used: &BTreeSet<u64>) -> String {
    let mut table = Table::new(&[("place", Align::Right)]);
    used.iter().for_each(|p| table.row([(p + 1).to_string()]));
    table.csv()
}
