//! Diagnostics: what is wrong, where, and what to type instead.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// How bad a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Good to know.
    Hint,
    /// Probably a mistake; the sheet can be made.
    Warning,
    /// The sheet cannot be made.
    Error,
}

impl Severity {
    /// The word that stands before a message.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Hint => "note",
            Severity::Warning => "warning",
            Severity::Error => "error",
        }
    }
}

/// A place in an input file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Span {
    pub file: Arc<Path>,
    /// Byte range in the file's text; empty at 0 when the whole file is meant.
    pub range: Range<usize>,
}

/// One finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    pub severity: Severity,
    /// A short stable name for the kind of finding, such as `unknown-field`.
    pub code: &'static str,
    /// One plain sentence.
    pub message: String,
    pub span: Option<Span>,
    /// The way out, one plain sentence.
    pub help: Option<String>,
}

impl Diagnostic {
    /// An error without a place.
    pub fn error(code: &'static str, message: impl Into<String>) -> Diagnostic {
        Diagnostic {
            severity: Severity::Error,
            code,
            message: message.into(),
            span: None,
            help: None,
        }
    }

    /// A warning without a place.
    pub fn warning(code: &'static str, message: impl Into<String>) -> Diagnostic {
        Diagnostic { severity: Severity::Warning, ..Diagnostic::error(code, message) }
    }

    /// A hint without a place.
    pub fn hint(code: &'static str, message: impl Into<String>) -> Diagnostic {
        Diagnostic { severity: Severity::Hint, ..Diagnostic::error(code, message) }
    }

    /// Says where.
    pub fn at(mut self, span: Option<Span>) -> Diagnostic {
        self.span = span;
        self
    }

    /// Says what to do.
    pub fn help(mut self, help: impl Into<String>) -> Diagnostic {
        self.help = Some(help.into());
        self
    }
}

/// Findings collected along the way; work goes on until all are known.
#[derive(Debug, Clone, Default)]
pub struct Findings {
    list: Vec<Diagnostic>,
    /// What the list holds, for finding doubles.
    known: BTreeSet<Known>,
}

/// Place (file, start, end), code and message of a finding.
type Known = (Option<(PathBuf, usize, usize)>, &'static str, String);

impl Findings {
    /// Adds one finding.
    pub fn push(&mut self, diagnostic: Diagnostic) {
        let place =
            diagnostic.span.as_ref().map(|s| (s.file.to_path_buf(), s.range.start, s.range.end));
        if self.known.insert((place, diagnostic.code, diagnostic.message.clone())) {
            self.list.push(diagnostic);
        }
    }

    /// Adds all of another collection.
    pub fn extend(&mut self, other: Findings) {
        other.list.into_iter().for_each(|d| self.push(d));
    }

    /// Is there any error?
    pub fn failed(&self) -> bool {
        self.list.iter().any(|d| d.severity == Severity::Error)
    }

    /// Every error, in the order in which they were found.
    pub fn errors(&self) -> impl Iterator<Item = &Diagnostic> {
        self.list.iter().filter(|d| d.severity == Severity::Error)
    }

    /// The worst there is.
    pub fn worst(&self) -> Option<Severity> {
        self.list.iter().map(|d| d.severity).max()
    }

    /// How many are of this severity.
    pub fn count(&self, severity: Severity) -> usize {
        self.list.iter().filter(|d| d.severity == severity).count()
    }

    /// Every finding: by file, then by place, those without a place last.
    pub fn sorted(mut self) -> Vec<Diagnostic> {
        self.list.sort_by_key(|d| match &d.span {
            Some(s) => (0, s.file.to_path_buf(), s.range.start),
            None => (1, PathBuf::new(), 0),
        });
        self.list
    }

    /// How many findings there are.
    pub fn len(&self) -> usize {
        self.list.len()
    }

    /// Is there nothing to say?
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }
}

impl From<Diagnostic> for Findings {
    fn from(d: Diagnostic) -> Findings {
        let mut findings = Findings::default();
        findings.push(d);
        findings
    }
}

/// The texts of the files that were read, for quoting lines in messages.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    texts: BTreeMap<PathBuf, Arc<str>>,
    /// Those that are sheets of a workbook: a line is a row, a tab parts cells.
    sheets: BTreeSet<PathBuf>,
}

impl Sources {
    /// Remembers a file's text.
    pub fn add(&mut self, file: &Path, text: Arc<str>) {
        self.texts.insert(file.to_path_buf(), text);
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

    /// Every file that was read as text, by its path; sheets of workbooks are not among them.
    pub fn files(&self) -> impl Iterator<Item = (&Path, &Arc<str>)> {
        let texts = self.texts.iter().filter(|(path, _)| !self.sheets.contains(*path));
        texts.map(|(path, text)| (path.as_path(), text))
    }

    /// The text of a file that was read.
    pub fn text(&self, file: &Path) -> Option<&Arc<str>> {
        self.texts.get(file)
    }

    /// Line and column of a byte offset, both counted from 1, columns in
    /// characters; in a workbook row and column of the cell.
    pub fn line_column(&self, span: &Span) -> Option<(usize, usize)> {
        let text = self.texts.get(&*span.file)?;
        let mut start = span.range.start.min(text.len());
        while !text.is_char_boundary(start) {
            start -= 1;
        }
        let before = &text[..start];
        let line = before.matches('\n').count() + 1;
        let here = &before[before.rfind('\n').map_or(0, |i| i + 1)..];
        let counts = |c: char| !self.sheets.contains(&*span.file) || c == '\t';
        let column = here.chars().filter(|c| counts(*c)).count() + 1;
        Some((line, column))
    }
}

/// The name nearest to `word` among `known`, if it is near enough to be meant.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let lower = word.to_lowercase();
    known
        .into_iter()
        .map(|k| (strsim::damerau_levenshtein(&lower, &k.to_lowercase()), k))
        .filter(|(d, k)| *d <= (k.chars().count().max(lower.chars().count()) / 3).max(1))
        .min_by_key(|(d, _)| *d)
        .map(|(_, k)| k)
}
