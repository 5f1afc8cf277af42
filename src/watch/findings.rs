//! Faults, warnings and notes as the page lists them.

use std::cmp::Reverse;

use serde_json::{Map, Value, json};

use super::origins::{ByLine, Quoted};
use crate::diag::{CauseGroup, Diagnostic, Findings, Sources, by_cause};
use crate::diag_print::capitalised;

/// So many are listed.
const MOST: usize = 500;

/// The list: errors first, one cause once.
pub fn json_list(findings: &Findings, sources: &Sources, by_line: &ByLine) -> Value {
    let mut all: Vec<Diagnostic> = findings.clone().sorted();
    all.sort_by_key(|d| Reverse(d.severity));
    let causes = by_cause(&all);
    let one = |cause: &CauseGroup<'_>| {
        let d = cause.first;
        let quoted = d.span.as_ref().map(|s| Quoted::of(s, sources)).unwrap_or_default();
        let more = cause.count - 1;
        let message = match more {
            0 => d.message.clone(),
            1 => format!("{} (and in 1 more place)", d.message),
            _ => format!("{} (and in {more} more places)", d.message),
        };
        let spans = d.span.iter().chain(cause.others.iter().copied());
        let places = spans.map(|span| Quoted::of(span, sources));
        let origins: Vec<&String> =
            places.filter_map(|at| by_line.get(&(at.file, at.line))).flatten().take(20).collect();
        let mut object = Map::new();
        object.insert("severity".into(), d.severity.word().into());
        object.insert("message".into(), capitalised(&message).into());
        object.insert("help".into(), d.help.as_deref().map(capitalised).unwrap_or_default().into());
        quoted.fill(&mut object);
        object.insert("from".into(), quoted.from.into());
        object.insert("to".into(), quoted.to.into());
        object.insert("origins".into(), json!(origins));
        Value::Object(object)
    };
    causes.iter().take(MOST).map(one).collect()
}
