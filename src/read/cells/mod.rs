//! Spreadsheets: a CSV, XLSX or ODS file as rows of cells with places.
//!
//! A workbook's sheet is turned into a text of its own, one line a row and a
//! tab between cells, so that a message can quote it and count as people do:
//! line = row, column = cell.

mod csv;
mod grid;
pub mod heads;
mod number;
mod ods;
mod workbook;

use std::path::Path;
use std::sync::Arc;

pub use self::csv::decode;
use self::grid::Whole;
pub use self::grid::{Cell, CellKind, Grid};
use super::file::read_bytes;
use crate::diag::{Diagnostic, Sources, Span};
use crate::files::Files;
use crate::session::Session;

/// Reads a table. `sheet` names the sheet of a workbook; its first one without.
/// `from` is the place that named the file, where another file did.
///
/// # Errors
/// A file that is missing, no spreadsheet, too large, or without that sheet.
pub fn read(
    file: &Path,
    sheet: Option<&str>,
    from: Option<Span>,
    sources: &mut Sources,
) -> Result<Grid, Diagnostic> {
    let place = from.clone().or(Some(Span { file: file.into(), range: 0..0 }));
    let whole = Whole { file, place, limits: sources.session.limits };
    let kind = kind_of(&whole, &sources.session.files)?;
    let bytes = read_bytes(file, from, &sources.session)?;
    match kind {
        None => csv::grid(&whole, bytes, sheet, sources),
        Some(kind) => {
            let grid = workbook::grid(&whole, bytes, kind, sheet)?;
            sources.add_cells(&grid.file, Arc::clone(&grid.text));
            Ok(grid)
        }
    }
}

/// The names of a workbook's sheets that are not hidden; none of a CSV file.
///
/// # Errors
/// As [`read`].
pub fn sheets(file: &Path, session: &Session) -> Result<Vec<String>, Diagnostic> {
    let place = Some(Span { file: file.into(), range: 0..0 });
    let whole = Whole { file, place, limits: session.limits };
    match kind_of(&whole, &session.files)? {
        None => Ok(Vec::new()),
        Some(kind) => workbook::names(&whole, read_bytes(file, None, session)?, kind),
    }
}

/// The kind of workbook that a file is by its ending; none for a CSV file.
fn kind_of(whole: &Whole<'_>, files: &Files) -> Result<Option<workbook::WorkbookKind>, Diagnostic> {
    let file = whole.file;
    let ending = file.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
    Ok(match ending.as_str() {
        _ if files.is_folder(file) => None,
        "csv" | "tsv" | "txt" => None,
        "xlsx" | "xlsm" => Some(workbook::WorkbookKind::Xlsx),
        "ods" => Some(workbook::WorkbookKind::Ods),
        _ => {
            let shown = file.display();
            return Err(Diagnostic::error(
                "unknown-table",
                format!("'{shown}' is not a kind of table that can be read"),
            )
            .at(whole.place.clone())
            .help("save it as .csv, .xlsx or .ods"));
        }
    })
}

#[cfg(test)]
mod tests {
    use super::heads::{Head, Mapping, Own, find};
    use super::*;
    use crate::diag::Findings;

    fn csv(bytes: &[u8]) -> Grid {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("t.csv");
        std::fs::write(&file, bytes).unwrap();
        read(&file, None, None, &mut Sources::default()).unwrap()
    }

    fn texts(grid: &Grid) -> Vec<Vec<String>> {
        let row = |r: usize| (0..grid.rows[r].len()).map(|c| grid.at(r, c).to_owned()).collect();
        (0..grid.rows.len()).map(row).collect()
    }

    /// RFC 4180, section 2, rules 1 to 7, in the RFC's own words where it has examples.
    #[test]
    fn rfc_4180() {
        for text in [
            "aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n",
            "aaa,bbb,ccc\r\nzzz,yyy,xxx",
            "\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx",
        ] {
            let want = [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]];
            assert_eq!(texts(&csv(text.as_bytes())), want, "{text:?}");
        }
        let grid = csv(b"\"aaa\",\"b \r\nbb\",\"ccc\"\r\nzzz,yyy,xxx");
        assert_eq!(grid.at(0, 1), "b \r\nbb");
        assert_eq!(grid.at(1, 2), "xxx");
        assert_eq!(csv(b"\"aaa\",\"b\"\"bb\",\"ccc\"").at(0, 1), "b\"bb");
    }

    #[test]
    fn separators_encodings_and_marks() {
        let want = [["key", "name"], ["a", "Grün, tief"]];
        let utf16: Vec<u8> =
            "\u{feff}key\tname\na\tGrün, tief".encode_utf16().flat_map(u16::to_le_bytes).collect();
        for bytes in [
            b"key;name\na;Gr\xfcn, tief".to_vec(),
            "\u{feff}key,name\r\na,\"Grün, tief\"\r\n".into(),
            "sep=|\nkey|name\na|Grün, tief".into(),
            "key\tname\n  a\t Grün, tief\u{a0}\n".into(),
            utf16,
        ] {
            let grid = csv(&bytes);
            let rows: Vec<_> = texts(&grid).into_iter().filter(|r| r.len() > 1).collect();
            assert_eq!(rows, want, "{bytes:?}");
        }
    }

    #[test]
    fn a_place_is_the_cell_itself() {
        let grid = csv(b"key;name\r\n\r\n a ;\"b;c\" ;d\r\n");
        let place = |r, c| &grid.text[grid.cell(r, c).unwrap().range()];
        assert_eq!((place(1, 0), place(1, 1), place(1, 2)), ("a", "\"b;c\"", "d"));
        assert_eq!(grid.at(1, 1), "b;c");
    }

    #[test]
    fn floats_lose_their_point_only_together() {
        let grid = csv(b"n,m,k\n4.0,4.0,1.50\n12.0,5,2.0\n");
        assert_eq!(texts(&grid)[1..], [["4", "4.0", "1.50"], ["12", "5", "2.0"]]);
        assert_eq!((grid.notes.len(), grid.floats.len()), (0, 1));
    }

    #[test]
    fn a_quote_left_open_is_a_fault() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("t.csv");
        std::fs::write(&file, "key,name\na,\"b\nc,d\n").unwrap();
        let mut sources = Sources::default();
        let fault = read(&file, None, None, &mut sources).unwrap_err();
        assert_eq!(fault.code, "quote-open");
    }

    #[test]
    fn headings_in_any_order_in_one_row_or_two() {
        let wanted = [
            Head::new("key", &[]).needed(),
            Head::new("works name", &["name works"]),
            Head::new("works number", &[]),
            Head::new("family", &[]),
        ];
        for (text, own, columns) in [
            ("Family,KEY,Works-Name\ngloss,a,A\n", "", [Some(1), Some(2), None, Some(0)]),
            (
                "The list\n\n,Works,,\nKey,Name,Number,Note\na,A,1,\n",
                "",
                [Some(0), Some(1), Some(2), None],
            ),
            ("Schlüssel,family\na,gloss\n", "Schlüssel", [Some(0), None, None, Some(1)]),
        ] {
            let own = [Mapping { from: own.to_owned(), to: "key".to_owned(), at: None }];
            let grid = csv(text.as_bytes());
            let mut findings = Findings::default();
            let heads = find(&grid, &wanted, Own::Mapped(&own), &mut findings).expect("headings");
            assert_eq!(heads.columns, columns, "{text}");
            let rows: Vec<&str> =
                heads.rows(&grid).map(|r| grid.at(r, heads.columns[0].unwrap())).collect();
            assert_eq!(rows, ["a"], "{text}");
        }
        let grid = csv(b"kye,works name\na,A\n");
        let mut findings = Findings::default();
        assert!(find(&grid, &wanted, Own::Mapped(&[]), &mut findings).is_none());
        assert!(findings.sorted()[0].help.as_deref().unwrap().contains("is it 'kye'?"));
    }
}
