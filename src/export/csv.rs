//! CSV: UTF-8 with a mark, since some spreadsheets know it by nothing else.

use super::cell::Cell;
use super::table::Table;

pub fn bytes(table: &Table) -> Result<Vec<u8>, String> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer("\u{feff}".as_bytes().to_vec());
    let rows = table.rows.iter().map(|row| row.iter().map(Cell::to_string).collect());
    for row in std::iter::once(table.head.clone()).chain(rows) {
        writer.write_record(row).map_err(|e| e.to_string())?;
    }
    writer.into_inner().map_err(|e| e.to_string())
}
