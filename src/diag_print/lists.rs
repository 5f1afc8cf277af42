//! Findings for machines: CSV for spreadsheets, JSON for programs.

use serde::Serialize;

use crate::diag::{Diagnostic, Sources, Span, by_cause};
use crate::table::{Align, Table};

/// How many places of one message are written to JSON.
const MOST_PLACES: usize = 1_000;

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
    json_and::<()>(findings, sources, &[])
}

/// One object of a list.
#[derive(Serialize)]
#[serde(untagged)]
enum Listed<'a, T> {
    Finding(Entry<'a>),
    Other(&'a T),
}

/// The same with other objects behind those of the findings.
pub fn json_and<T: Serialize>(findings: &[Diagnostic], sources: &Sources, others: &[T]) -> String {
    let place = |s: &Span| if s.range == (0..0) { None } else { sources.line_column(s) };
    let list: Vec<Listed<T>> = by_cause(findings)
        .into_iter()
        .map(|reported| {
            let d = reported.first;
            let at = d.span.as_ref().and_then(place);
            let places = d.span.iter().chain(reported.others).filter_map(place);
            Listed::Finding(Entry {
                file: d.span.as_ref().map(|s| s.file.display().to_string()),
                line: at.map(|p| p.0),
                column: at.map(|p| p.1),
                code: d.code,
                severity: d.severity.word(),
                message: &d.message,
                help: d.help.as_deref(),
                count: reported.count,
                places: places.take(MOST_PLACES).map(|(l, c)| [l, c]).collect(),
            })
        })
        .chain(others.iter().map(Listed::Other))
        .collect();
    // Texts and numbers always serialise.
    serde_json::to_string_pretty(&list).unwrap_or_default() + "\n"
}
