//! The texts of the files that were read, for quoting lines in messages.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

use super::Span;
use crate::session::Session;

/// The run for which files are read, and the texts of those that were, for quoting lines in messages.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    /// The run for which they are read.
    pub session: Session,
    texts: BTreeMap<PathBuf, Text>,
    /// Those that are sheets of a workbook: a line is a row, a tab parts cells.
    sheets: BTreeSet<PathBuf>,
}

impl Sources {
    /// Nothing has been read yet for this run.
    pub fn of(session: Session) -> Sources {
        Sources { session, ..Sources::default() }
    }

    /// Remembers a file's text.
    pub fn add(&mut self, file: &Path, text: Arc<str>) {
        self.texts.insert(file.to_path_buf(), Text { text, marks: OnceLock::new() });
    }

    /// Remembers the text of a workbook's sheet: lines are rows, tabs part cells.
    pub fn add_cells(&mut self, file: &Path, text: Arc<str>) {
        self.add(file, text);
        self.sheets.insert(file.to_path_buf());
    }

    /// The name of a cell in a workbook, such as C7; none in other files.
    pub fn cell_name(&self, span: &Span) -> Option<String> {
        if !self.sheets.contains(&*span.file) || span.range == (0..0) {
            return None;
        }
        let (row, mut column) = self.line_column(span)?;
        let mut letters = Vec::new();
        while column > 0 {
            letters.push(char::from(b'A' + ((column - 1) % 26) as u8));
            column = (column - 1) / 26;
        }
        Some(format!("{}{row}", letters.iter().rev().collect::<String>()))
    }

    /// A place in a few words, without its folder: 'readings.ti3, line 12', 'values.xlsx [2026], cell B7'.
    pub fn brief(&self, span: &Span) -> String {
        let file = span.file.file_name().map(|n| n.to_string_lossy()).unwrap_or_default();
        let file: String = file.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        if let Some(cell) = self.cell_name(span) {
            return format!("{file}, cell {cell}");
        }
        self.line_column(span).map_or(file.clone(), |(line, _)| format!("{file}, line {line}"))
    }

    /// Every file that was read as text, by its path; sheets of workbooks are not among them.
    pub fn texts(&self) -> impl Iterator<Item = (&Path, &Arc<str>)> {
        let texts = self.texts.iter().filter(|(path, _)| !self.sheets.contains(*path));
        texts.map(|(path, text)| (path.as_path(), &text.text))
    }

    /// The text of a file that was read.
    pub fn text(&self, file: &Path) -> Option<&Arc<str>> {
        self.texts.get(file).map(|t| &t.text)
    }

    /// Line and column of a byte offset, both counted from 1, columns in
    /// characters; in a workbook row and column of the cell.
    pub fn line_column(&self, span: &Span) -> Option<(usize, usize)> {
        let text = self.texts.get(&*span.file)?;
        Some(text.line_column(span.range.start, self.sheets.contains(&*span.file)))
    }
}

/// A text, and where its lines and columns are.
#[derive(Debug, Clone)]
struct Text {
    text: Arc<str>,
    /// Line and column, from 0, at every [`STEP`] bytes: a text of one line may have thousands of places
    /// that are asked for.
    marks: OnceLock<Vec<(usize, usize)>>,
}

/// Bytes between two marks.
const STEP: usize = 1024;

impl Text {
    fn line_column(&self, at: usize, cells: bool) -> (usize, usize) {
        let at = floor(&self.text, at);
        let marks = self.marks.get_or_init(|| marks(&self.text, cells));
        let before = at / STEP;
        let (line, column) = marks.get(before).copied().unwrap_or_default();
        let (line, column) =
            walked(&self.text.as_bytes()[before * STEP..at], (line, column), cells);
        (line + 1, column + 1)
    }
}

/// The character border at or before a byte, within the text.
pub fn floor(text: &str, at: usize) -> usize {
    let at = at.min(text.len());
    (0..=at).rev().find(|i| text.is_char_boundary(*i)).unwrap_or(0)
}

fn marks(text: &str, cells: bool) -> Vec<(usize, usize)> {
    let mut here = (0, 0);
    let mut out = vec![here];
    for piece in text.as_bytes().chunks(STEP) {
        here = walked(piece, here, cells);
        out.push(here);
    }
    out
}

/// Line and column behind some bytes. Of a character only the first byte counts, so that a piece may end
/// within one.
fn walked(bytes: &[u8], (mut line, mut column): (usize, usize), cells: bool) -> (usize, usize) {
    for b in bytes {
        match b {
            b'\n' => (line, column) = (line + 1, 0),
            b'\t' if cells => column += 1,
            b if !cells && (*b as i8) >= -0x40 => column += 1,
            _ => {}
        }
    }
    (line, column)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against counting from the start, at every byte of a text longer than a step.
    #[test]
    fn places_are_those_that_counting_finds() {
        let text: String =
            (0..900).map(|i| ["aé", "\n", "€x", "\t", "😀", "line"][i * i % 6]).collect();
        let file = Path::new("a.txt");
        for cells in [false, true] {
            let mut sources = Sources::default();
            match cells {
                true => sources.add_cells(file, text.as_str().into()),
                false => sources.add(file, text.as_str().into()),
            }
            for at in 0..=text.len() + 2 {
                let start = (0..=at.min(text.len())).rfind(|i| text.is_char_boundary(*i)).unwrap();
                let before = &text[..start];
                let line = before.matches('\n').count() + 1;
                let here = &before[before.rfind('\n').map_or(0, |i| i + 1)..];
                let column = here.chars().filter(|c| !cells || *c == '\t').count() + 1;
                let span = Span { file: file.into(), range: at..at };
                assert_eq!(sources.line_column(&span), Some((line, column)), "{at}");
            }
        }
    }
}
