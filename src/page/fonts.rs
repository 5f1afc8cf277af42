//! The fonts of the style, cut down to what the page can show.

use std::collections::BTreeSet;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use serde_json::{Value, json};

use crate::paint::svg::subset_font;
use crate::plan::Look;
use crate::plan::style::Voice;

/// The style's own voices as faces of the page: a text family and one for figures.
pub fn faces(look: &Look, characters: &BTreeSet<char>) -> Vec<Value> {
    let v = &look.voices;
    let wanted: [(&str, &str, &str, Voice); 5] = [
        ("Sheet Text", "normal", "400", v.body),
        ("Sheet Text", "italic", "400", v.other_name),
        ("Sheet Text", "normal", "600", v.name),
        ("Sheet Figures", "normal", "400", v.other_number),
        ("Sheet Figures", "normal", "700", v.number),
    ];
    let text: String = characters.iter().collect();
    let one = |(family, style, weight, voice): (&str, &str, &str, Voice)| {
        let bytes = subset_font(&look.faces, voice.face, &text)?;
        Some(json!({
            "family": family, "style": style, "weight": weight, "data": STANDARD.encode(bytes),
        }))
    };
    wanted.into_iter().filter_map(one).collect()
}
