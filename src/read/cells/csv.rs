//! CSV as it comes: any usual separator, encoding and line end.

use std::path::Path;
use std::sync::Arc;

use csv_core::{ReadFieldResult, Reader, ReaderBuilder};

use super::grid::{Cell, CellKind, Grid, Whole, is_blank};
use crate::diag::{Diagnostic, Findings, Sources, Span};

/// Separators that are looked for, the likeliest first.
const SEPARATORS: [u8; 4] = [b',', b';', b'\t', b'|'];

pub fn grid(
    whole: &Whole<'_>,
    bytes: Vec<u8>,
    sheet: Option<&str>,
    sources: &mut Sources,
) -> Result<Grid, Diagnostic> {
    let file = whole.file;
    let mut notes = Findings::default();
    let text: Arc<str> = decode(file, bytes, &mut notes)?.into();
    sources.add(file, Arc::clone(&text));
    if let Some(sheet) = sheet {
        notes.push(
            Diagnostic::warning("no-sheets", format!("a CSV file has no sheet '{sheet}'"))
                .at(whole.place.clone())
                .help("remove sheet"),
        );
    }
    if u32::try_from(text.len()).is_err() {
        return Err(whole.too_large("more than 4 GB"));
    }
    let (mut splitter, skip) = separator(&text, whole);
    let (mut rows, too_much) = splitter.split(&text, skip, whole);
    if let Some(what) = too_much {
        return Err(whole.too_large(&what));
    }
    open_quote(file, &text, &rows)?;
    let mut floats = Findings::default();
    super::number::plain(&text, &mut rows, file, &mut floats);
    Ok(Grid { file: file.into(), text, rows, notes, floats, parted: true })
}

/// A text in UTF-8 or UTF-16 where marked or valid, else in the Western code page.
///
/// # Errors
/// It is empty, or no text.
pub fn decode(file: &Path, bytes: Vec<u8>, notes: &mut Findings) -> Result<String, Diagnostic> {
    let whole = || Some(Span { file: file.into(), range: 0..0 });
    let text = match encoding_rs::Encoding::for_bom(&bytes) {
        Some((encoding, _)) => encoding.decode(&bytes).0.into_owned(),
        None => match String::from_utf8(bytes) {
            Ok(text) => text,
            Err(e) => {
                let (text, _) = encoding_rs::WINDOWS_1252.decode_without_bom_handling(e.as_bytes());
                notes.push(
                    Diagnostic::hint(
                        "old-encoding",
                        format!("'{}' is not UTF-8 text; it was read as Latin-1", file.display()),
                    )
                    .at(whole())
                    .help("check accents and dashes; if they are wrong, save the file as UTF-8"),
                );
                text.into_owned()
            }
        },
    };
    if text.contains('\0') {
        return Err(Diagnostic::error(
            "not-text",
            format!("'{}' is not a text file", file.display()),
        )
        .at(whole())
        .help("name a CSV file; the name of a workbook must end in .xlsx or .ods"));
    }
    if text.trim().is_empty() {
        return Err(Diagnostic::error("empty-file", format!("'{}' is empty", file.display()))
            .at(whole())
            .help("write the table, or name a different file"));
    }
    Ok(text)
}

/// The separator, and how many bytes of a line that only names it to skip.
fn separator(text: &str, whole: &Whole<'_>) -> (Splitter, usize) {
    let first = text.lines().next().unwrap_or("");
    if let Some(named) = first.strip_prefix("sep=")
        && let [separator] = named.trim_end().as_bytes()
    {
        return (Splitter::at(*separator), first.len());
    }
    let sample: String = text.lines().take(60).collect::<Vec<_>>().join("\n");
    let there = |s: &u8| sample.as_bytes().contains(s);
    let mut found = SEPARATORS.into_iter().filter(there).map(Splitter::at).peekable();
    let Some(mut first) = found.next() else { return (Splitter::at(SEPARATORS[0]), 0) };
    if found.peek().is_none() {
        return (first, 0);
    }
    // The one that cuts the most rows among the first into equally many cells.
    let mut best = (first.quality(&sample, whole), first);
    for mut next in found {
        let quality = next.quality(&sample, whole);
        if quality > best.0 {
            best = (quality, next);
        }
    }
    (best.1, 0)
}

/// Cuts a text at one separator. To build a reader takes longer than to read a short text; a clone of one would return
/// fields without end (csv-core 0.1), so it is reset.
struct Splitter {
    separator: u8,
    reader: Reader,
}

impl Splitter {
    fn at(separator: u8) -> Splitter {
        Splitter { separator, reader: ReaderBuilder::new().delimiter(separator).build() }
    }

    /// How many of the rows are cut into equally many cells, and into how many.
    fn quality(&mut self, sample: &str, whole: &Whole<'_>) -> (usize, usize) {
        let (rows, _) = self.split(sample, 0, whole);
        let filled = rows.iter().filter(|r| r.iter().any(|c| c.end > c.start));
        let lengths: Vec<usize> = filled.map(Vec::len).collect();
        let alike = |n: usize| if n > 1 { lengths.iter().filter(|m| **m == n).count() } else { 0 };
        lengths.iter().map(|n| (alike(*n), *n)).max().unwrap_or((0, 0))
    }

    /// Cells with their places, up to what there is too much of.
    fn split(
        &mut self,
        text: &str,
        skip: usize,
        whole: &Whole<'_>,
    ) -> (Vec<Vec<Cell>>, Option<String>) {
        let Splitter { separator, reader } = self;
        reader.reset();
        let bytes = text.as_bytes();
        let mut out = vec![0u8; 256];
        let mut rows: Vec<Vec<Cell>> = Vec::new();
        let mut row: Vec<Cell> = Vec::new();
        let (mut at, mut start, mut filled, mut cells) = (skip, skip, 0, 0);
        let mut too_much = None;
        loop {
            let (result, read, wrote) = reader.read_field(&bytes[at..], &mut out[filled..]);
            at += read;
            filled += wrote;
            match result {
                ReadFieldResult::InputEmpty => {}
                ReadFieldResult::OutputFull => out.resize(out.len() * 2, 0),
                ReadFieldResult::Field { record_end } => {
                    too_much = whole.beyond(rows.len(), row.len(), cells);
                    if too_much.is_some() {
                        break;
                    }
                    cells += 1;
                    row.push(cell(text, start..at, &out[..filled], *separator));
                    (start, filled) = (at, 0);
                    if record_end {
                        rows.push(std::mem::take(&mut row));
                    }
                }
                ReadFieldResult::End => break,
            }
        }
        if !row.is_empty() {
            rows.push(row);
        }
        (rows, too_much)
    }
}

/// A cell from its bytes, the separator or line end behind it included.
fn cell(text: &str, raw: std::ops::Range<usize>, value: &[u8], separator: u8) -> Cell {
    let bytes = text.as_bytes();
    let (mut start, mut end) = (raw.start, raw.end);
    while end > start && matches!(bytes[end - 1], b'\r' | b'\n') {
        end -= 1;
    }
    if end == raw.end && end > start && bytes[end - 1] == separator {
        end -= 1;
    }
    let slice = text.get(start..end).unwrap_or("");
    start += slice.len() - slice.trim_start_matches(is_blank).len();
    end = start + slice.trim_matches(is_blank).len();
    let value = std::str::from_utf8(value).unwrap_or("").trim_matches(is_blank);
    let own = (text.get(start..end) != Some(value)).then(|| value.into());
    Cell { start: start as u32, end: end as u32, own, kind: CellKind::Text }
}

/// A quote that is never closed swallows the rest of the file.
fn open_quote(file: &Path, text: &str, rows: &[Vec<Cell>]) -> Result<(), Diagnostic> {
    let Some(last) = rows.last().and_then(|r| r.last()) else { return Ok(()) };
    let raw = &text[last.range()];
    let quotes = raw.matches('"').count();
    if raw.starts_with('"') && quotes % 2 == 1 {
        let range = last.start as usize..last.start as usize + 1;
        return Err(Diagnostic::error("quote-open", "the quote that opens here is never closed")
            .at(Some(Span { file: file.into(), range }))
            .help("close it, or double it if it is part of the text"));
    }
    Ok(())
}
