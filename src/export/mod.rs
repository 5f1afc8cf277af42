//! A range written out again: as a workbook, or as CSV files, with a range
//! file that names them. Reading it back gives the same range.

mod cell;
mod csv;
mod range_file;
mod rows;
mod table;
mod xlsx;

use crate::range::{ColourRange, SheetSpec};

/// What the tables are written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum To {
    /// One workbook with three sheets.
    Xlsx,
    /// Three files.
    Csv,
}

/// A file of the export: its path inside the folder, and its bytes.
pub type ExportedFile = (String, Vec<u8>);

/// The range file and its tables. Shapes and the sheet are the caller's.
///
/// # Errors
/// The workbook could not be put together; a plain sentence gives the reason.
pub fn files(range: &ColourRange, sheet: &SheetSpec, to: To) -> Result<Vec<ExportedFile>, String> {
    let tables = rows::tables(range);
    let values = tables.iter().any(|t| t.name == rows::VALUES);
    let range_name = sheet.range_file().clone();
    // Tables are beside the range file.
    let folder = range_name.rfind('/').map_or("", |i| &range_name[..=i]);
    let mut out = vec![(range_name.clone(), range_file::text(range, to, values).into_bytes())];
    match to {
        To::Csv => {
            for table in &tables {
                out.push((format!("{folder}{}.csv", table.name), csv::bytes(table)?));
            }
        }
        To::Xlsx => out.push((format!("{folder}range.xlsx"), xlsx::bytes(&tables)?)),
    }
    Ok(out)
}
