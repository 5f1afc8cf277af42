//! The line of a file that a message is about, with a mark under the place.

use unicode_width::UnicodeWidthChar;

use super::tame::tame_char;
use crate::diag::{Sources, Span, floor};

/// The most of a line that is quoted, in columns of a terminal: of a longer one the part around the place.
const WIDEST: usize = 96;
/// What is quoted before the place where the line is longer.
const BEFORE: usize = 32;
/// How many bytes before and after the place are looked at.
const FARTHEST: usize = 1024;
/// What stands for the part of a line that is left out.
const CUT: &str = "...";

/// The quoted line, and the marks under it: how far in, and how many.
pub struct Quote {
    pub line: String,
    pub indent: usize,
    pub marks: usize,
}

impl Quote {
    /// The line at a place; none where the whole file is meant, where it was not read as text, or where the line
    /// is blank.
    pub fn of(span: &Span, sources: &Sources) -> Option<Quote> {
        if span.range == (0..0) {
            return None;
        }
        let text = sources.text(&span.file)?;
        let (start, end) = (floor(text, span.range.start), floor(text, span.range.end));
        let from = text[..start].rfind('\n').map_or(0, |i| i + 1);
        let to = text[start..].find('\n').map_or(text.len(), |i| start + i);
        let end = end.clamp(start, to);
        // A file may be one line of megabytes: no more is looked at than could be shown.
        let from = from.max(floor(text, start.saturating_sub(FARTHEST)));
        let to = floor(text, to.min(start + FARTHEST)).max(start);
        let end = end.min(to);
        let (before, marked, after) = (&text[from..start], &text[start..end], &text[end..to]);
        if text[from..to].trim().is_empty() {
            return None;
        }
        // Leading blanks say nothing, and steal room from the line.
        let before = before.trim_start();
        Some(cut(&shown(before), &shown(marked), &shown(after)))
    }
}

/// The three pieces of a line as one, no wider than a terminal.
fn cut(before: &str, marked: &str, after: &str) -> Quote {
    let (mut line, mut indent) = (String::new(), width(before));
    let whole = indent + width(marked) + width(after.trim_end());
    if whole > WIDEST && indent > BEFORE {
        let kept = last(before, BEFORE);
        line.push_str(CUT);
        line.push_str(kept);
        indent = CUT.len() + width(kept);
    } else {
        line.push_str(before);
    }
    let room = WIDEST.saturating_sub(indent).max(BEFORE);
    let rest = format!("{marked}{}", after.trim_end());
    let kept = first(&rest, room);
    line.push_str(kept);
    if kept.len() < rest.len() {
        line.push_str(CUT);
    }
    Quote { line, indent, marks: width(marked).min(width(kept)).max(1) }
}

/// A piece of a line as a screen shows it: a tab is two blanks, and nothing steers the terminal.
fn shown(piece: &str) -> String {
    piece.trim_end_matches('\r').replace('\t', "  ").chars().map(tame_char).collect()
}

fn width(text: &str) -> usize {
    text.chars().map(of_char).sum()
}

fn of_char(c: char) -> usize {
    c.width().unwrap_or(0)
}

/// As much of the start as fits `room` columns.
fn first(text: &str, room: usize) -> &str {
    let mut used = 0;
    let end = text.char_indices().find(|(_, c)| {
        used += of_char(*c);
        used > room
    });
    &text[..end.map_or(text.len(), |(i, _)| i)]
}

/// As much of the end as fits `room` columns.
fn last(text: &str, room: usize) -> &str {
    let mut used = 0;
    let start = text.char_indices().rev().find(|(_, c)| {
        used += of_char(*c);
        used > room
    });
    &text[start.map_or(0, |(i, c)| i + c.len_utf8())..]
}
