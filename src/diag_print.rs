//! Findings as text with the line in question, as one line each, and as JSON.
//!
//! Findings of one cause are one message with the first places; see [`by_cause`].

use codespan_reporting::diagnostic::{self as cs, Label, LabelStyle};
use codespan_reporting::files::{self, Files, SimpleFiles};
use codespan_reporting::term::termcolor::Buffer;
use codespan_reporting::term::{self, Chars, Config};
use serde::Serialize;
use std::collections::{BTreeMap, HashMap};
use std::path::Path;
use std::sync::Arc;

use crate::diag::{Diagnostic, Severity, Sources, Span, Told, by_cause, floor};
use crate::table::{Align, Table};

/// How many messages are printed in full; of more only the count.
const SHOWN: usize = 100;
/// How many messages of one kind (severity and code) are printed in full.
const ALIKE: usize = 10;
/// How many places of one message are printed.
const PLACES: usize = 3;
/// How many places of one message are written to JSON.
const MOST_PLACES: usize = 1_000;
/// A line longer than this is not quoted: it would fill the screen.
const LONGEST_LINE: usize = 400;

/// Every message with its line, a caret under the place and the way out.
pub fn render(findings: &[Diagnostic], sources: &Sources, colour: bool) -> String {
    let all = by_cause(findings);
    let (shown, left) = chosen(&all);
    let mut files = Quoted { files: SimpleFiles::new(), sources, paths: Vec::new() };
    let mut ids: BTreeMap<&Path, usize> = BTreeMap::new();
    for (told, _) in &shown {
        if let Some(span) = &told.first.span
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
    for (told, more) in &shown {
        let message = in_full(told, *more, sources, &ids);
        if term::emit_to_write_style(&mut out, &config, &files, &message).is_err() {
            tail.push_str(&line(told.first, sources));
            tail.push('\n');
        }
    }
    let mut text = String::from_utf8_lossy(out.as_slice()).into_owned();
    text.push_str(&tail);
    if left > 0 {
        text.push_str(&format!("... and {left} more\n"));
    }
    text
}

/// The messages that are printed in full, the last of each kind with how many more there are of it, and how
/// many of other kinds are left out. Errors come before warnings and these before notes where there is no
/// room for all.
fn chosen<'a, 'b>(all: &'b [Told<'a>]) -> (Vec<(&'b Told<'a>, usize)>, usize) {
    let mut kinds: HashMap<(Severity, &str), Vec<usize>> = HashMap::new();
    for (i, told) in all.iter().enumerate() {
        kinds.entry((told.first.severity, told.first.code)).or_default().push(i);
    }
    let mut picked: Vec<usize> = kinds.values().flat_map(|of| &of[..most(of)]).copied().collect();
    picked.sort_by_key(|i| (std::cmp::Reverse(all[*i].first.severity), *i));
    let left = picked.len().saturating_sub(SHOWN);
    picked.truncate(SHOWN);
    picked.sort_unstable();
    let more = |i: usize| {
        let of = &kinds[&(all[i].first.severity, all[i].first.code)];
        let last = of[..most(of)].last() == Some(&i);
        if last { of.len() - most(of) } else { 0 }
    };
    (picked.iter().map(|i| (&all[*i], more(*i))).collect(), left)
}

/// How many of a kind are printed: of one more than fits there is room to print it, too.
fn most(of: &[usize]) -> usize {
    if of.len() <= ALIKE + 1 { of.len() } else { ALIKE }
}

/// A message as the terminal's library takes it. `more`: how many others of its kind are left out.
fn in_full(
    told: &Told<'_>,
    more: usize,
    sources: &Sources,
    ids: &BTreeMap<&Path, usize>,
) -> cs::Diagnostic<usize> {
    let d = told.first;
    let shown = cs::Diagnostic::new(match d.severity {
        Severity::Error => cs::Severity::Error,
        Severity::Warning => cs::Severity::Warning,
        Severity::Hint => cs::Severity::Note,
    })
    .with_code(d.code);
    let quoted = d.span.as_ref().and_then(|s| Some((*ids.get(&*s.file)?, range(s, sources)?)));
    let message = tame(&d.message);
    let shown = match (quoted, &d.span) {
        (Some((file, range)), _) => shown.with_message(message).with_labels(vec![Label::new(
            LabelStyle::Primary,
            file,
            range,
        )]),
        (None, Some(span)) if !named(span, &d.message) => {
            shown.with_message(format!("{}{message}", place(span, sources)))
        }
        _ => shown.with_message(message),
    };
    let mut notes = Vec::new();
    let cell = d.span.as_ref().and_then(|s| sources.cell_name(s));
    match (cell, also(told, sources)) {
        (Some(cell), Some(also)) => notes.push(format!("cell: {cell}; {also}")),
        (Some(cell), None) => notes.push(format!("cell: {cell}")),
        (None, Some(also)) => notes.push(also),
        (None, None) => {}
    }
    if let Some(help) = &d.help {
        notes.push(format!("help: {}", tame(help)));
    }
    if more > 0 {
        let kind = match d.severity {
            Severity::Hint => "notes",
            Severity::Warning => "warnings",
            Severity::Error => "errors",
        };
        notes.push(format!("... and {more} more {kind} like this"));
    }
    shown.with_notes(notes)
}

/// 'also at 7:3, 9:3 and 842 more': where else the finding holds. Cells of a workbook go by their names.
fn also(told: &Told<'_>, sources: &Sources) -> Option<String> {
    let own = told.first.span.as_ref().map(|s| s.range.start);
    let elsewhere = told.others.iter().filter(|s| s.range != (0..0) && Some(s.range.start) != own);
    let named: Vec<String> = elsewhere
        .take(PLACES - 1)
        .filter_map(|s| {
            sources.cell_name(s).or_else(|| {
                let (line, column) = sources.line_column(s)?;
                Some(format!("{line}:{column}"))
            })
        })
        .collect();
    let left = told.count - 1 - named.len();
    match (named.as_slice(), left) {
        ([], 0) => None,
        ([], _) => Some(format!("and {left} more times")),
        ([one], 0) => Some(format!("also at {one}")),
        ([one, two], 0) => Some(format!("also at {one} and {two}")),
        (named, _) => Some(format!("also at {} and {left} more", named.join(", "))),
    }
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
    let (start, end) = (floor(text, span.range.start), floor(text, span.range.end));
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
    /// How many findings have this cause.
    count: usize,
    /// Line and column of each, the first one's too; a thousand at most.
    places: Vec<[usize; 2]>,
}

/// A JSON list, one object for each cause, with a line end.
pub fn json(findings: &[Diagnostic], sources: &Sources) -> String {
    let place = |s: &Span| if s.range == (0..0) { None } else { sources.line_column(s) };
    let list: Vec<Entry> = by_cause(findings)
        .into_iter()
        .map(|told| {
            let d = told.first;
            let at = d.span.as_ref().and_then(place);
            let places = d.span.iter().chain(told.others).filter_map(place);
            Entry {
                file: d.span.as_ref().map(|s| s.file.display().to_string()),
                line: at.map(|p| p.0),
                column: at.map(|p| p.1),
                code: d.code,
                severity: d.severity.word(),
                message: &d.message,
                help: d.help.as_deref(),
                count: told.count,
                places: places.take(MOST_PLACES).map(|(l, c)| [l, c]).collect(),
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

    /// 845 rows of one misspelt family, and as many families each misspelt in its own way.
    #[test]
    fn many_are_told_in_few_lines() {
        let mut sources = Sources::default();
        let file: Arc<Path> = Path::new("c.csv").into();
        sources.add(&file, "perl\n".repeat(900).into());
        let at = |row: usize| Some(Span { file: file.clone(), range: row * 5..row * 5 + 4 });
        let fault = |row, family: &str| {
            let message = format!("there is no family '{family}'");
            Diagnostic::error("unknown-family", message).at(at(row)).help("did you mean 'pearl'?")
        };
        let same: Vec<Diagnostic> = (0..845).map(|row| fault(row, "perl")).collect();
        let text = render(&same, &sources, false);
        assert!(text.contains("c.csv:1:1") && text.lines().count() < 10, "{text}");
        assert!(text.contains("also at 2:1, 3:1 and 842 more"), "{text}");
        let list: serde_json::Value = serde_json::from_str(&json(&same, &sources)).unwrap();
        assert_eq!((list.as_array().unwrap().len(), &list[0]["count"]), (1, &845.into()));
        assert_eq!(list[0]["places"][844], serde_json::json!([845, 1]));
        assert_eq!(csv(&same, &sources).lines().count(), 846);
        let other: Vec<Diagnostic> = (0..845).map(|row| fault(row, &format!("f{row}"))).collect();
        let text = render(&other, &sources, false);
        assert_eq!(text.matches("error[").count(), ALIKE, "{text}");
        assert!(text.contains("... and 835 more errors like this"), "{text}");
        // Errors are not crowded out by notes before them.
        let codes: Vec<&'static str> = (0..150).map(|i| &*format!("n{i}").leak()).collect();
        let mut mixed: Vec<Diagnostic> =
            codes.iter().map(|c| Diagnostic::hint(c, "m").at(at(0))).collect();
        mixed.push(fault(800, "perl"));
        let text = render(&mixed, &sources, false);
        assert!(text.contains("error[unknown-family]") && text.contains("and 51 more"), "{text}");
    }

    #[test]
    fn places_in_a_workbook_are_cells() {
        let mut sources = Sources::default();
        let file = Path::new("c.xlsx [2026]");
        sources.add_cells(file, "key\tfamily\na\tperl\nb\tperl\n".into());
        let at = |start| Some(Span { file: file.into(), range: start..start + 4 });
        let of = |start| Diagnostic::error("unknown-family", "no family 'perl'").at(at(start));
        let text = render(&[of(13), of(20)], &sources, false);
        assert!(text.contains("cell: B2; also at B3\n"), "{text}");
    }
}
