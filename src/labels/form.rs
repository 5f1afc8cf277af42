//! What all labels of a set share: where names, numbers and listings are, and how large numbers are.

use kurbo::Size;

use super::voices::Voices;
use super::words::{ListingWords, Said};
use crate::plan::style::Voice;
use crate::sheet::paragraph::fitting;

/// The word for the listing, in em of the label sheet's type, and the most of a line that it takes.
const TAG: f64 = 0.42;
const TAG_SHARE: f64 = 0.45;
/// One very long number makes those of all other labels no smaller than this share of the label sheet's type.
const LEAST_NUMBER: f64 = 0.6;

/// Where the listing is named.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tags {
    /// At the right end of the listing's first line.
    Beside,
    /// On a line of its own above it.
    Above,
}

/// Where names and listings are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Way {
    /// The name begins a line under the number, not beside it.
    pub stacked: bool,
    pub tags: Tags,
}

/// What all labels of a set share, mm.
pub(super) struct Form<'a> {
    pub voices: &'a Voices,
    pub width: f64,
    pub height: f64,
    /// The name begins a line under the number, not beside it.
    pub stacked: bool,
    pub tags: Tags,
    /// Voice of the word for the listing.
    pub tag: Voice,
    /// Em size of the numbers.
    pub number: f64,
    /// From the top of the words to the first baseline.
    pub rise: f64,
}

impl<'a> Form<'a> {
    pub fn new(said: &[Said], voices: &'a Voices, most: f64, room: Size, way: Way) -> Form<'a> {
        let look = &voices.look;
        let tag = voices.sized(voices.tag, most * TAG);
        let Way { stacked, tags } = way;
        let Size { width, height } = room;
        let mut form = Form { voices, width, height, stacked, tags, tag, number: most, rise: 0.0 };
        let first = said.iter().filter_map(|s| s.entries.first()).filter(|e| !e.number.is_empty());
        let share = |e: &ListingWords| {
            let beside = if form.tags == Tags::Beside { form.tag_of(e).1 } else { 0.0 };
            let taken = look.width(voices.sized(voices.first.1, most), &e.number);
            (width - beside) / taken.max(1e-9)
        };
        let least = first.map(share).fold(1.0, f64::min).max(LEAST_NUMBER);
        form.number = (most * least).max(voices.floor);
        let cap = |voice| voices.sized(voice, form.number).cap;
        let above = match tags {
            Tags::Above if form.tagged(said) => form.tag.cap + form.tag.size * 0.5,
            _ => 0.0,
        };
        form.rise = cap(voices.first.0).max(cap(voices.first.1)) + above;
        form
    }

    pub fn tagged(&self, said: &[Said]) -> bool {
        said.iter().flat_map(|s| &s.entries).any(|e| !e.tag.is_empty())
    }

    /// The word for a listing as it is shown, and the room that it takes with white before it.
    pub fn tag_of(&self, entry: &ListingWords) -> (String, f64) {
        let share = if self.tags == Tags::Beside { TAG_SHARE } else { 1.0 };
        let (voice, text) =
            fitting(&self.voices.look, self.tag, &entry.tag, self.width * share, 1.0);
        let width = self.voices.look.width(voice, &text);
        (text, if width > 0.0 { width + self.tag.size } else { 0.0 })
    }
}
