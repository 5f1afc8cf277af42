//! Findings as people read them, and as lists for machines ([`csv`], [`json`]).
//!
//! A message reads: file, line and column; the line itself with the place marked; what is wrong; what to do.
//! Findings of one cause are one message with the first places; see [`by_cause`].

mod lists;
mod quote;
mod tame;
#[cfg(test)]
mod tests;

use std::collections::HashMap;
use std::fmt::Write as _;

use anstyle::{AnsiColor, Style};

pub use self::lists::{csv, json, json_and};
use self::quote::Quote;
use self::tame::tame;
use crate::diag::{CauseGroup, Diagnostic, Severity, Sources, Span, by_cause};

/// How many messages are printed in full; of more only the count.
const SHOWN: usize = 100;
/// How many messages of one kind (severity and code) are printed in full.
const ALIKE: usize = 10;
/// How many places of one message are printed.
const PLACES: usize = 3;

/// Every message with its place, the line there and what to do; a blank line after each.
pub fn render(findings: &[Diagnostic], sources: &Sources, colour: bool) -> String {
    let all = by_cause(findings);
    let (shown, left) = chosen(&all);
    let mut out = String::new();
    for (reported, more) in &shown {
        message(&mut out, reported, sources, colour);
        if *more > 0 {
            let kind = reported.first.severity.word();
            let _ = writeln!(out, "  ... and {more} more {kind}s of this kind");
        }
        out.push('\n');
    }
    if left > 0 {
        let _ = writeln!(out, "... and {left} more");
    }
    out
}

/// The messages that are printed in full, the last of each kind with how many more there are of it, and how
/// many of other kinds are left out. Errors come before warnings and these before notes where there is no
/// room for all.
fn chosen<'a, 'b>(all: &'b [CauseGroup<'a>]) -> (Vec<(&'b CauseGroup<'a>, usize)>, usize) {
    let mut kinds: HashMap<(Severity, &str), Vec<usize>> = HashMap::new();
    for (i, reported) in all.iter().enumerate() {
        kinds.entry((reported.first.severity, reported.first.code)).or_default().push(i);
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

/// One message.
fn message(out: &mut String, reported: &CauseGroup<'_>, sources: &Sources, colour: bool) {
    let d = reported.first;
    let (bold, marked) = styles(d.severity, colour);
    let word = capitalised(d.severity.word());
    let said = capitalised(&tame(&d.message));
    // Writing to a string does not fail.
    let _ = match d.span.as_ref().filter(|span| !named(span, &d.message)) {
        Some(span) => {
            let place = place(span, sources);
            let _ = writeln!(out, "{bold}{word} in {place}{bold:#}");
            if let Some(quote) = Quote::of(span, sources) {
                let (pad, marks) = (" ".repeat(quote.indent), "^".repeat(quote.marks));
                let _ = writeln!(out, "    {}\n    {pad}{marked}{marks}{marked:#}", quote.line);
            }
            writeln!(out, "  {said}")
        }
        None => writeln!(out, "{bold}{word}:{bold:#} {said}"),
    };
    if let Some(also) = also(reported, sources) {
        let _ = writeln!(out, "  {also}");
    }
    if let Some(help) = &d.help {
        let _ = writeln!(out, "  Suggestion: {}", tame(help));
    }
}

/// How the first line and the marks look on a terminal.
fn styles(severity: Severity, colour: bool) -> (Style, Style) {
    if !colour {
        return (Style::new(), Style::new());
    }
    let own = match severity {
        Severity::Error => AnsiColor::Red,
        Severity::Warning => AnsiColor::Yellow,
        Severity::Hint => AnsiColor::Cyan,
    };
    let style = Style::new().fg_color(Some(own.into()));
    (style.bold(), style)
}

/// 'Also in line 7, column 3; line 9, column 3; and 842 more places': where else the finding holds.
fn also(reported: &CauseGroup<'_>, sources: &Sources) -> Option<String> {
    let own = reported.first.span.as_ref().map(|s| s.range.start);
    let elsewhere =
        reported.others.iter().filter(|s| s.range != (0..0) && Some(s.range.start) != own);
    let named: Vec<String> =
        elsewhere.take(PLACES - 1).filter_map(|s| within(s, sources)).collect();
    let left = reported.count - 1 - named.len();
    let places = named.join("; ");
    match (named.is_empty(), left) {
        (true, 0) => None,
        (true, _) => Some(format!("And {left} more times")),
        (false, 0) => Some(format!("Also in {places}")),
        (false, 1) => Some(format!("Also in {places}; and 1 more place")),
        (false, _) => Some(format!("Also in {places}; and {left} more places")),
    }
}

/// With a capital first letter, where the text begins with a plain word: a file name, a quoted text or an option
/// stays as it is typed.
pub fn capitalised(text: &str) -> String {
    let first = text.split(' ').next().unwrap_or_default();
    if first.is_empty() || !first.bytes().all(|b| b.is_ascii_lowercase()) {
        return text.to_owned();
    }
    text[..1].to_uppercase() + &text[1..]
}

/// Is the whole file meant, and named in the message already?
fn named(span: &Span, message: &str) -> bool {
    span.range == (0..0) && message.contains(&format!("'{}'", span.file.display()))
}

/// `range.ron, line 7, column 20`; in a workbook `colours.xlsx [2026], cell B7`; the file alone when all of it is
/// meant.
fn place(span: &Span, sources: &Sources) -> String {
    let file = tame(&span.file.display().to_string());
    match within(span, sources) {
        Some(place) => format!("{file}, {place}"),
        None => file,
    }
}

/// The place within its file; none when the whole file is meant.
fn within(span: &Span, sources: &Sources) -> Option<String> {
    if let Some(cell) = sources.cell_name(span) {
        return Some(format!("cell {cell}"));
    }
    let at = sources.line_column(span).filter(|_| span.range != (0..0));
    at.map(|(line, column)| format!("line {line}, column {column}"))
}

/// A finding in one line, without a line end: `range.ron, line 7, column 20: error: message (suggestion)`.
pub fn line(d: &Diagnostic, sources: &Sources) -> String {
    let place = d.span.as_ref().map(|s| place(s, sources) + ": ").unwrap_or_default();
    let help = d.help.as_ref().map(|h| format!(" ({})", tame(h))).unwrap_or_default();
    format!("{place}{}: {}{help}", d.severity.word(), tame(&d.message))
}
