//! The text of a CGATS.17 file cut into tables: keywords, a format, and sets of values, each with its place.
//!
//! A table begins where a keyword stands behind the data of the one before. One that has no format of its own has that
//! of the table before it. `#` begins a comment; texts with blanks stand in quotes, a quote in them doubled.

use std::borrow::Cow;
use std::ops::Range;

use crate::diag::{Diagnostic, Findings};
use crate::limits;
use crate::measured::source::TextFile;

/// A word of the text, or a text in quotes.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece<'a> {
    pub text: Cow<'a, str>,
    pub range: Range<usize>,
}

/// A keyword with what is behind it in its line.
#[derive(Debug, Clone)]
pub struct Keyword<'a> {
    pub name: Piece<'a>,
    pub values: Vec<Piece<'a>>,
}

/// One table.
#[derive(Debug, Clone, Default)]
pub struct CgatsTable<'a> {
    pub keywords: Vec<Keyword<'a>>,
    pub fields: Vec<Piece<'a>>,
    /// Each as long as the fields.
    pub sets: Vec<Vec<Piece<'a>>>,
}

impl CgatsTable<'_> {
    /// The first value of a keyword.
    pub fn value(&self, keyword: &str) -> Option<&Piece<'_>> {
        let of = |k: &&Keyword<'_>| k.name.text.eq_ignore_ascii_case(keyword);
        self.keywords.iter().find(of)?.values.first()
    }
}

/// Where in the text the reader is.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Section {
    Keywords,
    Format,
    Data,
}

/// The tables of a file; none where it is cut off or too large, which `findings` then say.
pub fn tables<'a>(of: TextFile<'a>, findings: &mut Findings) -> Option<Vec<CgatsTable<'a>>> {
    let mut scan = Scan::new(of);
    let mut start = 0;
    for line in of.text.split_inclusive('\n') {
        let range = start..start + line.len();
        start = range.end;
        if let Err(fault) = scan.line(range, findings) {
            findings.push(fault);
            return None;
        }
    }
    scan.end(findings)
}

/// The text while it is read.
struct Scan<'a> {
    of: TextFile<'a>,
    section: Section,
    /// Where the section began.
    begun: Range<usize>,
    done: Vec<CgatsTable<'a>>,
    table: CgatsTable<'a>,
    /// The lines of the data that are read.
    lines: Vec<Vec<Piece<'a>>>,
    cells: usize,
}

impl<'a> Scan<'a> {
    fn new(of: TextFile<'a>) -> Scan<'a> {
        Scan {
            of,
            section: Section::Keywords,
            begun: 0..0,
            done: Vec::new(),
            table: CgatsTable::default(),
            lines: Vec::new(),
            cells: 0,
        }
    }

    fn line(&mut self, range: Range<usize>, findings: &mut Findings) -> Result<(), Diagnostic> {
        let mut line: Vec<Piece<'a>> = Vec::new();
        for piece in pieces(self.of, range) {
            let piece = piece?;
            let word = match self.section {
                Section::Keywords if line.is_empty() => &*piece.text,
                Section::Keywords => "",
                _ => &*piece.text,
            };
            match (self.section, word.to_ascii_uppercase().as_str()) {
                (Section::Keywords, "BEGIN_DATA_FORMAT") => self.begin(Section::Format, &piece),
                (Section::Keywords, "BEGIN_DATA") => self.begin(Section::Data, &piece),
                (Section::Format, "END_DATA_FORMAT") => self.section = Section::Keywords,
                (Section::Data, "END_DATA") => {
                    self.take_line(std::mem::take(&mut line))?;
                    self.section = Section::Keywords;
                    self.close(findings)?;
                }
                (Section::Format, _) => {
                    self.table.fields.push(piece);
                    self.within(limits::COLUMNS, self.table.fields.len(), "fields")?;
                }
                _ => line.push(piece),
            }
        }
        match self.section {
            Section::Data => self.take_line(line),
            _ => self.keyword(line),
        }
    }

    fn begin(&mut self, section: Section, piece: &Piece<'a>) {
        self.section = section;
        self.begun = piece.range.clone();
        if section == Section::Format {
            self.table.fields.clear();
        }
    }

    fn within(&self, limit: limits::Limit, count: usize, what: &str) -> Result<(), Diagnostic> {
        let most = self.of.limits.most(limit);
        if count <= most {
            return Ok(());
        }
        let message = format!("'{}' has more than {most} {what}", self.of.file.display());
        let help = self.of.limits.or_raise("check that this is the right file, or split it");
        Err(Diagnostic::error("table-too-large", message).at(self.of.at(0..0)).help(help))
    }

    fn take_line(&mut self, line: Vec<Piece<'a>>) -> Result<(), Diagnostic> {
        if line.is_empty() {
            return Ok(());
        }
        self.cells += line.len();
        self.lines.push(line);
        self.within(limits::ROWS, self.lines.len(), "lines of data")?;
        self.within(limits::CELLS, self.cells, "values")
    }

    fn keyword(&mut self, line: Vec<Piece<'a>>) -> Result<(), Diagnostic> {
        let mut line = line.into_iter();
        let Some(name) = line.next() else { return Ok(()) };
        self.cells += 1 + line.len();
        self.within(limits::CELLS, self.cells, "values")?;
        self.table.keywords.push(Keyword { name, values: line.collect() });
        Ok(())
    }

    /// The data of a table are at their end.
    fn close(&mut self, findings: &mut Findings) -> Result<(), Diagnostic> {
        // Fields that are taken over count again: a few bytes could stand for many.
        let before = self.done.last().map_or(0, |t| t.fields.len());
        self.cells += 1 + self.table.fields.len().max(before);
        self.within(limits::CELLS, self.cells, "values")?;
        let mut table = std::mem::take(&mut self.table);
        if table.fields.is_empty()
            && let Some(before) = self.done.last()
        {
            table.fields.clone_from(&before.fields);
        }
        let lines = std::mem::take(&mut self.lines);
        table.sets = self.sets(&table, lines, findings);
        self.done.push(table);
        Ok(())
    }

    /// The sets of a table: a line each, or, where the count is right, over several lines.
    fn sets(
        &self,
        table: &CgatsTable<'a>,
        lines: Vec<Vec<Piece<'a>>>,
        findings: &mut Findings,
    ) -> Vec<Vec<Piece<'a>>> {
        let width = table.fields.len();
        let promised = table.value("NUMBER_OF_SETS");
        let count = promised.and_then(|p| p.text.parse::<usize>().ok());
        let all: usize = lines.iter().map(Vec::len).sum();
        let even = lines.iter().all(|l| l.len() == width);
        let mut sets = lines;
        if !even && width > 0 && count.and_then(|c| c.checked_mul(width)) == Some(all) {
            let mut pieces = sets.into_iter().flatten();
            sets = (0..all / width).map(|_| pieces.by_ref().take(width).collect()).collect();
        }
        if let (Some(piece), Some(count)) = (promised, count)
            && count != sets.len()
        {
            let message = format!("the file says {count} sets of values, but has {}", sets.len());
            findings.push(
                Diagnostic::warning("set-count", message)
                    .at(self.of.at(piece.range.clone()))
                    .help("check that nothing of the file is missing"),
            );
        }
        sets.retain(|set| self.is_whole(set, table, findings));
        sets
    }

    fn is_whole(&self, set: &[Piece<'a>], table: &CgatsTable<'a>, findings: &mut Findings) -> bool {
        let (width, count) = (table.fields.len(), set.len());
        if count == width {
            return true;
        }
        let range = set.first().map_or(0, |p| p.range.start)..set.last().map_or(0, |p| p.range.end);
        let message = format!("this line has {count} values, but the format has {width} fields");
        let help =
            "write a value for each field, and put quotes around a text that contains blanks";
        let fault = Diagnostic::error("set-length", message).at(self.of.at(range)).help(help);
        findings.push(fault.cause(format!("{width} fields")));
        false
    }

    fn end(self, findings: &mut Findings) -> Option<Vec<CgatsTable<'a>>> {
        let end = match self.section {
            Section::Keywords => return Some(self.done),
            Section::Format => "END_DATA_FORMAT",
            Section::Data => "END_DATA",
        };
        let message = format!("what begins here is never ended by {end}");
        findings.push(
            Diagnostic::error("cut-off", message)
                .at(self.of.at(self.begun))
                .help("the file is cut off: export it again"),
        );
        None
    }
}

/// The pieces of a line.
fn pieces<'a>(
    of: TextFile<'a>,
    line: Range<usize>,
) -> impl Iterator<Item = Result<Piece<'a>, Diagnostic>> {
    let mut at = line.start;
    std::iter::from_fn(move || {
        let rest = of.text.get(at..line.end)?;
        let blank = rest.len() - rest.trim_start().len();
        let start = at + blank;
        let rest = &rest[blank..];
        if rest.is_empty() || rest.starts_with('#') {
            return None;
        }
        let Some(inner) = rest.strip_prefix('"') else {
            let length = rest.find(char::is_whitespace).unwrap_or(rest.len());
            at = start + length;
            let text = Cow::Borrowed(&rest[..length]);
            return Some(Ok(Piece { text, range: start..at }));
        };
        let Some(length) = quoted(inner) else {
            at = line.end;
            let message = "the quote that opens here is never closed";
            let help = "close it in the same line, or double it if it is part of the text";
            let fault = Diagnostic::error("quote-open", message).at(of.at(start..start + 1));
            return Some(Err(fault.help(help)));
        };
        let text = &inner[..length];
        let text = match text.contains('"') {
            true => Cow::Owned(text.replace("\"\"", "\"")),
            false => Cow::Borrowed(text),
        };
        at = start + length + 2;
        Some(Ok(Piece { text, range: start..at }))
    })
}

/// How long a text in quotes is, from behind the first of them.
fn quoted(inner: &str) -> Option<usize> {
    let mut at = 0;
    loop {
        at += inner.get(at..)?.find('"')?;
        if !inner[at + 1..].starts_with('"') {
            return Some(at);
        }
        at += 2;
    }
}
