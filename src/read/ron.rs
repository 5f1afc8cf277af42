//! Decodes a RON text, and says everything that is wrong with it at once.
//!
//! The decoder stops at its first fault. That fault is noted in plain words,
//! the field or item that holds it is blanked out (spaces, so that every
//! place stays) and the text is decoded again, until it goes through.

use std::collections::HashMap;
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

use ron::error::{Error, SpannedError};
use ron::extensions::Extensions;
use serde::de::DeserializeOwned;

use super::locate::{Body, Node, scan};
use crate::diag::{Diagnostic, Findings, Span, nearest};

/// How many faults are collected before giving up.
const MAX_FAULTS: usize = 50;

/// A decoded file and the places of its fields.
#[derive(Debug)]
pub struct Document<T> {
    pub value: T,
    pub source: Source,
}

/// The places of a file's fields.
#[derive(Debug)]
pub struct Source {
    file: Arc<Path>,
    text: String,
    tree: Node,
    blanked: Blanked,
    /// The text is a table's: a place is a cell.
    cells: bool,
}

/// What was blanked.
#[derive(Debug, Default)]
struct Blanked {
    /// By the start of the bracket around it: its keys.
    keys: HashMap<usize, Vec<String>>,
    /// Its bytes, by their starts.
    places: Vec<Range<usize>>,
}

impl Blanked {
    /// Of each: start of the bracket around it, key, bytes.
    fn new(list: Vec<(usize, String, Range<usize>)>) -> Blanked {
        let mut out = Blanked::default();
        for (parent, key, place) in list {
            out.keys.entry(parent).or_default().push(key);
            out.places.push(place);
        }
        out.places.sort_by_key(|place| (place.start, place.end));
        out
    }

    fn holds(&self, parent: usize, key: &str) -> bool {
        self.keys.get(&parent).is_some_and(|keys| keys.iter().any(|k| k == key))
    }

    /// Is any of it within these bytes?
    fn within(&self, bytes: &Range<usize>) -> bool {
        let first = self.places.partition_point(|place| place.start < bytes.start);
        let mut here = self.places[first..].iter().take_while(|place| place.start <= bytes.end);
        here.any(|place| place.end <= bytes.end)
    }
}

/// Decodes `text`. `top` is the name that may stand before the outer bracket.
///
/// # Errors
/// What was found is added to `findings`; none comes back when nothing could be decoded.
pub fn decode<T: DeserializeOwned>(
    file: &Path,
    text: &str,
    top: &str,
    findings: &mut Findings,
) -> Option<Document<T>> {
    if let Some(d) = another_kind(file, text, top) {
        findings.push(d);
        return None;
    }
    let mut tree = match scan(file, text) {
        Ok(tree) => tree,
        Err(faults) => {
            faults.into_iter().for_each(|d| findings.push(d));
            return None;
        }
    };
    let file: Arc<Path> = file.into();
    if let Some(name) = tree.name.clone().filter(|n| &text[n.clone()] != top) {
        findings.push(wrong_kind(&file, &text[name.clone()], name, top));
        return None;
    }
    let options = ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME);
    let mut now = text.to_owned();
    let mut blanked = Vec::new();
    for _ in 0..=MAX_FAULTS {
        let error = match options.from_str::<T>(&now) {
            Ok(value) => {
                let blanked = Blanked::new(blanked);
                let source = Source { file, text: now, tree, blanked, cells: false };
                return Some(Document { value, source });
            }
            Err(error) => error,
        };
        let start = offset(&now, error.span.start.line, error.span.start.col);
        let end = offset(&now, error.span.end.line, error.span.end.col);
        let at = blame_point(&error, start, end);
        let blame = blame(&tree, at, None);
        let misspelt = |field: &str| blanked.iter().any(|(_, key, _)| key == field);
        if matches!(&error.code, Error::MissingStructField { field, .. } if misspelt(field)) {
            return None;
        }
        findings.push(explain(&file, &now, &error, blame.as_ref(), at));
        let blame = blame?;
        if let Error::NoSuchStructField { expected, found, .. } = &error.code
            && let Some(meant) = nearest(found, expected.iter().copied())
        {
            // The field that was meant is there, under another name: it is not missing as well.
            blanked.push((blame.parent, meant.to_owned(), blame.whole.clone()));
        }
        blanked.push((blame.parent, blame.key.clone(), blame.whole.clone()));
        now = blank(&now, blame.whole);
        tree = scan(&file, &now).ok()?;
    }
    None
}

/// What the files that start with a name are called.
fn kind(top: &str) -> Option<&'static str> {
    Some(match top {
        "Sheet" => "sheet file, which selects the colours to show",
        "Range" => "range file, which lists colours and parts",
        "Layout" => "page layout",
        "Style" => "style",
        "Spelling" => "spelling",
        "Labels" => "label sheet",
        "Offset" => "file of measured marks",
        "Values" => "file of print values",
        _ => return None,
    })
}

/// A text that starts like no file of ours: a drawing, a list, another format.
fn another_kind(file: &Path, text: &str, top: &str) -> Option<Diagnostic> {
    let start = text.len() - text.trim_start().len();
    let rest = &text[start..];
    let inner = rest.trim_start_matches(|c: char| c.is_whitespace() || "[{".contains(c));
    let word = rest.trim_start_matches(|c: char| c.is_alphanumeric() || c == '_').trim_start();
    let what = match rest.chars().next()? {
        '<' => "a drawing or a web page",
        c if c.is_alphanumeric() && word.starts_with([',', ';', '\t', '|']) => "a list",
        '{' | '[' if inner.starts_with('"') => "another kind of file",
        c if c.is_alphanumeric() && !word.starts_with('(') => "another kind of file",
        _ => return None,
    };
    let end = start + rest.chars().next().map_or(0, char::len_utf8);
    let place = Span { file: file.into(), range: start..end };
    let due = kind(top).unwrap_or("RON file");
    Some(
        Diagnostic::error("wrong-kind-of-file", format!("this looks like {what}"))
            .at(Some(place))
            .help(format!("name a {due}; it starts with '{top}('")),
    )
}

fn wrong_kind(file: &Arc<Path>, found: &str, range: Range<usize>, top: &str) -> Diagnostic {
    let help = match (kind(found), kind(top)) {
        (Some(this), Some(due)) => {
            let this = this.split(',').next().unwrap_or(this);
            format!("this is a {this}; name a {due}")
        }
        _ => format!("start it with '{top}('"),
    };
    Diagnostic::error(
        "wrong-kind-of-file",
        format!("this file starts with '{found}(' where '{top}(' is expected"),
    )
    .at(Some(Span { file: file.clone(), range }))
    .help(help)
}

/// The byte at a line and a column, both from 1, columns in characters.
fn offset(text: &str, line: usize, column: usize) -> usize {
    let start = match line {
        0 | 1 => 0,
        n => text.match_indices('\n').nth(n - 2).map_or(text.len(), |(i, _)| i + 1),
    };
    text[start..]
        .char_indices()
        .nth(column.saturating_sub(1))
        .map_or(text.len(), |(i, _)| start + i)
}

fn blame_point(error: &SpannedError, start: usize, end: usize) -> usize {
    match error.code {
        // The decoder has read the word already, and the blanks before it.
        Error::NoSuchEnumVariant { .. }
        | Error::NoSuchStructField { .. }
        | Error::DuplicateStructField { .. }
        | Error::InvalidValueForType { .. }
        | Error::ExpectedDifferentLength { .. } => end,
        _ => start.max(end),
    }
}

/// What is to be blanked for a fault.
#[derive(Debug)]
struct Blame {
    /// Start of the bracket around it.
    parent: usize,
    /// The field's name; empty for an item of a list.
    key: String,
    /// The field's name where it stands.
    key_span: Option<Range<usize>>,
    value: Range<usize>,
    whole: Range<usize>,
}

/// The innermost field or item that holds the byte; a tuple is one value.
fn blame(node: &Node, at: usize, within: Option<Blame>) -> Option<Blame> {
    let holds = |r: &Range<usize>| r.start <= at && at <= r.end;
    match &node.body {
        Body::Entries(list) => match list.iter().find(|e| holds(&e.span())) {
            Some(e) => {
                let here = Blame {
                    parent: node.span.start,
                    key: e.text.clone(),
                    key_span: Some(e.key.clone()),
                    value: e.value.span.clone(),
                    whole: e.span(),
                };
                blame(&e.value, at, Some(here))
            }
            None => within,
        },
        Body::List(list) => match list.iter().find(|n| holds(&n.span)) {
            Some(n) => {
                let here = Blame {
                    parent: node.span.start,
                    key: String::new(),
                    key_span: None,
                    value: n.span.clone(),
                    whole: n.span.clone(),
                };
                blame(n, at, Some(here))
            }
            None => within,
        },
        Body::Tuple(_) | Body::Leaf => within,
    }
}

/// Spaces in place of a range and the comma behind it; line ends stay.
fn blank(text: &str, range: Range<usize>) -> String {
    let tail = &text[range.end..];
    let comma = tail.find(|c: char| !c.is_whitespace()).filter(|i| tail[*i..].starts_with(','));
    let mut out = String::with_capacity(text.len());
    out.push_str(&text[..range.start]);
    for b in text[range.clone()].bytes() {
        out.push(if b == b'\n' { '\n' } else { ' ' });
    }
    match comma {
        Some(i) => {
            out.push_str(&tail[..i]);
            out.push(' ');
            out.push_str(&tail[i + 1..]);
        }
        None => out.push_str(tail),
    }
    out
}

fn quoted(text: &str) -> String {
    let line = text.split('\n').next().unwrap_or("");
    let short: String = line.chars().take(40).collect();
    if short.len() < text.len() { format!("{short} ...") } else { short }
}

fn explain(
    file: &Arc<Path>,
    text: &str,
    error: &SpannedError,
    blame: Option<&Blame>,
    at: usize,
) -> Diagnostic {
    let place = |range: Range<usize>| Some(Span { file: file.clone(), range });
    let value = blame.map_or(at..at, |b| first_line(text, b.value.clone()));
    let key = blame.map_or(at..at, |b| b.key_span.clone().unwrap_or(b.value.clone()));
    let shown = quoted(&text[value.clone()]);
    let what = match blame {
        Some(b) if !b.key.is_empty() => format!("'{}' takes", b.key),
        Some(_) => "an item of this list must be".to_owned(),
        None => "this file must contain".to_owned(),
    };
    let wrong = |due: &str, help: String| {
        let message = match shown.is_empty() {
            true => format!("{what} {due}"),
            false => format!("{what} {due}, not {shown}"),
        };
        Diagnostic::error("wrong-value", message).at(place(value.clone())).help(help)
    };
    match &error.code {
        Error::NoSuchStructField { expected, found, .. } => {
            Diagnostic::error("unknown-field", format!("unknown field '{found}'"))
                .at(place(key))
                .help(choice(found, expected, "fields"))
        }
        Error::DuplicateStructField { field, .. } => {
            // The decoder met the second one: the first was read already.
            Diagnostic::error("double-field", format!("the field '{field}' is given twice"))
                .at(place(key))
                .help("keep one of them")
        }
        Error::NoSuchEnumVariant { expected, found, .. } => {
            let due = match blame {
                Some(b) if b.key == *found => {
                    format!("'{found}' needs a value, not its own name")
                }
                Some(b) if !b.key.is_empty() => format!("'{found}' is not a value of '{}'", b.key),
                _ => format!("'{found}' is not one of the values accepted here"),
            };
            Diagnostic::error("unknown-word", due)
                .at(place(value))
                .help(choice(found, expected, "values"))
        }
        Error::ExpectedString if shown.starts_with('"') => {
            let name = blame.map_or("", |b| b.key.as_str());
            Diagnostic::error("missing-quotes", format!("'{name}' has no quotes"))
                .at(place(key))
                .help(format!("write it as \"{name}\""))
        }
        Error::ExpectedString if shown.contains(['"', '(', '[', '{']) => {
            wrong("a text in quotes", "write one text between two quotes: \"...\"".into())
        }
        Error::ExpectedString => wrong("a text in quotes", format!("write it as \"{shown}\"")),
        Error::ExpectedInteger
        | Error::InvalidIntegerDigit { .. }
        | Error::UnderscoreAtBeginning => {
            wrong("a whole number", "write digits only, without quotes".into())
        }
        Error::IntegerOutOfBounds => {
            wrong("a smaller whole number", "write a smaller number".into())
        }
        Error::ExpectedFloat | Error::FloatUnderscore => wrong(
            "a number",
            "write it with digits and a decimal point, without quotes, for example 0.5".into(),
        ),
        Error::ExpectedBoolean => {
            wrong("true or false", "write true or false, without quotes".into())
        }
        _ if shown.starts_with("Table")
            && !matches!(error.code, Error::NoSuchStructField { .. }) =>
        {
            let mut inner = shown["Table".len()..].trim_start_matches(['(', ' ']).to_owned();
            inner.truncate(inner.find([',', ')']).unwrap_or(inner.len()));
            wrong("named fields in Table(...)", format!("write Table(file: {inner}, ...)"))
        }
        _ if shown.starts_with("Lab") && !matches!(error.code, Error::NoSuchEnumVariant { .. }) => {
            let help =
                "give lightness, a and b, with a decimal point, not a comma: Lab(62.5, 10, -4)";
            wrong("three numbers in Lab(...)", help.into())
        }
        Error::MissingStructField { field, .. } => {
            Diagnostic::error("missing-field", format!("'{field}' is missing here"))
                .at(place(blame.map_or(0..1, |b| b.value.start..b.value.start + 1)))
                .help(format!("add {field}: with its value"))
        }
        Error::ExpectedArray => wrong("a list", "write it in square brackets: [..., ...]".into()),
        Error::ExpectedMap => {
            wrong("pairs in curly brackets", "write it as {\"key\": ..., \"key\": ...}".into())
        }
        Error::ExpectedNamedStructLike(name) if *name == "Measure" => {
            wrong("two lengths in brackets", "write it as (14, 4.6): on the poster, on A4".into())
        }
        Error::ExpectedNamedStructLike(_)
        | Error::ExpectedStructLike
        | Error::ExpectedStructLikeEnd
        | Error::ExpectedMapColon => {
            wrong("fields in round brackets", "write it as (name: value, name: value)".into())
        }
        Error::ExpectedIdentifier if blame.is_some_and(|b| b.key == "page") => {
            wrong("a page size", "write Paper(\"A4\"), or Mm(210, 297), or Inch(8.5, 11)".into())
        }
        Error::ExpectedIdentifier => wrong(
            "a word without quotes",
            match shown.strip_prefix('"').and_then(|s| s.strip_suffix('"')) {
                Some(word) => format!("write {word} without quotes"),
                None => "see the guide for the accepted words".into(),
            },
        ),
        Error::ExpectedDifferentStructName { found, .. } => wrong(
            "fields in round brackets without a name",
            format!("remove the name '{found}', and begin with the bracket"),
        ),
        Error::InvalidValueForType { expected, .. } if expected.starts_with("struct") => {
            wrong("fields in round brackets", "write it as (name: value, name: value)".into())
        }
        Error::InvalidValueForType { expected, .. } if expected.starts_with("a text in quotes") => {
            wrong("a text", FORMS.into())
        }
        Error::InvalidValueForType { expected, .. } => {
            wrong(&plain(expected), "see the guide for its form".into())
        }
        Error::ExpectedDifferentLength { .. } if shown.starts_with("Forms") => {
            wrong("a text and its forms", FORMS.into())
        }
        Error::ExpectedDifferentLength { .. } => wrong(
            "brackets with a different number of values",
            "write as many values between the brackets as the guide shows, separated by commas"
                .into(),
        ),
        Error::InvalidEscape(_) => Diagnostic::error(
            "bad-escape",
            "a '\\' in this text is followed by a character that it cannot precede",
        )
        .at(place(value))
        .help("write \\\\ for a backslash, \\\" for a quote"),
        _ if shown.starts_with(|c: char| c.is_ascii_digit() || c == '-') => wrong(
            "a number",
            "write it with digits and a decimal point only, for example 62.5".into(),
        ),
        _ => Diagnostic::error(
            "unreadable-value",
            format!("this cannot be read: {}", quoted(&text[value.clone()])),
        )
        .at(place(value))
        .help("compare it with the example in the guide"),
    }
}

/// How a text is written.
const FORMS: &str =
    r#"write it in quotes: "text", or with its forms: Forms("text", {"en-US": "text there"})"#;

/// The decoder's own words for a type, where they are not ours.
fn plain(expected: &str) -> String {
    match expected {
        "a string" => "a text in quotes".into(),
        e if e.starts_with("i64") || e.starts_with("u16") => "a whole number".into(),
        e if e.starts_with("f64") => "a number".into(),
        "a sequence" => "a list in square brackets".into(),
        "a boolean" => "true or false".into(),
        "a map" => "pairs in curly brackets".into(),
        e if e.contains("array of length 3") => "three numbers".into(),
        e if e.contains("tuple of size 2") => "a text and its forms".into(),
        e => e.to_owned(),
    }
}

fn choice(found: &str, known: &[&str], what: &str) -> String {
    let list = known.join(", ");
    match nearest(found, known.iter().copied()) {
        Some(n) => format!("did you mean '{n}'? The {what} are: {list}"),
        None => format!("the {what} are: {list}"),
    }
}

fn first_line(text: &str, range: Range<usize>) -> Range<usize> {
    let end = text[range.clone()].find('\n').map_or(range.end, |i| range.start + i);
    range.start..end
}

impl Source {
    /// The places of a table's cells. `faulty`: start of the row, column, bytes.
    pub fn of_cells(
        file: Arc<Path>,
        text: &str,
        tree: Node,
        faulty: Vec<(usize, String, Range<usize>)>,
    ) -> Source {
        Source { file, text: text.to_owned(), tree, blanked: Blanked::new(faulty), cells: true }
    }

    /// The outer bracket.
    pub fn root(&self) -> Place<'_> {
        Place { source: self, node: &self.tree, key: None }
    }
}

/// A place in a file, walked down by names and numbers. Where a name leads
/// nowhere the place stays where it is, so that a message always has one.
#[derive(Debug, Clone, Copy)]
pub struct Place<'a> {
    source: &'a Source,
    node: &'a Node,
    key: Option<&'a Range<usize>>,
}

impl<'a> Place<'a> {
    /// The value of a field.
    pub fn field(self, name: &str) -> Place<'a> {
        if let Body::Entries(list) = &self.node.body {
            // Of doubles the last one counts, as in the decoded value.
            if let Some(e) = list.iter().rfind(|e| e.text == name) {
                return Place { node: &e.value, key: Some(&e.key), ..self };
            }
        }
        self
    }

    /// The n-th item of a list, or the n-th value of pairs.
    pub fn item(self, n: usize) -> Place<'a> {
        match &self.node.body {
            Body::List(l) | Body::Tuple(l) => {
                l.get(n).map_or(self, |node| Place { node, key: None, ..self })
            }
            Body::Entries(l) => {
                l.get(n).map_or(self, |e| Place { node: &e.value, key: Some(&e.key), ..self })
            }
            Body::Leaf => self,
        }
    }

    /// Is the field written here?
    pub fn has(self, name: &str) -> bool {
        matches!(&self.node.body, Body::Entries(l) if l.iter().any(|e| e.text == name))
    }

    /// The value, its first line.
    pub fn span(self) -> Option<Span> {
        let range = first_line(&self.source.text, self.node.span.clone());
        Some(Span { file: self.source.file.clone(), range })
    }

    /// A stretch of the text in quotes that stands here, by its bytes; the whole value where signs are escaped.
    pub fn stretch(self, inner: Range<usize>) -> Option<Span> {
        let whole = self.node.span.clone();
        let text = &self.source.text[whole.clone()];
        if self.source.cells
            || !text.starts_with('"')
            || text.contains(['\\', '\n'])
            || inner.end + 2 > text.len()
        {
            return self.span();
        }
        let start = whole.start + 1;
        Some(Span { file: self.source.file.clone(), range: start + inner.start..start + inner.end })
    }

    /// The key before the value, else the value.
    pub fn key_span(self) -> Option<Span> {
        match self.key {
            Some(k) => Some(Span { file: self.source.file.clone(), range: k.clone() }),
            None => self.span(),
        }
    }

    /// The value of a field, or the head where it is not written.
    pub fn or_head(self, name: &str) -> Option<Span> {
        if self.has(name) { self.field(name).span() } else { self.head() }
    }

    /// The opening bracket with its name, for 'something is missing in here'.
    pub fn head(self) -> Option<Span> {
        if self.source.cells {
            return self.span();
        }
        let start = self.node.span.start;
        let text = &self.source.text[self.node.span.clone()];
        let len = text.find(['(', '[', '{']).map_or(text.len().min(1), |i| i + 1);
        Some(Span { file: self.source.file.clone(), range: start..start + len })
    }

    /// Is it a cell of a table, not a field of a text?
    pub fn in_cells(self) -> bool {
        self.source.cells
    }

    /// The name before the bracket.
    pub fn name(self) -> Option<&'a str> {
        self.node.name.clone().map(|n| &self.source.text[n])
    }

    /// Was the field written, but wrongly? Then it has its message already.
    pub fn faulted(self, field: &str) -> bool {
        self.source.blanked.holds(self.node.span.start, field)
    }

    /// Was anything inside written wrongly? Then counts and look-ups in it are not to be trusted.
    pub fn damaged(self) -> bool {
        self.source.blanked.within(&self.node.span)
    }
}
