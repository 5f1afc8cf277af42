//! Unsupported features of a drawing, reported in one message for each drawing.

use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

use crate::diag::{Diagnostic, Span};

/// One unsupported feature.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Refused {
    /// What it is, for a message: `text`, `filters such as blurs`.
    pub what: String,
    /// What to do in a drawing program instead.
    pub instead: &'static str,
    /// The start tag of the element in the file.
    pub place: Range<usize>,
}

impl Refused {
    /// Of a kind named by its tag or property.
    pub fn kind(tag: &str, place: Range<usize>) -> Refused {
        let (what, instead) = kind(tag);
        Refused { what: what.to_owned(), instead, place }
    }
}

/// The name of a rejected feature, and the suggestion.
fn kind(tag: &str) -> (&'static str, &'static str) {
    match tag {
        "text" => (
            "text",
            "convert the text to paths ('Object to Path' or 'Create Outlines' in most drawing programs), or delete it",
        ),
        "image" => ("pictures", "draw the part with outlines, or trace the picture first"),
        "filter" => {
            ("filters such as blurs", "delete the effect, and draw soft edges with gradients")
        }
        "marker" => ("markers", "convert the line with its markers to paths"),
        "wide-stroke" => {
            ("strokes wider than a million units", "use a thinner stroke, or draw the area")
        }
        "blend" => (
            "blend modes",
            "set the blend mode to normal, and give the shape the grey that it should have",
        ),
        "soft-mask" => (
            "masks with greys or gradients",
            "cut the outlines to shape (intersect the paths), and fade them with a gradient or an opacity instead",
        ),
        _ => ("patterns", "draw the pieces of the pattern as paths"),
    }
}

/// One message for all of it, at the first place.
pub(super) fn reported(file: &Arc<Path>, text: &str, refused: &[Refused]) -> Option<Diagnostic> {
    let first = refused.iter().min_by_key(|r| r.place.start)?;
    // Kinds in the order in which they come, each with its first element and how many more.
    let mut kinds: Vec<(&Refused, usize)> = Vec::new();
    for r in refused {
        match kinds.iter_mut().find(|(k, _)| k.what == r.what) {
            Some((_, count)) => *count += 1,
            None => kinds.push((r, 1)),
        }
    }
    let things: Vec<String> = kinds
        .iter()
        .map(|(r, count)| {
            let more = match count {
                1 => String::new(),
                n => format!(" and {} more", n - 1),
            };
            match name(text, &r.place) {
                Some(name) => format!("{} ({name}{more})", r.what),
                None => r.what.clone(),
            }
        })
        .collect();
    let help: Vec<&str> = kinds.iter().map(|(r, _)| r.instead).collect();
    Some(
        Diagnostic::error(
            "shape-unsupported",
            format!("shape files must not use {}", listed(&things)),
        )
        .at(Some(Span { file: file.clone(), range: first.place.clone() }))
        .help(help.join("; ")),
    )
}

fn listed(things: &[String]) -> String {
    match things {
        [rest @ .., last] if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => things.concat(),
    }
}

/// `<text id="label">`: an element as an editor's list of objects shows it.
fn name(text: &str, place: &Range<usize>) -> Option<String> {
    let tag = text.get(place.clone())?.strip_prefix('<')?;
    let end = tag.find(|c: char| c.is_whitespace() || c == '>' || c == '/').unwrap_or(tag.len());
    let id = tag.split([' ', '\n', '\t', '\r']).find_map(|a| a.strip_prefix("id="));
    let id = id.and_then(|id| id.get(1..)?.split(['"', '\'']).next());
    Some(match id {
        Some(id) if id.chars().count() <= 40 => format!("<{} id=\"{id}\">", &tag[..end]),
        _ => format!("<{}>", &tag[..end]),
    })
}
