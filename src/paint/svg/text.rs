//! Text as text: selectable, with positions where the font's own advances
//! would not put a character where the sheet has it.

use ::svg::node::Text as Words;
use ::svg::node::element::Element;
use skrifa::MetadataProvider;
use skrifa::instance::{LocationRef, Size};

use super::{Put, clean};
use crate::paint::number::length;
use crate::sheet::{Text, Turn};
use crate::type_::Face;

/// How far a character may stray before it gets a position of its own, mm.
const STRAY: f64 = 0.002;

/// A text element in the font family `family`.
pub fn element(text: &Text, face: &Face, family: &str) -> Element {
    let level = text.turn == Turn::Level;
    let (x, y) = if level { (text.x, text.y) } else { (0.0, 0.0) };
    let mut element = Element::new("text")
        .put("font-family", family)
        .put("font-size", length(text.size))
        .put("fill", text.fill.hex())
        .put("x", positions(text, face, x));
    if y != 0.0 {
        element = element.put("y", length(y));
    }
    if !level {
        let turned = format!("translate({} {}) rotate(-90)", length(text.x), length(text.y));
        element = element.put("transform", turned);
    }
    let string: String = text.glyphs.iter().map(|g| g.ch).collect();
    let string = clean(&string);
    // Readers drop spaces at the ends and runs of them unless told not to.
    if string.starts_with(' ') || string.ends_with(' ') || string.contains("  ") {
        element = element.put("xml:space", "preserve");
    }
    element.add(Words::new(string))
}

/// One x for each character up to the last that does not follow by itself.
fn positions(text: &Text, face: &Face, origin: f64) -> String {
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
    let xs: Vec<String> = text.glyphs[..count].iter().map(|g| length(origin + g.x)).collect();
    if xs.is_empty() { length(origin) } else { xs.join(" ") }
}
