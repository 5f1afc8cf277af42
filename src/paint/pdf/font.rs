//! Fonts as composite fonts whose codes stand for characters one to one, so
//! that what is copied out of the file is the text of the sheet, even where two
//! characters share a glyph (ISO 32000-1, 9.7).

use std::collections::HashMap;
use std::io;

use lopdf::{Dictionary, Object, Stream};
use sha2::{Digest, Sha256};
use skrifa::MetadataProvider;
use skrifa::instance::{LocationRef, Size};
use skrifa::metrics::GlyphMetrics;

use super::file::PdfFile;
use super::object::Ref;
use crate::paint::fonts::{Fonts, Subset};
use crate::type_::{Face, Faces};

/// Font units in thousandths of an em, to a thousandth, as the widths are written.
pub fn thousandths(units: f64, face: &Face) -> f64 {
    (units * 1000.0 / face.units_per_em() * 1000.0).round() / 1000.0
}

/// What setting words in a subset needs.
pub struct Runs<'a> {
    /// The two-byte code of a character: its rank, from 1.
    codes: HashMap<char, u16>,
    metrics: Option<GlyphMetrics<'a>>,
}

impl<'a> Runs<'a> {
    /// For each subset, in their order.
    pub fn of_all(fonts: &Fonts, faces: &'a Faces) -> Vec<Runs<'a>> {
        let of = |subset: &Subset| {
            let ranked = subset.pairs.keys().enumerate();
            let codes = ranked.map(|(rank, &ch)| (ch, (rank + 1) as u16)).collect();
            let reader = skrifa::FontRef::new(faces[subset.face].bytes()).ok();
            let metrics = reader.map(|r| r.glyph_metrics(Size::unscaled(), LocationRef::default()));
            Runs { codes, metrics }
        };
        fonts.subsets.iter().map(of).collect()
    }

    /// The code of a character.
    pub fn code(&self, ch: char) -> Option<u16> {
        self.codes.get(&ch).copied()
    }

    /// How far a glyph moves the pen, font units.
    pub fn advance(&self, glyph: u16) -> f64 {
        let glyph = skrifa::GlyphId::from(glyph);
        f64::from(self.metrics.as_ref().and_then(|m| m.advance_width(glyph)).unwrap_or(0.0))
    }
}

fn dictionary(entries: Vec<(&str, Object)>) -> Dictionary {
    entries.into_iter().map(|(key, value)| (key.as_bytes().to_vec(), value)).collect()
}

/// The name of a subset in the resources of pages.
pub fn name(subset: usize) -> String {
    format!("F{subset}")
}

/// A subset on its way into the file.
struct Font<'a> {
    subset: &'a Subset,
    face: &'a Face,
    reader: skrifa::FontRef<'a>,
    /// With its tag.
    name: Object,
}

/// Adds the font to the file and returns its object, or `None` when the font file does not
/// allow a subset.
///
/// # Errors
/// Those of the file.
pub fn add(file: &mut PdfFile<'_>, subset: &Subset, faces: &Faces) -> io::Result<Option<Ref>> {
    let face = &faces[subset.face];
    let (Ok(bytes), Ok(reader)) = (subset.bare(faces), skrifa::FontRef::new(face.bytes())) else {
        return Ok(None);
    };
    let name = Object::Name(format!("{}+{}", tag(&bytes), subset.name).into_bytes());
    let font = Font { subset, face, reader, name };
    let descriptor = font.descriptor(file, bytes)?;
    let descendant = font.descendant(file, descriptor)?;
    let unicode = file.add_object(Stream::new(Dictionary::new(), to_unicode(subset).into()))?;
    let font = file.add_object(dictionary(vec![
        ("Type", "Font".into()),
        ("Subtype", "Type0".into()),
        ("BaseFont", font.name),
        ("Encoding", "Identity-H".into()),
        ("DescendantFonts", Object::Array(vec![descendant.into()])),
        ("ToUnicode", unicode.into()),
    ]))?;
    Ok(Some(font))
}

impl Font<'_> {
    /// In thousandths of an em.
    fn scaled(&self, units: f32) -> Object {
        Object::Real(thousandths(f64::from(units), self.face) as f32)
    }

    /// Adds the font's bytes, and what describes them (ISO 32000-1, 9.8).
    fn descriptor(&self, file: &mut PdfFile<'_>, bytes: Vec<u8>) -> io::Result<Ref> {
        let metrics = self.reader.metrics(Size::unscaled(), LocationRef::default());
        let bbox = metrics.bounds.map_or([0.0; 4], |b| [b.x_min, b.y_min, b.x_max, b.y_max]);
        let length = bytes.len() as i64;
        let bytes = Stream::new(dictionary(vec![("Length1", length.into())]), bytes);
        let bytes = file.add_object(bytes)?;
        // Symbolic (4): the codes are the file's own.
        file.add_object(dictionary(vec![
            ("Type", "FontDescriptor".into()),
            ("FontName", self.name.clone()),
            ("Flags", 4.into()),
            ("FontBBox", Object::Array(bbox.map(|v| self.scaled(v)).to_vec())),
            ("ItalicAngle", Object::Real(metrics.italic_angle)),
            ("Ascent", self.scaled(metrics.ascent)),
            ("Descent", self.scaled(metrics.descent)),
            ("CapHeight", Object::Real((self.face.cap_height() * 1000.0).round() as f32)),
            ("StemV", 80.into()),
            ("FontFile2", bytes.into()),
        ]))
    }

    /// Adds the font of glyphs (ISO 32000-1, 9.7.4).
    fn descendant(&self, file: &mut PdfFile<'_>, descriptor: Ref) -> io::Result<Ref> {
        let widths = self.reader.glyph_metrics(Size::unscaled(), LocationRef::default());
        let glyphs = self.subset.glyphs();
        let mut advances = Vec::new();
        let mut to_glyph = vec![0u8; 2];
        for &id in self.subset.pairs.values() {
            let units = widths.advance_width(skrifa::GlyphId::from(id)).unwrap_or(0.0);
            advances.push(self.scaled(units));
            to_glyph.extend(glyphs.get(id).unwrap_or(0).to_be_bytes());
        }
        let to_glyph = file.add_object(Stream::new(Dictionary::new(), to_glyph))?;
        let system = dictionary(vec![
            ("Registry", Object::string_literal("Adobe")),
            ("Ordering", Object::string_literal("Identity")),
            ("Supplement", 0.into()),
        ]);
        file.add_object(dictionary(vec![
            ("Type", "Font".into()),
            ("Subtype", "CIDFontType2".into()),
            ("BaseFont", self.name.clone()),
            ("CIDSystemInfo", Object::Dictionary(system)),
            ("FontDescriptor", descriptor.into()),
            ("DW", 0.into()),
            ("W", Object::Array(vec![1.into(), Object::Array(advances)])),
            ("CIDToGIDMap", to_glyph.into()),
        ]))
    }
}

/// Six capitals that distinguish subsets of one font (ISO 32000-1, 9.6.4).
fn tag(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().take(6).map(|b| char::from(b'A' + b % 26)).collect()
}

/// The map from codes to characters (ISO 32000-1, 9.10.3).
fn to_unicode(subset: &Subset) -> String {
    let mut map = String::from(
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n\
         /CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n\
         /CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n\
         1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n",
    );
    let chars: Vec<(usize, char)> =
        subset.pairs.keys().enumerate().map(|(i, &ch)| (i + 1, ch)).collect();
    // At most a hundred entries in a block.
    for block in chars.chunks(100) {
        map.push_str(&format!("{} beginbfchar\n", block.len()));
        for (code, ch) in block {
            let utf16: String =
                ch.encode_utf16(&mut [0; 2]).iter().map(|u| format!("{u:04X}")).collect();
            map.push_str(&format!("<{code:04X}> <{utf16}>\n"));
        }
        map.push_str("endbfchar\n");
    }
    map.push_str("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n");
    map
}
