//! Elements as text, straight into the file: a sheet has tens of thousands,
//! and a tree of them takes ten times as long and as much memory.
//!
//! Attributes are written in the order of their names, which is that of the
//! svg crate's elements, of which the head of the file is made.

use std::fmt::{Display, Write};

/// Appends an attribute. The value is one of our own making: numbers,
/// colours and names, with nothing in it to escape.
pub fn attribute(out: &mut String, name: &str, value: impl Display) {
    // Writing into a string cannot fail.
    let _ = write!(out, " {name}=\"{value}\"");
}

/// Appends words between tags.
pub fn words(out: &mut String, text: &str) {
    for ch in text.chars() {
        match ch {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            ch => out.push(ch),
        }
    }
}

/// Ends an element of which all but the end of the opening tag is written,
/// with children, each on a line of its own, or none.
pub fn end(out: &mut String, name: &str, children: &str) {
    if children.is_empty() {
        out.push_str("/>\n");
        return;
    }
    out.push_str(">\n");
    out.push_str(children);
    out.push_str("</");
    out.push_str(name);
    out.push_str(">\n");
}

/// Characters that XML 1.0 does not allow (2.2, production 2) become U+FFFD;
/// the svg crate escapes the rest.
pub fn clean(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\t' | '\n' | '\r' | '\u{FFFE}' | '\u{FFFF}' => '\u{FFFD}',
            c if c < ' ' => '\u{FFFD}',
            c => c,
        })
        .collect()
}
