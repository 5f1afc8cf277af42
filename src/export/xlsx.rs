//! A workbook with a sheet for each table: numbers as numbers, all else as text, so that no number of a part loses
//! its zeros; headings stay in sight and are repeated on every printed page.

use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, FormatAlign, IgnoreError, Workbook, Worksheet, XlsxError,
};
use unicode_width::UnicodeWidthStr;

use super::cell::Cell;
use super::table::Table;

/// Least and greatest width of a column, in characters: longer texts go on beside or below it.
const WIDTHS: (usize, usize) = (5, 44);
/// White at both sides of the longest text, in characters; bold headings take a little more.
const PADDING: usize = 2;

pub fn bytes(tables: &[Table]) -> Result<Vec<u8>, String> {
    book(tables).map_err(|e| e.to_string())
}

fn book(tables: &[Table]) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    // The same range gives the same bytes on any day.
    let day = ExcelDateTime::from_ymd(2000, 1, 1)?;
    book.set_properties(&DocProperties::new().set_creation_datetime(&day));
    for table in tables {
        let sheet = book.add_worksheet();
        sheet.set_name(table.name)?;
        sheet.set_freeze_panes(1, 1)?;
        sheet.set_landscape().set_paper_size(A4).set_print_fit_to_pages(1, 0);
        sheet.set_repeat_rows(0, 0)?;
        (0..table.head.len()).try_for_each(|c| column(sheet, table, c))?;
        if let (Ok(last), Some(end)) =
            (u32::try_from(table.rows.len()), table.head.len().checked_sub(1))
        {
            // A part's number is meant as text: no marks in the corners of its cells.
            let warning = IgnoreError::NumberStoredAsText;
            sheet.ignore_error_range(0, 0, last, end as u16, warning)?;
        }
    }
    book.save_to_buffer()
}

/// Paper of a printed workbook, by its number in the file format (ECMA-376, ST_PageSetup: 9 is A4).
const A4: u8 = 9;

fn column(sheet: &mut Worksheet, table: &Table, c: usize) -> Result<(), XlsxError> {
    let cells = || table.rows.iter().map(move |row| &row[c]);
    let kind = CellForm::of(cells());
    let longest = cells().map(|cell| cell.to_string().width()).max().unwrap_or(0);
    let width = longest.max(table.head[c].width() + 1) + PADDING;
    sheet.set_column_width(c as u16, width.clamp(WIDTHS.0, WIDTHS.1) as f64)?;
    let body = kind.format();
    sheet.set_column_format(c as u16, &body)?;
    let head = kind.aligned().set_bold();
    sheet.write_string_with_format(0, c as u16, &table.head[c], &head)?;
    for (r, cell) in (1..).zip(cells()) {
        match cell {
            Cell::Empty => {}
            Cell::Text(text) => drop(sheet.write_string_with_format(r, c as u16, text, &body)?),
            Cell::Number(n) => drop(sheet.write_number_with_format(r, c as u16, *n, &body)?),
        }
    }
    Ok(())
}

/// What a column holds.
#[derive(Clone, Copy, PartialEq, Eq)]
enum CellForm {
    Text,
    /// Numbers alone, or numbers and sizes such as 15 × 5.
    Numbers,
    Crosses,
}

impl CellForm {
    fn of<'a>(cells: impl Iterator<Item = &'a Cell> + Clone) -> CellForm {
        let filled = || cells.clone().filter(|c| !c.is_empty());
        if filled().any(|c| matches!(c, Cell::Number(_))) {
            return CellForm::Numbers;
        }
        let crosses = filled().any(|c| *c == Cell::Text("x".to_owned()));
        if crosses { CellForm::Crosses } else { CellForm::Text }
    }

    fn aligned(self) -> Format {
        match self {
            CellForm::Text => Format::new().set_align(FormatAlign::Left),
            // Numbers keep clear of the text in the next column.
            CellForm::Numbers => Format::new().set_align(FormatAlign::Right).set_indent(1),
            CellForm::Crosses => Format::new().set_align(FormatAlign::Center),
        }
    }

    /// Text is marked as such, so that what is typed later keeps its zeros too.
    fn format(self) -> Format {
        let format = self.aligned();
        if self == CellForm::Numbers { format } else { format.set_num_format("@") }
    }
}
