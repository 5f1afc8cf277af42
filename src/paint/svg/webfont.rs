//! Subsets made into complete fonts and embedded: what a browser, a drawing
//! program or a font database needs beyond what a PDF does.

use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use sha2::{Digest, Sha256};
use write_fonts::from_obj::ToOwnedTable;
use write_fonts::read::{FontRef, TableProvider};
use write_fonts::tables::cmap::Cmap;
use write_fonts::tables::head::{Head, MacStyle};
use write_fonts::tables::name::{Name, NameRecord};
use write_fonts::tables::os2::{Os2, SelectionFlags};
use write_fonts::types::{GlyphId, NameId, Tag};
use write_fonts::{FontBuilder, OffsetMarker};

use crate::paint::fonts::{Fonts, Subset};
use crate::sheet::{Page, Sheet};
use crate::type_::Faces;

/// The style sheet with the fonts in it, and the family name of each subset.
pub struct Embedded {
    pub css: String,
    pub families: Vec<String>,
}

/// The fonts that page number `page` of an SVG embeds: family name and font file.
pub fn webfonts(sheet: &Sheet, page: usize) -> Vec<(String, Vec<u8>)> {
    let none = Page::default();
    let fonts = Fonts::collect(&sheet.faces, [sheet.pages.get(page).unwrap_or(&none)]);
    fonts.subsets.iter().filter_map(|s| font(s, &sheet.faces).ok()).collect()
}

pub(super) fn embed(sheet: &Sheet, fonts: &Fonts) -> Embedded {
    let mut css = String::new();
    let mut families = Vec::new();
    for subset in &fonts.subsets {
        // The shipped fonts are tested to embed; a fallback face is better than no file.
        let Ok((family, bytes)) = font(subset, &sheet.faces) else {
            families.push("serif".to_owned());
            continue;
        };
        let data = BASE64_STANDARD.encode(bytes);
        css.push_str(&format!(
            "@font-face{{font-family:{family};src:url(data:font/ttf;base64,{data})}}\n"
        ));
        families.push(family);
    }
    if !css.is_empty() {
        // Positions are final: no kerning or ligatures, not even in a fallback face.
        css.push_str("text{font-kerning:none;font-variant-ligatures:none;");
        css.push_str("text-rendering:geometricPrecision}\n");
    }
    Embedded { css, families }
}

/// A complete TrueType font and its family name, which carries a hash of the
/// characters, so that two drawings set into one page keep their own fonts.
fn font(subset: &Subset, faces: &Faces) -> Result<(String, Vec<u8>), String> {
    let fault = |e: &dyn std::fmt::Display| format!("the font {}: {e}", subset.name);
    let bare = subset.bare(faces)?;
    let bytes = faces[subset.face].bytes();
    let whole = FontRef::new(bytes).map_err(|e| fault(&e))?;
    let mut hash = Sha256::new();
    hash.update(bytes);
    for (ch, id) in &subset.pairs {
        hash.update(u32::from(*ch).to_be_bytes());
        hash.update(id.to_be_bytes());
    }
    let digest = hash.finalize();
    let tag: String = digest.iter().take(4).map(|b| format!("{b:02x}")).collect();
    let family = format!("{}-{tag}", subset.name);

    let glyphs = subset.glyphs();
    let mapped = subset
        .pairs
        .iter()
        .filter_map(|(&ch, &id)| glyphs.get(id).map(|new| (ch, GlyphId::new(u32::from(new)))));
    let cmap = Cmap::from_mappings(mapped).map_err(|e| fault(&e))?;
    let reduced = FontRef::new(&bare).map_err(|e| fault(&e))?;
    let mut head: Head = reduced.head().map_err(|e| fault(&e))?.to_owned_table();
    head.mac_style = MacStyle::empty();
    let mut os2: Os2 = whole.os2().map_err(|e| fault(&e))?.to_owned_table();
    // One face a family: a regular one, so that nobody slants or thickens it.
    os2.us_weight_class = 400;
    os2.fs_selection =
        (os2.fs_selection & SelectionFlags::USE_TYPO_METRICS) | SelectionFlags::REGULAR;
    let chars = || subset.pairs.keys().map(|&c| u16::try_from(u32::from(c)).unwrap_or(u16::MAX));
    os2.us_first_char_index = chars().min().unwrap_or(0);
    os2.us_last_char_index = chars().max().unwrap_or(0);
    let mut builder = FontBuilder::new();
    builder.add_table(&cmap).map_err(|e| fault(&e))?;
    builder.add_table(&head).map_err(|e| fault(&e))?;
    builder.add_table(&os2).map_err(|e| fault(&e))?;
    builder.add_table(&names(&family, &whole)).map_err(|e| fault(&e))?;
    if let Some(post) = reduced.data_for_tag(Tag::new(b"post")) {
        // Version 3.0: the header alone, without glyph names.
        let mut header = post.as_bytes().iter().copied().take(32).collect::<Vec<u8>>();
        header.splice(..4, 0x0003_0000_u32.to_be_bytes());
        builder.add_raw(Tag::new(b"post"), header);
    }
    builder.copy_missing_tables(reduced);
    Ok((family, builder.build()))
}

/// The name table: the family, and whose the font is and under which licence.
fn names(family: &str, whole: &FontRef) -> Name {
    let mut records = Vec::new();
    let mut add = |id: NameId, text: String| {
        // Windows, Unicode BMP, English (United States): what every reader looks for.
        records.push(NameRecord::new(3, 1, 0x409, id, OffsetMarker::new(text)));
    };
    let kept = |id: NameId| {
        skrifa::MetadataProvider::localized_strings(whole, id)
            .english_or_first()
            .map(|s| s.to_string())
    };
    for id in [NameId::COPYRIGHT_NOTICE, NameId::LICENSE_DESCRIPTION, NameId::LICENSE_URL] {
        if let Some(text) = kept(id) {
            add(id, text);
        }
    }
    add(NameId::FAMILY_NAME, family.to_owned());
    add(NameId::SUBFAMILY_NAME, "Regular".to_owned());
    add(NameId::UNIQUE_ID, family.to_owned());
    add(NameId::FULL_NAME, family.to_owned());
    add(NameId::VERSION_STRING, "Version 1.000".to_owned());
    add(NameId::POSTSCRIPT_NAME, family.to_owned());
    records.sort();
    Name::new(records)
}
