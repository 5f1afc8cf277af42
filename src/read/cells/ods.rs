//! A look at an ODS file's repeats before the library expands them: a few
//! bytes can stand for a million rows.

use std::io::BufRead;

use quick_xml::events::Event;

/// Are the cells that hold something within (rows, columns, cells)? Else says which are not.
pub fn within(from: impl BufRead, most: (usize, usize, usize)) -> Result<(), String> {
    let mut reader = quick_xml::Reader::from_reader(from);
    let mut buf = Vec::new();
    let (mut rows, mut cells) = (0usize, 0usize);
    let mut pending_rows = 0usize;
    let mut row = Row::default();
    let mut in_cell = None;
    loop {
        // What is no XML has its message from the library.
        let Ok(event) = reader.read_event_into(&mut buf) else { return Ok(()) };
        match &event {
            Event::Start(e) | Event::Empty(e) => {
                let empty = matches!(event, Event::Empty(_));
                match e.local_name().as_ref() {
                    "table" => (rows, pending_rows) = (0, 0),
                    "table-row" => {
                        row =
                            Row { repeated: repeated(e, "number-rows-repeated"), ..Row::default() };
                        if empty {
                            pending_rows = pending_rows.saturating_add(row.repeated);
                        }
                    }
                    "table-cell" | "covered-table-cell" => {
                        let count = repeated(e, "number-columns-repeated");
                        if empty {
                            row.cell(count, false);
                        } else {
                            in_cell = Some((count, false));
                        }
                    }
                    // Whatever else stands in a cell fills it.
                    _ => in_cell = in_cell.map(|(count, _)| (count, true)),
                }
            }
            Event::End(e) => match e.local_name().as_ref() {
                "table-cell" | "covered-table-cell" => {
                    if let Some((count, filled)) = in_cell.take() {
                        row.cell(count, filled);
                    }
                }
                "table-row" if row.filled == 0 => {
                    pending_rows = pending_rows.saturating_add(row.repeated);
                }
                "table-row" => {
                    rows = rows.saturating_add(pending_rows).saturating_add(row.repeated);
                    pending_rows = 0;
                    cells = cells.saturating_add(row.filled.saturating_mul(row.repeated));
                    if rows > most.0 {
                        return Err(format!("more than {} rows", most.0));
                    }
                    if row.width > most.1 {
                        return Err(format!("more than {} columns", most.1));
                    }
                    if cells > most.2 {
                        return Err(format!("more than {} cells", most.2));
                    }
                }
                _ => {}
            },
            Event::Eof => return Ok(()),
            _ => {}
        }
        buf.clear();
    }
}

#[derive(Default)]
struct Row {
    repeated: usize,
    /// Cells up to here, and up to the last one that holds something.
    at: usize,
    width: usize,
    filled: usize,
}

impl Row {
    fn cell(&mut self, count: usize, filled: bool) {
        self.at = self.at.saturating_add(count);
        if filled {
            self.width = self.at;
            self.filled = self.filled.saturating_add(count);
        }
    }
}

fn repeated(e: &quick_xml::events::BytesStart<'_>, name: &str) -> usize {
    e.attributes()
        .with_checks(false)
        .flatten()
        .find(|a| a.key.local_name().as_ref() == name)
        .and_then(|a| a.value.parse().ok())
        .unwrap_or(1)
}
