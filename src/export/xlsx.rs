//! A workbook with a sheet for each table; every cell is text, so that no
//! number loses its zeros.

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, XlsxError};

use super::Table;

/// Widest column, in characters.
const WIDEST: usize = 40;

pub fn bytes(tables: &[Table]) -> Result<Vec<u8>, String> {
    book(tables).map_err(|e| e.to_string())
}

fn book(tables: &[Table]) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    // The same range gives the same bytes on any day.
    let day = ExcelDateTime::from_ymd(2000, 1, 1)?;
    book.set_properties(&DocProperties::new().set_creation_datetime(&day));
    let head = Format::new().set_bold();
    let text = Format::new().set_num_format("@");
    for table in tables {
        let sheet = book.add_worksheet();
        sheet.set_name(table.name)?;
        sheet.set_freeze_panes(1, 1)?;
        let columns = table.rows.first().map_or(0, Vec::len);
        for c in 0..columns {
            let widest = table.rows.iter().map(|r| r[c].chars().count()).max().unwrap_or(0);
            sheet.set_column_width(c as u16, (widest + 2).clamp(4, WIDEST) as f64)?;
            sheet.set_column_format(c as u16, &text)?;
        }
        for (r, row) in table.rows.iter().enumerate() {
            for (c, cell) in row.iter().enumerate().filter(|(_, cell)| !cell.is_empty()) {
                let format = if r == 0 { &head } else { &text };
                sheet.write_string_with_format(r as u32, c as u16, cell, format)?;
            }
        }
    }
    book.save_to_buffer()
}
