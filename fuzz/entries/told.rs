//! What every finding promises: a message, a suggestion, a place that is there.

use std::ops::Range;

use shadecard::diag::{Diagnostic, Findings, Sources};
use shadecard::diag_print::{json, line, render};

/// Looks findings over, prints one in four lists in every form, and returns what is said.
pub fn told(findings: Findings, sources: &Sources) -> String {
    let list = findings.sorted();
    for finding in &list {
        one(finding, sources);
    }
    let said: String = list.iter().map(|f| format!("{}: {}\n", f.code, f.message)).collect();
    if !one_in(4, said.as_bytes()) {
        return said;
    }
    let read = json(&list, sources);
    assert!(read.starts_with('[') && read.trim_end().ends_with(']'), "no list: {read}");
    render(&list, sources, false)
}

/// The same of an error: there has to be one.
pub fn errors(findings: Findings, sources: &Sources) -> String {
    assert!(findings.failed(), "refused without an error: {findings:?}");
    told(findings, sources)
}

/// One input in so many, reported from its bytes; every one where inputs are run again.
pub fn one_in(many: u32, bytes: &[u8]) -> bool {
    cfg!(test) || sum(bytes).is_multiple_of(u64::from(many))
}

/// The ways in which an input is used: the one that its first byte names, or all where inputs are run again. With it
/// comes the rest of the input.
pub fn ways(bytes: &[u8], count: usize) -> (Range<usize>, &[u8]) {
    let (first, rest) = bytes.split_first().map_or((0, bytes), |(b, rest)| (*b, rest));
    let first = usize::from(first) % count;
    (if cfg!(test) { 0..count } else { first..first + 1 }, rest)
}

/// FNV-1a.
pub fn sum(bytes: &[u8]) -> u64 {
    let step = |sum: u64, b: &u8| (sum ^ u64::from(*b)).wrapping_mul(0x100_0000_01b3);
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, step)
}

pub fn one(finding: &Diagnostic, sources: &Sources) {
    let Diagnostic { code, message, help, span, .. } = finding;
    assert!(!code.is_empty() && !message.trim().is_empty(), "says nothing: {finding:?}");
    assert!(help.as_ref().is_some_and(|h| !h.trim().is_empty()), "no way out: {finding:?}");
    if let Some(span) = span
        && let Some(text) = sources.text(&span.file)
    {
        let end = span.range.end;
        assert!(span.range.start <= end && end <= text.len(), "no such place: {finding:?}");
        assert!(text.is_char_boundary(span.range.start), "inside a letter: {finding:?}");
        assert!(sources.line_column(span).is_some(), "no line: {finding:?}");
    }
    let word = finding.severity.word();
    assert!(line(finding, sources).contains(word), "no {word} in its line: {finding:?}");
}
