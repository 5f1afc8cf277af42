//! The type of labels.

use super::label_sheet::LabelSheet;
use crate::diag::Diagnostic;
use crate::plan::style::Voice;
use crate::plan::{Look, Style};

/// The page whose type gives the proportions: a style's largest, where no floor bends them.
const PROPORTIONS: (f64, f64) = (610.0, 914.0);

/// The style's voices for labels, the first name 1 mm large.
#[derive(Debug, Clone)]
pub struct Voices {
    pub look: Look,
    /// Name and number, of the first listing and of the others.
    pub(super) first: (Voice, Voice),
    pub(super) other: (Voice, Voice),
    /// Which listing it is.
    pub(super) tag: Voice,
    pub(super) floor: f64,
}

impl Voices {
    /// # Errors
    /// The style lacks a face or an ink.
    pub fn new(style: &Style, label_sheet: &LabelSheet) -> Result<Voices, Diagnostic> {
        // No floor yet: sizes of the page are proportions only.
        let look = Look::new(style, PROPORTIONS.0, PROPORTIONS.1, 0.1)?;
        let v = &look.voices;
        let unit = v.name.size;
        let per_name = |voice: Voice| voice.sized(voice.size / unit);
        // Whoever orders reads the number first: it is as large as the name.
        let first = (per_name(v.name), v.number.inked(v.name.ink).sized(1.0));
        let other = (per_name(v.other_name), per_name(v.other_number));
        Ok(Voices {
            first,
            other,
            tag: v.other_number.sized(1.0),
            floor: label_sheet.type_floor(),
            look,
        })
    }

    pub fn sized(&self, voice: Voice, em: f64) -> Voice {
        voice.sized((voice.size * em).max(self.floor))
    }

    /// Every voice that a label uses: name and number of the first listing, of the others, and the
    /// word for the listing.
    pub fn each(&self) -> [(&'static str, Voice); 5] {
        [
            ("the name", self.first.0),
            ("the number", self.first.1),
            ("the name", self.other.0),
            ("the number", self.other.1),
            ("the listing's title", self.tag),
        ]
    }
}
