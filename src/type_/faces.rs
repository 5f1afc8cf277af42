//! The faces of a sheet.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::face::{Face, FaceError};
use super::fonts::{OwnFonts, SHIPPED};
use super::spec::FaceSpec;

/// An index into [`Faces`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FaceId(pub usize);

/// The faces that a sheet uses, in the order in which its style names them.
#[derive(Debug, Default)]
pub struct Faces {
    faces: Vec<Arc<Face>>,
    /// By face: which one has the characters that it lacks.
    instead: Vec<Option<FaceId>>,
}

impl Faces {
    /// Loads each face; equal specs may be given twice.
    ///
    /// # Errors
    /// The first face whose file is not shipped or cannot be read.
    pub fn load(specs: &[FaceSpec]) -> Result<Faces, FaceError> {
        Faces::load_with(specs, &BTreeMap::new(), &OwnFonts::new())
    }

    /// The same with custom fonts, and with files that are set instead of others (by their
    /// names) where those lack a character.
    ///
    /// # Errors
    /// As [`Faces::load`].
    pub fn load_with(
        specs: &[FaceSpec],
        instead: &BTreeMap<String, String>,
        own: &OwnFonts,
    ) -> Result<Faces, FaceError> {
        let load = |spec: &FaceSpec| Face::kept(spec, own);
        let mut faces = specs.iter().map(load).collect::<Result<Vec<Arc<Face>>, _>>()?;
        let mut other = vec![None; faces.len()];
        for (i, spec) in specs.iter().enumerate() {
            if let Some(file) = instead.get(&spec.file) {
                faces.push(load(&FaceSpec { file: file.clone(), ..spec.clone() })?);
                other[i] = Some(FaceId(faces.len() - 1));
            }
        }
        other.resize(faces.len(), None);
        Ok(Faces { faces, instead: other })
    }

    /// The face in which a text is set: `face`, or the one that stands in for it where that has
    /// more of the text's characters.
    pub fn of(&self, face: FaceId, text: &str) -> FaceId {
        let Some(other) = self.instead[face.0].filter(|_| !text.is_ascii()) else { return face };
        let missing = self[face].count_missing(text);
        if missing > 0 && self[other].count_missing(text) < missing { other } else { face }
    }

    /// File names of the shipped fonts.
    pub fn shipped() -> impl Iterator<Item = &'static str> {
        SHIPPED.iter().map(|(name, _)| *name)
    }

    /// Every face with its id.
    pub fn iter(&self) -> impl Iterator<Item = (FaceId, &Face)> {
        self.faces.iter().enumerate().map(|(i, face)| (FaceId(i), &**face))
    }
}

impl std::ops::Index<FaceId> for Faces {
    type Output = Face;
    fn index(&self, id: FaceId) -> &Face {
        &self.faces[id.0]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::type_::Figures;

    fn face(file: &str, figures: Figures) -> Faces {
        Faces::load(&[FaceSpec { file: file.into(), figures, small_caps: false }]).expect("shipped")
    }

    #[test]
    fn tabular_figures_have_one_width() {
        let faces = face("AlegreyaSans_700Bold.ttf", Figures::LiningTabular);
        let one = faces[FaceId(0)].width("1111", 10.0);
        for digit in "023456789".chars() {
            let text: String = std::iter::repeat_n(digit, 4).collect();
            assert!((faces[FaceId(0)].width(&text, 10.0) - one).abs() < 1e-9, "{digit}");
        }
    }

    #[test]
    fn every_shipped_face_keeps_one_glyph_a_character() {
        let sample = "Affinity fjord office ½ “Ünïcödé” ŁŽ 0123456789 1lI0O × · – —";
        for file in Faces::shipped() {
            let faces = face(file, Figures::OldStyle);
            let face = &faces[FaceId(0)];
            assert_eq!(face.missing(sample), Vec::<char>::new(), "{file}");
            let (glyphs, width) = face.set(sample, 4.0, 0.0);
            assert_eq!(glyphs.len(), sample.chars().count(), "{file}");
            assert!(width > 0.0 && glyphs.iter().all(|g| g.id != 0), "{file}");
        }
    }
}
