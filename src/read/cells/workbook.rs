//! Workbooks: one sheet of an XLSX or ODS file.
//!
//! The library would take a whole rectangle, or whatever a small file unpacks
//! to; so sizes are looked at first, and cells are taken one by one.

use std::io::{Cursor, Read};
use std::path::Path;

use calamine::{Data, DataRef, Ods, Reader, SheetVisible, Xlsx};

use super::grid::{Builder, Cell, CellKind, Grid, Whole, too_many_bytes};
use super::ods;
use crate::diag::{Diagnostic, Findings, nearest};
use crate::limits;

/// Kinds of workbook.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WorkbookKind {
    Xlsx,
    Ods,
}

/// A cell that holds something: row, column, text.
type Filled = (u32, u32, Box<str>, CellKind);

pub fn grid(
    whole: &Whole<'_>,
    bytes: Vec<u8>,
    kind: WorkbookKind,
    sheet: Option<&str>,
) -> Result<Grid, Diagnostic> {
    let unresolved = unpacked(whole, &bytes, kind)?;
    let (name, mut cells) = match kind {
        WorkbookKind::Xlsx => xlsx(whole, bytes, sheet)?,
        WorkbookKind::Ods => open_document(whole, bytes, sheet, &unresolved)?,
    };
    cells.sort_by_key(|c| (c.0, c.1));
    // Two cells of one address: the last one counts, as spreadsheets do it.
    cells.reverse();
    cells.dedup_by_key(|c| (c.0, c.1));
    cells.reverse();
    let mut builder = Builder::default();
    let most = whole.limits.most(limits::MADE);
    let (mut made, mut end) = (0usize, (0, 0));
    for (row, column, text, kind) in cells {
        // Cells before it in its row are made, too.
        let before = if end.0 == row { end.1 } else { 0 };
        end = (row, column + 1);
        made += (column + 1 - before) as usize * size_of::<Cell>() + 2 * text.len();
        if made > most {
            return Err(whole.too_large(&too_many_bytes(most)));
        }
        builder.rows_until(row as usize + 1);
        while builder.rows.last().is_some_and(|r| r.len() < column as usize) {
            builder.push("", CellKind::Text);
        }
        builder.push(&text, kind);
    }
    let shown = format!("{} [{name}]", whole.file.display());
    Ok(Grid {
        file: Path::new(&shown).into(),
        text: builder.text.into(),
        rows: builder.rows,
        notes: Findings::default(),
        floats: Findings::default(),
        parted: false,
    })
}

fn broken(whole: &Whole<'_>) -> Diagnostic {
    Diagnostic::error(
        "not-a-workbook",
        format!("'{}' cannot be read as a workbook", whole.file.display()),
    )
    .at(whole.place.clone())
    .help("open it in a spreadsheet program and save it again as .xlsx, .ods or .csv")
}

fn locked(whole: &Whole<'_>, or: &str) -> Diagnostic {
    let message = format!("'{}' is protected with a password{or}", whole.file.display());
    Diagnostic::error("locked-workbook", message)
        .at(whole.place.clone())
        .help("save it without a password as .xlsx, .ods or .csv")
}

/// Does an ODS file's list of parts mark them as encrypted (OpenDocument 1.3, part 2, 3.4)?
fn encrypted<R: Read + std::io::Seek>(zip: &mut zip::ZipArchive<R>) -> bool {
    let Ok(part) = zip.by_name("META-INF/manifest.xml") else { return false };
    let mut text = Vec::new();
    // The first encrypted part is near the start.
    if part.take(1 << 20).read_to_end(&mut text).is_err() {
        return false;
    }
    String::from_utf8_lossy(&text).contains("encryption-data")
}

/// Unpacks every part once, to nowhere: sizes in a header may be wrong. For an ODS file, returns
/// the formulas without results.
fn unpacked(
    whole: &Whole<'_>,
    bytes: &[u8],
    kind: WorkbookKind,
) -> Result<Vec<ods::Unresolved>, Diagnostic> {
    // An encrypted XLSX file is not a zip file but an OLE container.
    if bytes.starts_with(&[0xd0, 0xcf, 0x11, 0xe0]) {
        return Err(locked(whole, ", or in an older format"));
    }
    let mut unresolved = Vec::new();
    let mut zip = zip::ZipArchive::new(Cursor::new(bytes)).map_err(|_| broken(whole))?;
    if kind == WorkbookKind::Ods && encrypted(&mut zip) {
        return Err(locked(whole, ""));
    }
    let limits = whole.limits;
    let mut left = limits.most(limits::UNPACKED) as u64;
    for i in 0..zip.len() {
        let part = zip.by_index(i).map_err(|e| match e {
            zip::result::ZipError::UnsupportedArchive(zip::result::ZipError::PASSWORD_REQUIRED) => {
                locked(whole, "")
            }
            _ => broken(whole),
        })?;
        let content = kind == WorkbookKind::Ods && part.name().is_ok_and(|n| n == "content.xml");
        let mut counted = Counted { from: part.take(left + 1), count: 0 };
        if content {
            let most = ods::Most {
                rows: limits.most(limits::ROWS),
                columns: limits.most(limits::COLUMNS),
                cells: limits.most(limits::CELLS),
                bytes: limits.most(limits::MADE),
            };
            unresolved =
                ods::look(std::io::BufReader::new(&mut counted), most).map_err(|refused| {
                    match refused {
                        ods::Refused::TooMuch(what) => whole.too_large(&what),
                        ods::Refused::Broken => broken(whole),
                    }
                })?;
        }
        std::io::copy(&mut counted, &mut std::io::sink()).map_err(|_| broken(whole))?;
        if counted.count > left {
            let what = format!("more than {} MB of contents", limits.megabytes(limits::UNPACKED));
            return Err(whole.too_large(&what));
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
pub fn names(
    whole: &Whole<'_>,
    bytes: Vec<u8>,
    kind: WorkbookKind,
) -> Result<Vec<String>, Diagnostic> {
    unpacked(whole, &bytes, kind)?;
    let broken = || broken(whole);
    let shown = |sheets: &[calamine::Sheet]| {
        let visible = sheets.iter().filter(|s| s.visible == SheetVisible::Visible);
        visible.map(|s| s.name.clone()).collect()
    };
    Ok(match kind {
        WorkbookKind::Xlsx => {
            let book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(|_| broken())?;
            shown(book.sheets_metadata())
        }
        WorkbookKind::Ods => {
            let book: Ods<_> = Ods::new(Cursor::new(bytes)).map_err(|_| broken())?;
            shown(book.sheets_metadata())
        }
    })
}

/// The sheet to read: the one named, else the first that is not hidden.
fn choose(
    whole: &Whole<'_>,
    sheets: &[calamine::Sheet],
    asked: Option<&str>,
) -> Result<String, Diagnostic> {
    let names = || sheets.iter().map(|s| s.name.as_str());
    let Some(asked) = asked else {
        return sheets
            .iter()
            .find(|s| s.visible == SheetVisible::Visible)
            .or(sheets.first())
            .map(|s| s.name.clone())
            .ok_or_else(|| broken(whole));
    };
    if let Some(found) = names().find(|n| *n == asked) {
        return Ok(found.to_owned());
    }
    let help = match nearest(asked, names()) {
        _ if sheets.is_empty() => "it has no sheets at all: name a different file".to_owned(),
        Some(near) => format!("did you mean '{near}'?"),
        None => format!("its sheets are: {}", names().collect::<Vec<_>>().join(", ")),
    };
    let message = format!("'{}' has no sheet '{asked}'", whole.file.display());
    Err(Diagnostic::error("unknown-sheet", message).at(whole.place.clone()).help(help))
}

fn xlsx(
    whole: &Whole<'_>,
    bytes: Vec<u8>,
    sheet: Option<&str>,
) -> Result<(String, Vec<Filled>), Diagnostic> {
    let broken = || broken(whole);
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(|_| broken())?;
    let name = choose(whole, book.sheets_metadata(), sheet)?;
    let mut taken = Taken::new(whole);
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
    whole: &Whole<'_>,
    bytes: Vec<u8>,
    sheet: Option<&str>,
    unresolved: &[ods::Unresolved],
) -> Result<(String, Vec<Filled>), Diagnostic> {
    let broken = || broken(whole);
    let mut book: Ods<_> = Ods::new(Cursor::new(bytes)).map_err(|_| broken())?;
    let name = choose(whole, book.sheets_metadata(), sheet)?;
    let range = book.worksheet_range(&name).map_err(|_| broken())?;
    let (top, left) = range.start().unwrap_or((0, 0));
    let mut taken = Taken::new(whole);
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
    whole: &'a Whole<'a>,
    cells: Vec<Filled>,
    bytes: usize,
}

impl<'a> Taken<'a> {
    fn new(whole: &'a Whole<'a>) -> Taken<'a> {
        Taken { whole, cells: Vec::new(), bytes: 0 }
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
        let limits = self.whole.limits;
        let what = if self.bytes + bytes > limits.most(limits::TEXTS) {
            Some(format!("more than {} MB of text in its cells", limits.megabytes(limits::TEXTS)))
        } else {
            self.whole.beyond(row as usize, column as usize, self.cells.len())
        };
        match what {
            Some(what) => Err(self.whole.too_large(&what)),
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
