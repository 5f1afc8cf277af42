//! Subsets made into complete fonts and embedded: what a browser, a drawing
//! program or a font database needs beyond what a PDF does.

use std::collections::HashMap;

use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use sha2::{Digest, Sha256};
use skrifa::MetadataProvider;
use skrifa::instance::{LocationRef, Size};
use skrifa::string::StringId;
use write_fonts::from_obj::ToOwnedTable;
use write_fonts::read::{FontRef, TableProvider};
use write_fonts::tables::cmap::Cmap;
use write_fonts::tables::head::{Head, MacStyle};
use write_fonts::tables::name::{Name, NameRecord};
use write_fonts::tables::os2::{Os2, SelectionFlags};
use write_fonts::types::{GlyphId, NameId, Tag};
use write_fonts::{FontBuilder, OffsetMarker};

use super::xml::attribute;
use crate::paint::fonts::{Fonts, Subset};
use crate::sheet::{Page, Sheet};
use crate::type_::{Face, FaceId, Faces, Figures, Naming};

/// The style sheet with the fonts in it, and how text in each subset is written.
pub struct Embedded {
    pub css: String,
    pub styles: Vec<Style>,
}

/// How text in one font is written.
pub struct Style {
    /// Unique among files, so that two drawings set into one page keep their own fonts.
    pub class: String,
    /// The family by its real name, and what kind of letters it has.
    pub attributes: String,
    /// By how much some characters are wider in the font's usual figures than as drawn here, em.
    pub wider: HashMap<char, f64>,
}

/// The fonts that page number `page` of an SVG embeds: family name and font file.
pub fn webfonts(sheet: &Sheet, page: usize) -> Vec<(String, Vec<u8>)> {
    let none = Page::default();
    let fonts = Fonts::collect(&sheet.faces, [sheet.pages.get(page).unwrap_or(&none)]);
    fonts.subsets.iter().filter_map(|s| font(s, &sheet.faces).ok()).collect()
}

/// A font with the characters of a text, each in the glyph that the face sets it in; none where it has none of them or
/// cannot be cut down.
pub fn subset_font(faces: &Faces, face: FaceId, text: &str) -> Option<Vec<u8>> {
    let glyph = |ch: char| {
        let (glyphs, _) = faces[face].set(ch.encode_utf8(&mut [0; 4]), 1.0, 0.0);
        glyphs.first().filter(|glyph| glyph.id != 0).map(|glyph| (ch, glyph.id))
    };
    let pairs = text.chars().filter_map(glyph).collect();
    let subset = Subset { face, name: faces[face].output_name(), pairs };
    (!subset.pairs.is_empty()).then(|| font(&subset, faces).ok()).flatten().map(|(_, bytes)| bytes)
}

/// Fonts for those who read embedded ones: browsers. All others find the fonts, or what comes
/// next to them, among those installed, by their real names in the attributes of each text.
/// Browsers alone know `@supports`, so they alone take the embedded ones, in which every
/// character has the one intended glyph.
pub(super) fn embed(sheet: &Sheet, fonts: &Fonts) -> Embedded {
    let (mut css, mut figures, mut families) = (String::new(), String::new(), String::new());
    let mut styles = Vec::new();
    for subset in &fonts.subsets {
        let face = &sheet.faces[subset.face];
        let naming = Naming::of(face);
        let list = names_of(&naming);
        let mut attributes = format!(" font-family=\"{list}\"");
        // The shipped fonts are tested to embed; a missing font is better than no file.
        let (family, class) = match font(subset, &sheet.faces) {
            Ok((family, bytes)) => {
                let data = BASE64_STANDARD.encode(bytes);
                let style = if naming.italic { "italic" } else { "normal" };
                css.push_str(&format!(
                    "@font-face{{font-family:{family};font-style:{style};font-weight:{};",
                    naming.weight
                ));
                css.push_str(&format!("src:url(data:font/ttf;base64,{data})}}\n"));
                let tag = family.rsplit('-').next().unwrap_or_default();
                let class = format!("t{tag}");
                families.push_str(&format!(".{class}{{font-family:{family},{list}}}\n"));
                (Some(family), class)
            }
            Err(_) => (None, format!("t{}", styles.len())),
        };
        if naming.italic {
            attribute(&mut attributes, "font-style", "italic");
        }
        if face.spec().small_caps {
            attribute(&mut attributes, "font-variant", "small-caps");
        }
        if naming.weight != 400 {
            attribute(&mut attributes, "font-weight", naming.weight);
        }
        if let (Some(numeric), Some(_)) = (numeric(face.spec().figures), &family) {
            figures.push_str(&format!(".{class}{{font-variant-numeric:{numeric}}}\n"));
        }
        styles.push(Style { class, attributes, wider: wider(subset, face) });
    }
    if !css.is_empty() {
        css.push_str(&figures);
        // Positions are final: no kerning or ligatures, not even in a fallback face.
        css.push_str("text{font-kerning:none;font-variant-ligatures:none;");
        css.push_str("text-rendering:geometricPrecision}\n");
        css.push_str("@supports (font-variant-caps:normal){\n");
        css.push_str("text{font-variant:normal;font-kerning:none;font-variant-ligatures:none}\n");
        css.push_str(&families);
        css.push_str("}\n");
    }
    Embedded { css, styles }
}

/// A list of families for CSS and for attributes, the real one first.
fn names_of(naming: &Naming) -> String {
    let general = if naming.serif { "serif" } else { "sans-serif" };
    // A name of letters and spaces, or one that no list can hold.
    match naming.family.chars().all(|c| c.is_alphanumeric() || c == ' ' || c == '-') {
        true => format!("'{}',{general}", naming.family),
        false => general.to_owned(),
    }
}

/// Figures in the words of CSS (CSS Fonts 4, 6.7), for drawing programs.
fn numeric(figures: Figures) -> Option<&'static str> {
    match figures {
        Figures::Default => None,
        Figures::LiningTabular => Some("lining-nums tabular-nums"),
        Figures::Lining => Some("lining-nums proportional-nums"),
        Figures::OldStyle => Some("oldstyle-nums proportional-nums"),
    }
}

/// By how much characters are wider as the font has them than in the intended glyph, em.
fn wider(subset: &Subset, face: &Face) -> HashMap<char, f64> {
    let Ok(font) = skrifa::FontRef::new(face.bytes()) else { return HashMap::new() };
    let metrics = font.glyph_metrics(Size::unscaled(), LocationRef::default());
    let charmap = font.charmap();
    let advance = |id| f64::from(metrics.advance_width(id).unwrap_or(0.0));
    let own = |(ch, id): (&char, &u16)| {
        let usual = charmap.map(*ch)?;
        let more = advance(usual) - advance(skrifa::GlyphId::from(*id));
        (more != 0.0).then_some((*ch, more / face.units_per_em()))
    };
    subset.pairs.iter().filter_map(own).collect()
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
    let texts = skrifa::FontRef::new(bytes).map_err(|e| fault(&e))?;
    builder.add_table(&names(&family, &texts)).map_err(|e| fault(&e))?;
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
fn names(family: &str, whole: &skrifa::FontRef) -> Name {
    let mut records = Vec::new();
    let mut add = |id: NameId, text: String| {
        // Windows, Unicode BMP, English (United States): what every reader looks for.
        records.push(NameRecord::new(3, 1, 0x409, id, OffsetMarker::new(text)));
    };
    let kept = |id: NameId| {
        whole
            .localized_strings(StringId::new(id.to_u16()))
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
