//! What programs that look for a font among those installed must be asked for.

use skrifa::raw::TableProvider;
use skrifa::string::StringId;
use skrifa::{FontRef, MetadataProvider};

use super::face::Face;

/// Shipped families with serifs: their files leave PANOSE, which would state it, empty.
const SERIF: [&str; 1] = ["EB Garamond"];

/// A font by the names that its file gives it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Naming {
    /// The family, all weights and slants of it.
    pub family: String,
    /// 100 to 900; 400 is regular.
    pub weight: u16,
    pub italic: bool,
    /// Letters have serifs.
    pub serif: bool,
}

impl Naming {
    /// That of a face.
    pub fn of(face: &Face) -> Naming {
        let mut naming = Naming { family: "serif".into(), weight: 400, italic: false, serif: true };
        let Ok(font) = FontRef::new(face.bytes()) else { return naming };
        let name = |id: StringId| font.localized_strings(id).english_or_first();
        let family = name(StringId::TYPOGRAPHIC_FAMILY_NAME).or(name(StringId::FAMILY_NAME));
        if let Some(family) = family {
            naming.family = family.to_string();
        }
        if let Ok(os2) = font.os2() {
            naming.weight = os2.us_weight_class();
            naming.italic = os2.fs_selection().bits() & 1 != 0;
        }
        naming.serif = SERIF.contains(&naming.family.as_str());
        naming
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::type_::{FaceId, FaceSpec, Faces, Figures};

    #[test]
    fn shipped_fonts_have_the_names_that_fontconfig_finds() {
        // As `fc-query` of fontconfig 2.14 prints family, slant and weight of each file.
        let cases = [
            ("AlegreyaSans_400Regular_Italic.ttf", "Alegreya Sans", 400, true, false),
            ("AlegreyaSans_500Medium.ttf", "Alegreya Sans", 500, false, false),
            ("AlegreyaSans_700Bold.ttf", "Alegreya Sans", 700, false, false),
            ("BarlowSemiCondensed_300Light.ttf", "Barlow Semi Condensed", 300, false, false),
            ("BarlowSemiCondensed_600SemiBold.ttf", "Barlow Semi Condensed", 600, false, false),
            ("EBGaramond_400Regular_Italic.ttf", "EB Garamond", 400, true, true),
            ("EBGaramond_600SemiBold.ttf", "EB Garamond", 600, false, true),
            ("FiraSansCondensed_300Light.ttf", "Fira Sans Condensed", 300, false, false),
            ("FiraSansCondensed_600SemiBold.ttf", "Fira Sans Condensed", 600, false, false),
        ];
        assert!(Faces::shipped().all(|file| {
            let same =
                |c: &(&str, &str, u16, bool, bool)| c.0.split('_').next() == file.split('_').next();
            cases.iter().any(same)
        }));
        for (file, family, weight, italic, serif) in cases {
            let figures = Figures::Default;
            let spec = FaceSpec { file: file.into(), figures, small_caps: false };
            let faces = Faces::load(&[spec]).expect("shipped");
            let naming = Naming { family: family.into(), weight, italic, serif };
            assert_eq!(Naming::of(&faces[FaceId(0)]), naming, "{file}");
        }
    }
}
