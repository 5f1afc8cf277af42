//! Which characters of which faces a file needs, and the font data for them.
//!
//! Within a subset a character stands for one glyph only, so that figure and
//! small-capital styles need no font features in the reader. Should a face
//! ever set one character with two glyphs, the second goes to a further subset.

use std::collections::BTreeMap;

use subsetter::GlyphRemapper;

use crate::sheet::{ItemKind, Page, Text};
use crate::type_::{FaceId, Faces};

/// A character with the glyph that shows it, numbered as in the whole font.
pub type Pair = (char, u16);

/// One font to embed: a face and the characters used from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Subset {
    pub face: FaceId,
    /// Unique in the file: letters, digits and hyphens.
    pub name: String,
    /// Sorted by character; each character once.
    pub pairs: BTreeMap<char, u16>,
}

impl Subset {
    fn takes(&self, text: &Text) -> bool {
        self.face == text.face
            && text.glyphs.iter().all(|g| self.pairs.get(&g.ch).is_none_or(|&id| id == g.id))
    }

    /// Glyphs in a fixed order with their numbers in the subset; 0 is the missing glyph.
    pub fn glyphs(&self) -> GlyphRemapper {
        let mut glyphs = GlyphRemapper::new();
        for &id in self.pairs.values() {
            glyphs.remap(id);
        }
        glyphs
    }

    /// The bytes of a TrueType font with these glyphs only and without a cmap.
    ///
    /// # Errors
    /// A plain sentence when the font file cannot be subset.
    pub fn bare(&self, faces: &Faces) -> Result<Vec<u8>, String> {
        subsetter::subset(faces[self.face].bytes(), 0, &self.glyphs())
            .map_err(|e| format!("the font {} cannot be embedded: {e}", self.name))
    }
}

/// The fonts of a file and, for each text, which one it uses.
#[derive(Debug, Clone, Default)]
pub struct Fonts {
    pub subsets: Vec<Subset>,
}

impl Fonts {
    /// Collects the characters of all texts on `pages`.
    pub fn collect<'a>(faces: &Faces, pages: impl IntoIterator<Item = &'a Page>) -> Fonts {
        let mut fonts = Fonts::default();
        for page in pages {
            for item in &page.items {
                if let ItemKind::Text(text) = &item.kind {
                    fonts.add(faces, text);
                }
            }
        }
        fonts.name(faces);
        fonts
    }

    fn add(&mut self, faces: &Faces, text: &Text) {
        debug_assert!(faces.iter().any(|(id, _)| id == text.face));
        let index = self.subsets.iter().position(|s| s.takes(text)).unwrap_or_else(|| {
            let (face, name, pairs) = (text.face, String::new(), BTreeMap::new());
            self.subsets.push(Subset { face, name, pairs });
            self.subsets.len() - 1
        });
        self.subsets[index].pairs.extend(text.glyphs.iter().map(|g| (g.ch, g.id)));
    }

    /// Two faces may be the same file with the same figures under two ids.
    fn name(&mut self, faces: &Faces) {
        let mut seen: BTreeMap<String, usize> = BTreeMap::new();
        for subset in &mut self.subsets {
            let base = faces[subset.face].output_name();
            let count = seen.entry(base.clone()).or_default();
            *count += 1;
            subset.name = if *count == 1 { base } else { format!("{base}-{count}") };
        }
    }

    /// The index of the subset that holds all glyphs of `text`.
    pub fn of(&self, text: &Text) -> Option<usize> {
        self.subsets.iter().position(|s| {
            s.face == text.face && text.glyphs.iter().all(|g| s.pairs.get(&g.ch) == Some(&g.id))
        })
    }
}
