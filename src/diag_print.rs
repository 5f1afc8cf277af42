//! Findings as text with the line in question, as one line each, and as JSON.

use codespan_reporting::diagnostic::{self as cs, Label, LabelStyle};
use codespan_reporting::files::{self, Files, SimpleFiles};
use codespan_reporting::term::termcolor::Buffer;
use codespan_reporting::term::{self, Chars, Config};
use serde::Serialize;
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use crate::diag::{Diagnostic, Severity, Sources, Span};
use crate::table::{Align, Table};

/// How many findings are printed in full; of more only the count.
const SHOWN: usize = 100;
/// A line longer than this is not quoted: it would fill the screen.
const LONGEST_LINE: usize = 400;

/// Every finding with its line, a caret under the place and the way out.
pub fn render(findings: &[Diagnostic], sources: &Sources, colour: bool) -> String {
    let mut files = Quoted { files: SimpleFiles::new(), sources, paths: Vec::new() };
    let mut ids: BTreeMap<&Path, usize> = BTreeMap::new();
    for d in findings.iter().take(SHOWN) {
        if let Some(span) = &d.span
            && let Some(text) = sources.text(&span.file)
            && !ids.contains_key(&*span.file)
        {
            files.paths.push(span.file.clone());
            let name = tame(&span.file.display().to_string());
            ids.insert(&span.file, files.files.add(name, same_bytes(text)));
        }
    }
    let config = Config { chars: Chars::ascii(), tab_width: 4, ..Config::default() };
    let mut out = if colour { Buffer::ansi() } else { Buffer::no_color() };
    let mut tail = String::new();
    for d in findings.iter().take(SHOWN) {
        let quoted =
            d.span.as_ref().and_then(|s| Some((s, *ids.get(&*s.file)?, range(s, sources)?)));
        let mut shown = cs::Diagnostic::new(match d.severity {
            Severity::Error => cs::Severity::Error,
            Severity::Warning => cs::Severity::Warning,
            Severity::Hint => cs::Severity::Note,
        })
        .with_code(d.code);
        let mut notes = Vec::new();
        match quoted {
            Some((_, file, range)) => {
                shown = shown.with_message(tame(&d.message)).with_labels(vec![Label::new(
                    LabelStyle::Primary,
                    file,
                    range,
                )]);
            }
            None => {
                shown = shown.with_message(match &d.span {
                    Some(span) if named(span, &d.message) => tame(&d.message),
                    Some(span) => format!("{}{}", place(span, sources), tame(&d.message)),
                    None => tame(&d.message),
                });
            }
        }
        if let Some(cell) = d.span.as_ref().and_then(|s| sources.cell_name(s)) {
            notes.push(format!("cell: {cell}"));
        }
        if let Some(help) = &d.help {
            notes.push(format!("help: {}", tame(help)));
        }
        if term::emit_to_write_style(&mut out, &config, &files, &shown.with_notes(notes)).is_err() {
            tail.push_str(&line(d, sources));
            tail.push('\n');
        }
    }
    let mut text = String::from_utf8_lossy(out.as_slice()).into_owned();
    text.push_str(&tail);
    if findings.len() > SHOWN {
        text.push_str(&format!("... and {} more\n", findings.len() - SHOWN));
    }
    text
}

/// The quoted files; a place in a workbook counts cells, not signs.
struct Quoted<'a> {
    files: SimpleFiles<String, String>,
    sources: &'a Sources,
    paths: Vec<Arc<Path>>,
}

impl<'a> Files<'a> for Quoted<'_> {
    type FileId = usize;
    type Name = String;
    type Source = &'a str;

    fn name(&'a self, id: usize) -> Result<String, files::Error> {
        Files::name(&self.files, id)
    }

    fn source(&'a self, id: usize) -> Result<&'a str, files::Error> {
        Files::source(&self.files, id)
    }

    fn line_index(&'a self, id: usize, byte: usize) -> Result<usize, files::Error> {
        self.files.line_index(id, byte)
    }

    fn line_range(
        &'a self,
        id: usize,
        line: usize,
    ) -> Result<std::ops::Range<usize>, files::Error> {
        self.files.line_range(id, line)
    }

    fn column_number(&'a self, id: usize, line: usize, byte: usize) -> Result<usize, files::Error> {
        let span = self.paths.get(id).map(|f| Span { file: f.clone(), range: byte..byte });
        match span.and_then(|s| self.sources.line_column(&s)) {
            Some((_, column)) => Ok(column),
            None => self.files.column_number(id, line, byte),
        }
    }
}

/// The bytes to underline: inside the text, on character borders; none where the line is too long to quote.
fn range(span: &Span, sources: &Sources) -> Option<std::ops::Range<usize>> {
    let text = sources.text(&span.file)?;
    let floor = |mut i: usize| {
        i = i.min(text.len());
        while !text.is_char_boundary(i) {
            i -= 1;
        }
        i
    };
    let (start, end) = (floor(span.range.start), floor(span.range.end));
    if span.range == (0..0) {
        return None;
    }
    let line_start = text[..start].rfind('\n').map_or(0, |i| i + 1);
    let line_end = text[start..].find('\n').map_or(text.len(), |i| start + i);
    (line_end - line_start <= LONGEST_LINE).then(|| start..end.max(start).min(line_end))
}

/// A text for a screen: without signs that steer a terminal, and not endless.
fn tame(text: &str) -> String {
    const LONGEST: usize = 600;
    let mut out: String =
        text.chars().take(LONGEST).map(|c| if c.is_control() { '?' } else { c }).collect();
    if out.len() < text.len() && text.chars().nth(LONGEST).is_some() {
        out.push_str(" ...");
    }
    out
}

/// A file's text without signs that steer a terminal; every byte keeps its place.
fn same_bytes(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\n' | '\t' => out.push(c),
            '\r' => out.push(' '),
            c if c.is_control() => (0..c.len_utf8()).for_each(|_| out.push('?')),
            c => out.push(c),
        }
    }
    out
}

/// Is the whole file meant, and named in the message already?
fn named(span: &Span, message: &str) -> bool {
    span.range == (0..0) && message.contains(&format!("'{}'", span.file.display()))
}

/// `file:line:column: `, or `file: ` when the whole file is meant.
fn place(span: &Span, sources: &Sources) -> String {
    match sources.line_column(span) {
        Some((l, c)) if span.range != (0..0) => format!("{}:{l}:{c}: ", span.file.display()),
        _ => format!("{}: ", span.file.display()),
    }
}

/// `file:line:column: error: message (help)`, without a line end.
pub fn line(d: &Diagnostic, sources: &Sources) -> String {
    let place = d.span.as_ref().map(|s| place(s, sources)).unwrap_or_default();
    let help = d.help.as_ref().map(|h| format!(" ({})", tame(h))).unwrap_or_default();
    format!("{place}{}: {}{help}", d.severity.word(), tame(&d.message))
}

/// One finding a line, for spreadsheets.
pub fn csv(findings: &[Diagnostic], sources: &Sources) -> String {
    let heads = ["severity", "code", "file", "line", "column", "message", "help"];
    let mut table = Table::new(&heads.map(|h| (h, Align::Left)));
    for d in findings {
        let at = d.span.as_ref().filter(|s| s.range != (0..0)).and_then(|s| sources.line_column(s));
        table.row([
            d.severity.word().to_owned(),
            d.code.to_owned(),
            d.span.as_ref().map(|s| s.file.display().to_string()).unwrap_or_default(),
            at.map(|p| p.0.to_string()).unwrap_or_default(),
            at.map(|p| p.1.to_string()).unwrap_or_default(),
            d.message.clone(),
            d.help.clone().unwrap_or_default(),
        ]);
    }
    table.csv()
}

#[derive(Serialize)]
struct Entry<'a> {
    file: Option<String>,
    line: Option<usize>,
    column: Option<usize>,
    code: &'a str,
    severity: &'a str,
    message: &'a str,
    help: Option<&'a str>,
}

/// A JSON list, one object for each finding, with a line end.
pub fn json(findings: &[Diagnostic], sources: &Sources) -> String {
    let list: Vec<Entry> = findings
        .iter()
        .map(|d| {
            let at =
                d.span.as_ref().filter(|s| s.range != (0..0)).and_then(|s| sources.line_column(s));
            Entry {
                file: d.span.as_ref().map(|s| s.file.display().to_string()),
                line: at.map(|p| p.0),
                column: at.map(|p| p.1),
                code: d.code,
                severity: d.severity.word(),
                message: &d.message,
                help: d.help.as_deref(),
            }
        })
        .collect();
    // Texts and numbers always serialise.
    serde_json::to_string_pretty(&list).unwrap_or_default() + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    fn example() -> (Vec<Diagnostic>, Sources) {
        let mut sources = Sources::default();
        let file = Path::new("a.ron");
        sources.add(file, "(\n    Ärger: 1,\n)\n".into());
        let span = Some(Span { file: file.into(), range: 6..12 });
        let d = Diagnostic::error("unknown-field", "no field").at(span).help("remove it");
        (vec![d, Diagnostic::warning("w", "alone")], sources)
    }

    #[test]
    fn quotes_the_line() {
        let (list, sources) = example();
        let text = render(&list, &sources, false);
        assert!(text.contains("error[unknown-field]: no field"), "{text}");
        assert!(
            text.contains("a.ron:2:5") && text.contains("Ärger: 1") && text.contains("^^^^^\n"),
            "{text}"
        );
        assert!(text.contains("help: remove it") && text.contains("warning[w]: alone"), "{text}");
        assert!(!text.contains('\u{1b}') && render(&list, &sources, true).contains('\u{1b}'));
    }

    #[test]
    fn one_line_and_json() {
        let (list, sources) = example();
        assert_eq!(line(&list[0], &sources), "a.ron:2:5: error: no field (remove it)");
        assert_eq!(line(&list[1], &sources), "warning: alone");
        let json: serde_json::Value = serde_json::from_str(&json(&list, &sources)).unwrap();
        assert_eq!(json[0]["line"], 2);
        assert_eq!(json[1]["file"], serde_json::Value::Null);
    }

    #[test]
    fn nothing_steers_the_terminal() {
        let mut sources = Sources::default();
        let file = Path::new("a.ron");
        sources.add(file, "(\u{1b}[2J\u{9b}x)".into());
        let span = Some(Span { file: file.into(), range: 6..8 });
        let d = Diagnostic::error("c", "bad \u{1b}[31m".repeat(200)).at(span).help("\u{7}");
        let text = render(std::slice::from_ref(&d), &sources, false) + &line(&d, &sources);
        assert!(!text.contains(['\u{1b}', '\u{9b}', '\u{7}']) && text.len() < 3000, "{text:?}");
    }

    #[test]
    fn odd_places_do_not_stop_it() {
        let (mut list, sources) = example();
        // The last but one runs backwards, as a wrong place may.
        for (start, end) in [(0, 0), (3, 900), (7, 8), (900, 901), (12, 6), (19, 19)] {
            let range = start..end;
            list[0].span.as_mut().unwrap().range = range;
            render(&list, &sources, false);
            line(&list[0], &sources);
        }
    }
}
