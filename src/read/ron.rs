//! Decodes a RON text, and finds everything that is wrong with it at once.
//!
//! The text is scanned to a tree of places ([`super::locate`]), and the tree is what `serde` decodes: each fault is
//! noted where it is met, and decoding goes on. What is wrong is then taken out of the tree, and the rest decoded, so
//! that it can be checked as well.

mod de;
mod faults;
mod place;
mod spanned;
#[cfg(test)]
mod tests;

use std::marker::PhantomData;
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

use serde::de::DeserializeOwned;

pub use place::{Place, Source};
pub use spanned::Spanned;

use self::de::Value;
use self::faults::Context;
use self::place::Faulty;
use super::locate::{Node, scan};
use crate::diag::{Diagnostic, Findings, Span};

/// How often a text is decoded anew because a type has refused a value.
const MOST_REFUSED: usize = 50;

/// A decoded file and the places of its fields.
#[derive(Debug)]
pub struct Document<T> {
    /// What is written wrongly is left out of it; what is needed is something empty then.
    pub value: T,
    pub source: Source,
}

/// Decodes `text`. `top` is the name that may be before the outer bracket.
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
    let tree = match scan(file, text) {
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
    decode_tree(file, text, tree, findings)
}

/// What a text is that starts like another file than one with this name.
pub fn other_kind(file: &Path, text: &str, top: &str) -> Option<Diagnostic> {
    another_kind(file, text, top).or_else(|| {
        let name = scan(file, text).ok()?.name.filter(|name| &text[name.clone()] != top)?;
        Some(wrong_kind(&file.into(), &text[name.clone()], name, top))
    })
}

/// The value that a short text writes, such as a cell; none where anything is wrong with it.
pub fn decode_value<T: DeserializeOwned>(text: &str) -> Option<T> {
    let nowhere = Path::new("");
    let mut findings = Findings::default();
    let doc = decode_tree(nowhere.into(), text, scan(nowhere, text).ok()?, &mut findings)?;
    findings.is_empty().then_some(doc.value)
}

fn decode_tree<T: DeserializeOwned>(
    file: Arc<Path>,
    text: &str,
    mut tree: Node,
    findings: &mut Findings,
) -> Option<Document<T>> {
    let mut faulty = Faulty::default();
    for _ in 0..=MOST_REFUSED {
        let cx = Context::new(&file, text, faulty);
        let value = Value::root(&cx, &tree).decoded(PhantomData::<T>);
        let noted = cx.into_noted();
        faulty = noted.faulty;
        noted.faults.into_iter().for_each(|d| findings.push(d));
        if noted.hopeless {
            return None;
        }
        if !tree.without(faulty.places()) {
            let source = Source::of_text(file, text, tree, faulty);
            return value.ok().map(|value| Document { value, source });
        }
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
