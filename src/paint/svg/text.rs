//! Words: as text, selectable, each character with its place; or as outlines.
//!
//! A program that lacks the font, or does not read embedded ones, sets other
//! letters, each still at its place. One common renderer knows the first place
//! of an element only, so an element ends wherever the font's own advances lead
//! astray, and at every word.

use kurbo::{Affine, BezPath};

use super::path;
use super::webfont::Style;
use super::xml::{attribute, clean, words};
use crate::paint::number::{LENGTH, length, push};
use crate::sheet::{Rgb, Text, Turn};
use crate::type_::Face;

/// How far a character may stray before an element of its own begins, mm.
const STRAY: f64 = 0.05;

/// Appends a text element.
pub fn element(out: &mut String, text: &Text, fill: Rgb, face: &Face, style: &Style) {
    let level = text.turn == Turn::Level;
    let (x, y) = if level { (text.x, text.y) } else { (0.0, 0.0) };
    out.push_str("<text");
    attribute(out, "class", &style.class);
    out.push_str(" fill=\"");
    fill.push_hex(out);
    out.push('"');
    out.push_str(&style.attributes);
    attribute(out, "font-size", length(text.size));
    if !level {
        let (x, y) = (length(text.x), length(text.y));
        attribute(out, "transform", format_args!("translate({x} {y}) rotate(-90)"));
    }
    let string: String = text.glyphs.iter().map(|g| g.ch).collect();
    let characters: Vec<char> = clean(&string).chars().collect();
    let pieces = pieces(text, face, style);
    if pieces.len() == 1 {
        places(out, text, 0, &characters, x);
    }
    // Readers drop spaces at the ends and runs of them unless told not to.
    if string.starts_with(' ') || string.ends_with(' ') || string.contains("  ") {
        attribute(out, "xml:space", "preserve");
    }
    if y != 0.0 {
        attribute(out, "y", length(y));
    }
    out.push('>');
    for (n, &first) in pieces.iter().enumerate() {
        let piece = &characters[first..pieces.get(n + 1).copied().unwrap_or(characters.len())];
        let string: String = piece.iter().collect();
        if pieces.len() == 1 {
            words(out, &string);
            continue;
        }
        out.push_str("<tspan");
        places(out, text, first, piece, x);
        out.push('>');
        words(out, &string);
        out.push_str("</tspan>");
    }
    out.push_str("</text>\n");
}

/// The x of each character of a piece, which begins with glyph `first`, but of spaces at its end.
fn places(out: &mut String, text: &Text, first: usize, piece: &[char], origin: f64) {
    let spaces = piece.iter().rev().take_while(|c| **c == ' ').count();
    let count = (piece.len() - spaces).max(1);
    out.push_str(" x=\"");
    if text.glyphs.is_empty() {
        push(out, origin, LENGTH);
    }
    for (n, glyph) in text.glyphs.iter().skip(first).take(count).enumerate() {
        if n > 0 {
            out.push(' ');
        }
        push(out, origin + glyph.x, LENGTH);
    }
    out.push('"');
}

/// Where elements begin: at the first character of each word, and where a program that sets the
/// words by the font's own advances, in its usual figures, would be off.
fn pieces(text: &Text, face: &Face, style: &Style) -> Vec<usize> {
    let mut pieces = vec![0];
    let (natural, _) = face.set(&text.string, text.size, 0.0);
    if natural.len() != text.glyphs.len() {
        pieces.extend(1..text.glyphs.len());
        return pieces;
    }
    // How far the usual figures have led from ours since the piece began.
    let mut led = 0.0;
    let mut begun = 0;
    for at in 1..text.glyphs.len() {
        let glyph = |n: usize| (&text.glyphs[n], &natural[n]);
        let ((from, from_natural), (here, here_natural)) = (glyph(begun), glyph(at));
        led += style.wider.get(&text.glyphs[at - 1].ch).unwrap_or(&0.0) * text.size;
        let own = here_natural.x - from_natural.x + led;
        let is_word = text.glyphs[at - 1].ch == ' ' && here.ch != ' ';
        if is_word || (here.x - from.x - own).abs() > STRAY {
            pieces.push(at);
            (begun, led) = (at, 0.0);
        }
    }
    pieces
}

/// Appends the words as one path, which keeps them as its label.
pub fn outlines(out: &mut String, text: &Text, fill: Rgb, face: &Face) {
    let turn = match text.turn {
        Turn::Level => Affine::IDENTITY,
        // Anticlockwise, with y down.
        Turn::Up => Affine::new([0.0, -1.0, 1.0, 0.0, 0.0, 0.0]),
    };
    let place = Affine::translate((text.x, text.y)) * turn;
    let mut path = BezPath::new();
    for glyph in &text.glyphs {
        let at = place * Affine::translate((glyph.x, 0.0)) * Affine::scale(text.size);
        path.extend(face.outline(glyph.id).iter().map(|element| at * element));
    }
    if path.elements().is_empty() {
        return;
    }
    out.push_str("<path aria-label=\"");
    let mut label = String::new();
    words(&mut label, &clean(&text.string));
    out.push_str(&label.replace('"', "&quot;"));
    out.push_str("\" d=\"");
    path::data(out, &path);
    out.push_str("\" fill=\"");
    fill.push_hex(out);
    out.push_str("\"/>\n");
}
