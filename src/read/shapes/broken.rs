//! Drawings that are no SVG, are damaged, or are too much.

use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

use crate::diag::{Diagnostic, Span};
use crate::limits::{self, Limits};

/// However far the limit is raised: the SVG library takes no more than a million.
const MOST_NODES: u32 = 900_000;
/// Deepest nesting and longest chain of references.
pub(super) const MAX_DEPTH: usize = 64;

/// Elements of a drawing, those counted again that copies show.
pub(super) fn most_nodes(limits: Limits) -> u32 {
    u32::try_from(limits.most(limits::ELEMENTS)).unwrap_or(u32::MAX).min(MOST_NODES)
}

/// The suggestion for a drawing that is too large.
pub(super) fn simplify(limits: Limits) -> String {
    const WAY: &str = "simplify the drawing: a part needs a few dozen paths";
    let can_be_raised = most_nodes(limits) < MOST_NODES;
    let way_out = if can_be_raised { limits.or_raise(WAY) } else { WAY.to_owned() };
    format!("{way_out}.")
}

/// Nesting that the SVG library would not survive.
pub(super) fn too_deep(file: &Arc<Path>, range: Range<usize>) -> Diagnostic {
    Diagnostic::error(
        "shape-broken",
        format!("groups or references are nested more than {MAX_DEPTH} levels deep"),
    )
    .at(Some(Span { file: file.clone(), range }))
    .help("ungroup the drawing")
}

/// The text without a document type that only names the format, as older
/// drawing programs write it; every place stays where it is.
pub(super) fn without_type(text: &str) -> Option<String> {
    let start = text.find("<!DOCTYPE")?;
    let end = start + text[start..].find('>')? + 1;
    if text[start..end].contains('[') || text[..start].contains("<svg") {
        return None;
    }
    let blank: String =
        text[start..end].chars().map(|c| if c == '\n' { '\n' } else { ' ' }).collect();
    // Bytes must be as many as before: a document type with other letters than these stays.
    (blank.len() == end - start).then(|| [&text[..start], &blank, &text[end..]].concat())
}

/// The XML library's complaint as a message.
pub(super) fn broken(
    file: &Arc<Path>,
    text: &str,
    complaint: &str,
    pos: usvg::roxmltree::TextPos,
    limits: Limits,
) -> Diagnostic {
    let line_start: usize =
        text.split_inclusive('\n').take(pos.row.saturating_sub(1) as usize).map(str::len).sum();
    let start = text[line_start.min(text.len())..]
        .char_indices()
        .nth(pos.col.saturating_sub(1) as usize)
        .map_or(text.len(), |(i, _)| line_start + i);
    let dtd = complaint.contains("DTD");
    let start = if dtd { text.find("<!DOCTYPE").unwrap_or(start) } else { start };
    let (message, help) = if dtd {
        (
            "the document type of the drawing declares entities, which shape files must not have"
                .to_owned(),
            "save the drawing as plain SVG, or delete the whole <!DOCTYPE ...>".to_owned(),
        )
    } else if complaint.contains("limit") {
        (format!("the drawing has more than {} elements", most_nodes(limits)), simplify(limits))
    } else {
        (
            spoken(complaint),
            "open it in a drawing program and save it as plain SVG again".to_owned(),
        )
    };
    Diagnostic::error("shape-broken", message)
        .at(Some(Span { file: file.clone(), range: start..after(text, start) }))
        .help(help)
}

/// The end of the sign at a byte; at the end of a text its last sign counts as none.
fn after(text: &str, start: usize) -> usize {
    start + text[start..].chars().next().map_or(0, char::len_utf8)
}

/// What is wrong with a drawing's text, for people who have never seen it.
fn spoken(complaint: &str) -> String {
    let quoted: Vec<&str> = complaint.split('\'').skip(1).step_by(2).collect();
    match quoted[..] {
        [open, close] if complaint.contains("tag") => {
            format!("the drawing is damaged: <{open}> is opened, but </{close}> is closed")
        }
        _ if complaint.contains("root node") => "the file contains no drawing".to_owned(),
        _ if complaint.contains("end of stream") => "the drawing is incomplete".to_owned(),
        _ if complaint.contains("entity") => {
            "the drawing uses an entity that is not declared".to_owned()
        }
        _ => "the drawing is damaged here".to_owned(),
    }
}
