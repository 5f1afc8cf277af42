//! Workbooks: one sheet of an XLSX or ODS file.
//!
//! The library would take a whole rectangle, or whatever a small file unpacks
//! to; so sizes are looked at first, and cells are taken one by one.

use std::io::{Cursor, Read};
use std::path::Path;

use calamine::{Data, Ods, Reader, SheetVisible, Xlsx};

use super::{Builder, Grid, Kind as CellKind, beyond, ods, too_large};
use crate::diag::{Diagnostic, Findings, Span, nearest};
use crate::read::limits;

/// Kinds of workbook.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Xlsx,
    Ods,
}

/// A cell that holds something: row, column, text.
type Filled = (u32, u32, Box<str>, CellKind);

pub fn grid(
    file: &Path,
    bytes: Vec<u8>,
    kind: Kind,
    sheet: Option<&str>,
    whole: Option<Span>,
) -> Result<Grid, Diagnostic> {
    unpacked(file, &bytes, kind, &whole)?;
    let (name, mut cells) = match kind {
        Kind::Xlsx => xlsx(file, bytes, sheet, &whole)?,
        Kind::Ods => open_document(file, bytes, sheet, &whole)?,
    };
    cells.sort_by_key(|c| (c.0, c.1));
    // Two cells of one address: the last one counts, as spreadsheets do it.
    cells.reverse();
    cells.dedup_by_key(|c| (c.0, c.1));
    cells.reverse();
    let mut builder = Builder::default();
    for (row, column, text, kind) in cells {
        builder.rows_until(row as usize + 1);
        while builder.rows.last().is_some_and(|r| r.len() < column as usize) {
            builder.push("", CellKind::Text);
        }
        builder.push(&text, kind);
    }
    let shown = format!("{} [{name}]", file.display());
    Ok(Grid {
        file: Path::new(&shown).into(),
        text: builder.text.into(),
        rows: builder.rows,
        notes: Findings::default(),
        parted: false,
    })
}

fn broken(file: &Path, whole: &Option<Span>) -> Diagnostic {
    Diagnostic::error(
        "not-a-workbook",
        format!("'{}' cannot be read as a workbook", file.display()),
    )
    .at(whole.clone())
    .help("open it in a spreadsheet program and save it again as .xlsx, .ods or .csv")
}

/// Unpacks every part once, to nowhere: what a header says of sizes may be a lie.
fn unpacked(file: &Path, bytes: &[u8], kind: Kind, whole: &Option<Span>) -> Result<(), Diagnostic> {
    // An encrypted workbook is not a zip file but an OLE container.
    if bytes.starts_with(&[0xd0, 0xcf, 0x11, 0xe0]) {
        return Err(Diagnostic::error(
            "locked-workbook",
            format!("'{}' is locked with a password, or of an older kind", file.display()),
        )
        .at(whole.clone())
        .help("save it without a password as .xlsx, .ods or .csv"));
    }
    let mut zip = zip::ZipArchive::new(Cursor::new(bytes)).map_err(|_| broken(file, whole))?;
    let mut left = limits::UNPACKED.now() as u64;
    for i in 0..zip.len() {
        let part = zip.by_index(i).map_err(|_| broken(file, whole))?;
        let content = kind == Kind::Ods && part.name().is_ok_and(|n| n == "content.xml");
        let mut counted = Counted { from: part.take(left + 1), count: 0 };
        if content {
            let most = (limits::ROWS.now(), limits::COLUMNS.now(), limits::CELLS.now());
            ods::within(std::io::BufReader::new(&mut counted), most)
                .map_err(|what| too_large(file, &what, whole.clone()))?;
        }
        std::io::copy(&mut counted, &mut std::io::sink()).map_err(|_| broken(file, whole))?;
        if counted.count > left {
            let what = format!("more than {} MB in it", limits::UNPACKED.megabytes());
            return Err(too_large(file, &what, whole.clone()));
        }
        left -= counted.count;
    }
    Ok(())
}

struct Counted<R> {
    from: R,
    count: u64,
}

impl<R: Read> Read for Counted<R> {
    fn read(&mut self, buf: &mut [u8]) -> std::io::Result<usize> {
        let n = self.from.read(buf)?;
        self.count += n as u64;
        Ok(n)
    }
}

/// The names of the sheets that are not hidden, in their order.
pub fn names(file: &Path, bytes: Vec<u8>, kind: Kind) -> Result<Vec<String>, Diagnostic> {
    let whole = Some(Span { file: file.into(), range: 0..0 });
    unpacked(file, &bytes, kind, &whole)?;
    let broken = || broken(file, &whole);
    let shown = |sheets: &[calamine::Sheet]| {
        let visible = sheets.iter().filter(|s| s.visible == SheetVisible::Visible);
        visible.map(|s| s.name.clone()).collect()
    };
    Ok(match kind {
        Kind::Xlsx => {
            let book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(|_| broken())?;
            shown(book.sheets_metadata())
        }
        Kind::Ods => {
            let book: Ods<_> = Ods::new(Cursor::new(bytes)).map_err(|_| broken())?;
            shown(book.sheets_metadata())
        }
    })
}

/// The sheet that is meant: the one named, else the first that is not hidden.
fn choose(
    file: &Path,
    sheets: &[calamine::Sheet],
    asked: Option<&str>,
    whole: &Option<Span>,
) -> Result<String, Diagnostic> {
    let names = || sheets.iter().map(|s| s.name.as_str());
    let Some(asked) = asked else {
        return sheets
            .iter()
            .find(|s| s.visible == SheetVisible::Visible)
            .or(sheets.first())
            .map(|s| s.name.clone())
            .ok_or_else(|| broken(file, whole));
    };
    if let Some(found) = names().find(|n| *n == asked) {
        return Ok(found.to_owned());
    }
    let help = match nearest(asked, names()) {
        Some(near) => format!("did you mean '{near}'?"),
        None => format!("its sheets are: {}", names().collect::<Vec<_>>().join(", ")),
    };
    Err(Diagnostic::error("unknown-sheet", format!("'{}' has no sheet '{asked}'", file.display()))
        .at(whole.clone())
        .help(help))
}

fn xlsx(
    file: &Path,
    bytes: Vec<u8>,
    sheet: Option<&str>,
    whole: &Option<Span>,
) -> Result<(String, Vec<Filled>), Diagnostic> {
    let broken = || broken(file, whole);
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(|_| broken())?;
    let name = choose(file, book.sheets_metadata(), sheet, whole)?;
    let mut reader = book.worksheet_cells_reader(&name).map_err(|_| broken())?;
    let mut cells = Vec::new();
    while let Some(cell) = reader.next_cell().map_err(|_| broken())? {
        let (row, column) = cell.get_position();
        if let Some((text, kind)) = text_of(&Data::from(cell.get_value().clone())) {
            place(file, &mut cells, (row, column, text, kind), whole)?;
        }
    }
    Ok((name, cells))
}

fn open_document(
    file: &Path,
    bytes: Vec<u8>,
    sheet: Option<&str>,
    whole: &Option<Span>,
) -> Result<(String, Vec<Filled>), Diagnostic> {
    let broken = || broken(file, whole);
    let mut book: Ods<_> = Ods::new(Cursor::new(bytes)).map_err(|_| broken())?;
    let name = choose(file, book.sheets_metadata(), sheet, whole)?;
    let range = book.worksheet_range(&name).map_err(|_| broken())?;
    let (top, left) = range.start().unwrap_or((0, 0));
    let mut cells = Vec::new();
    for (row, column, value) in range.used_cells() {
        if let Some((text, kind)) = text_of(value) {
            let at = (top + row as u32, left + column as u32, text, kind);
            place(file, &mut cells, at, whole)?;
        }
    }
    Ok((name, cells))
}

fn place(
    file: &Path,
    cells: &mut Vec<Filled>,
    cell: Filled,
    whole: &Option<Span>,
) -> Result<(), Diagnostic> {
    if let Some(what) = beyond(cell.0 as usize, cell.1 as usize, cells.len()) {
        return Err(too_large(file, &what, whole.clone()));
    }
    cells.push(cell);
    Ok(())
}

/// A value as text; none for an empty cell. Whole numbers come without a point.
fn text_of(value: &Data) -> Option<(Box<str>, CellKind)> {
    let (text, kind) = match value {
        Data::Empty => return None,
        Data::Int(n) => (n.to_string(), CellKind::Number),
        Data::Float(f) if f.fract() == 0.0 && f.abs() < 1e15 => {
            (format!("{f:.0}"), CellKind::Number)
        }
        Data::Float(f) => (f.to_string(), CellKind::Number),
        Data::Bool(b) => (b.to_string(), CellKind::Text),
        Data::String(s) => (s.clone(), CellKind::Text),
        Data::DateTime(d) => {
            let (y, m, d, ..) = d.to_ymd_hms_milli();
            (format!("{y}-{m:02}-{d:02}"), CellKind::Date)
        }
        Data::DateTimeIso(s) | Data::DurationIso(s) => (s.clone(), CellKind::Date),
        Data::Error(e) => (e.to_string(), CellKind::Fault),
    };
    (!text.trim().is_empty()).then(|| (text.into(), kind))
}
