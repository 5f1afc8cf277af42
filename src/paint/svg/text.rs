//! Text as text: selectable, with positions where the font's own advances
//! would not put a character where the sheet has it.

use skrifa::MetadataProvider;
use skrifa::instance::{LocationRef, Size};

use super::clean;
use super::xml::{attribute, words};
use crate::paint::number::{LENGTH, length, push};
use crate::sheet::{Text, Turn};
use crate::type_::Face;

/// How far a character may stray before it gets a position of its own, mm.
const STRAY: f64 = 0.002;

/// Appends a text element in the font family `family`.
pub fn element(out: &mut String, text: &Text, face: &Face, family: &str) {
    let level = text.turn == Turn::Level;
    let (x, y) = if level { (text.x, text.y) } else { (0.0, 0.0) };
    out.push_str("<text fill=\"");
    text.fill.push_hex(out);
    out.push('"');
    attribute(out, "font-family", family);
    attribute(out, "font-size", length(text.size));
    if !level {
        let (x, y) = (length(text.x), length(text.y));
        attribute(out, "transform", format_args!("translate({x} {y}) rotate(-90)"));
    }
    out.push_str(" x=\"");
    positions(out, text, face, x);
    out.push('"');
    let string: String = text.glyphs.iter().map(|g| g.ch).collect();
    let string = clean(&string);
    // Readers drop spaces at the ends and runs of them unless told not to.
    if string.starts_with(' ') || string.ends_with(' ') || string.contains("  ") {
        attribute(out, "xml:space", "preserve");
    }
    if y != 0.0 {
        attribute(out, "y", length(y));
    }
    out.push('>');
    words(out, &string);
    out.push_str("</text>\n");
}

/// One x for each character up to the last that does not follow by itself.
fn positions(out: &mut String, text: &Text, face: &Face, origin: f64) {
    let reader = skrifa::FontRef::new(face.bytes()).ok();
    let metrics =
        reader.as_ref().map(|r| r.glyph_metrics(Size::unscaled(), LocationRef::default()));
    let scale = text.size / face.units_per_em();
    let advance = |id: u16| {
        let units = metrics.as_ref().and_then(|m| m.advance_width(skrifa::GlyphId::from(id)));
        f64::from(units.unwrap_or(0.0)) * scale
    };
    // From the end backwards: does everything from here on fall into place?
    let mut count = text.glyphs.len();
    let mut stray = 0.0_f64;
    while count > 1 {
        let (before, here) = (&text.glyphs[count - 2], &text.glyphs[count - 1]);
        let off = here.x - before.x - advance(before.id);
        stray += off.abs();
        if stray > STRAY {
            break;
        }
        count -= 1;
    }
    let first = text.glyphs.first().map_or(0.0, |g| g.x);
    push(out, origin + first, LENGTH);
    for glyph in text.glyphs[..count].iter().skip(1) {
        out.push(' ');
        push(out, origin + glyph.x, LENGTH);
    }
}
