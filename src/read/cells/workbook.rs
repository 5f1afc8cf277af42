//! Workbooks: one sheet of an XLSX or ODS file.
//!
//! The library would take a whole rectangle, or whatever a small file unpacks
//! to; so sizes are looked at first, and cells are taken one by one.

use std::io::{Cursor, Read};
use std::path::Path;

use calamine::{Data, DataRef, Ods, Reader, SheetVisible, Xlsx};

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
    let unresolved = unpacked(file, &bytes, kind, &whole)?;
    let (name, mut cells) = match kind {
        Kind::Xlsx => xlsx(file, bytes, sheet, &whole)?,
        Kind::Ods => open_document(file, bytes, (sheet, &unresolved), &whole)?,
    };
    cells.sort_by_key(|c| (c.0, c.1));
    // Two cells of one address: the last one counts, as spreadsheets do it.
    cells.reverse();
    cells.dedup_by_key(|c| (c.0, c.1));
    cells.reverse();
    let mut builder = Builder::default();
    let (mut made, mut end) = (0usize, (0, 0));
    for (row, column, text, kind) in cells {
        // Cells before it in its row are made, too.
        let before = if end.0 == row { end.1 } else { 0 };
        end = (row, column + 1);
        made += (column + 1 - before) as usize * size_of::<super::Cell>() + 2 * text.len();
        if made > limits::MADE.now() {
            return Err(too_large(file, &super::too_many_bytes(), whole));
        }
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

fn locked(file: &Path, or: &str, whole: &Option<Span>) -> Diagnostic {
    let message = format!("'{}' is locked with a password{or}", file.display());
    Diagnostic::error("locked-workbook", message)
        .at(whole.clone())
        .help("save it without a password as .xlsx, .ods or .csv")
}

/// Does an ODS file's list of parts say that they are encrypted (OpenDocument 1.3, part 2, 3.4)?
fn encrypted<R: Read + std::io::Seek>(zip: &mut zip::ZipArchive<R>) -> bool {
    let Ok(part) = zip.by_name("META-INF/manifest.xml") else { return false };
    let mut text = Vec::new();
    // The first part that is encrypted stands near the start.
    if part.take(1 << 20).read_to_end(&mut text).is_err() {
        return false;
    }
    String::from_utf8_lossy(&text).contains("encryption-data")
}

/// Unpacks every part once, to nowhere: what a header says of sizes may be a lie. Of an ODS file come back
/// the formulas without results.
fn unpacked(
    file: &Path,
    bytes: &[u8],
    kind: Kind,
    whole: &Option<Span>,
) -> Result<Vec<ods::Unresolved>, Diagnostic> {
    // An encrypted XLSX file is not a zip file but an OLE container.
    if bytes.starts_with(&[0xd0, 0xcf, 0x11, 0xe0]) {
        return Err(locked(file, ", or of an older kind", whole));
    }
    let mut unresolved = Vec::new();
    let mut zip = zip::ZipArchive::new(Cursor::new(bytes)).map_err(|_| broken(file, whole))?;
    if kind == Kind::Ods && encrypted(&mut zip) {
        return Err(locked(file, "", whole));
    }
    let mut left = limits::UNPACKED.now() as u64;
    for i in 0..zip.len() {
        let part = zip.by_index(i).map_err(|e| match e {
            zip::result::ZipError::UnsupportedArchive(zip::result::ZipError::PASSWORD_REQUIRED) => {
                locked(file, "", whole)
            }
            _ => broken(file, whole),
        })?;
        let content = kind == Kind::Ods && part.name().is_ok_and(|n| n == "content.xml");
        let mut counted = Counted { from: part.take(left + 1), count: 0 };
        if content {
            let most = ods::Most {
                rows: limits::ROWS.now(),
                columns: limits::COLUMNS.now(),
                cells: limits::CELLS.now(),
                bytes: limits::MADE.now(),
            };
            unresolved =
                ods::look(std::io::BufReader::new(&mut counted), most).map_err(|refused| {
                    match refused {
                        ods::Refused::TooMuch(what) => too_large(file, &what, whole.clone()),
                        ods::Refused::Broken => broken(file, whole),
                    }
                })?;
        }
        std::io::copy(&mut counted, &mut std::io::sink()).map_err(|_| broken(file, whole))?;
        if counted.count > left {
            let what = format!("more than {} MB in it", limits::UNPACKED.megabytes());
            return Err(too_large(file, &what, whole.clone()));
        }
        left -= counted.count;
    }
    Ok(unresolved)
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
        _ if sheets.is_empty() => "it has no sheets at all: name another file".to_owned(),
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
    let mut taken = Taken::new(file, whole);
    {
        let mut reader = book.worksheet_cells_reader(&name).map_err(|_| broken())?;
        loop {
            match reader.next_cell_with_formula_metadata() {
                Ok(None) => return Ok((name, taken.cells)),
                Ok(Some(cell)) => {
                    let unresolved = cell.formula.is_some() && matches!(cell.value, DataRef::Empty);
                    taken.cell(cell.pos, &cell.value, unresolved)?;
                }
                // Odd formulas do no harm to the values.
                Err(_) => break,
            }
        }
    }
    taken.clear();
    let mut reader = book.worksheet_cells_reader(&name).map_err(|_| broken())?;
    while let Some(cell) = reader.next_cell().map_err(|_| broken())? {
        taken.cell(cell.get_position(), cell.get_value(), false)?;
    }
    Ok((name, taken.cells))
}

fn open_document(
    file: &Path,
    bytes: Vec<u8>,
    (sheet, unresolved): (Option<&str>, &[ods::Unresolved]),
    whole: &Option<Span>,
) -> Result<(String, Vec<Filled>), Diagnostic> {
    let broken = || broken(file, whole);
    let mut book: Ods<_> = Ods::new(Cursor::new(bytes)).map_err(|_| broken())?;
    let name = choose(file, book.sheets_metadata(), sheet, whole)?;
    let range = book.worksheet_range(&name).map_err(|_| broken())?;
    let (top, left) = range.start().unwrap_or((0, 0));
    let mut taken = Taken::new(file, whole);
    for (row, column, value) in range.used_cells() {
        let at = (top + row as u32, left + column as u32);
        taken.text(at, text_of(value))?;
    }
    for formula in unresolved.iter().filter(|u| u.sheet == name) {
        taken.text((formula.row, formula.column), Some(no_result()))?;
    }
    Ok((name, taken.cells))
}

/// The cells that hold something, while they are within the limits.
struct Taken<'a> {
    file: &'a Path,
    whole: &'a Option<Span>,
    cells: Vec<Filled>,
    bytes: usize,
}

impl<'a> Taken<'a> {
    fn new(file: &'a Path, whole: &'a Option<Span>) -> Taken<'a> {
        Taken { file, whole, cells: Vec::new(), bytes: 0 }
    }

    fn clear(&mut self) {
        self.cells.clear();
        self.bytes = 0;
    }

    fn cell(
        &mut self,
        at: (u32, u32),
        value: &DataRef<'_>,
        unresolved: bool,
    ) -> Result<(), Diagnostic> {
        // One long text may be named by every cell: it is counted before it is copied.
        let long = match value {
            DataRef::String(s) => s.len(),
            DataRef::SharedString(s) => s.len(),
            _ => 0,
        };
        self.within(at, long)?;
        let found = if unresolved { Some(no_result()) } else { text_of(&value.clone().into()) };
        self.text(at, found)
    }

    fn text(
        &mut self,
        at: (u32, u32),
        found: Option<(Box<str>, CellKind)>,
    ) -> Result<(), Diagnostic> {
        if let Some((text, kind)) = found {
            self.within(at, text.len())?;
            self.bytes += text.len();
            self.cells.push((at.0, at.1, text, kind));
        }
        Ok(())
    }

    fn within(&self, (row, column): (u32, u32), bytes: usize) -> Result<(), Diagnostic> {
        let what = if self.bytes + bytes > limits::TEXTS.now() {
            Some(format!("more than {} MB of text in its cells", limits::TEXTS.megabytes()))
        } else {
            beyond(row as usize, column as usize, self.cells.len())
        };
        match what {
            Some(what) => Err(too_large(self.file, &what, self.whole.clone())),
            None => Ok(()),
        }
    }
}

/// What stands for a formula that was saved without its result.
fn no_result() -> (Box<str>, CellKind) {
    ("=...".into(), CellKind::Unresolved)
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
