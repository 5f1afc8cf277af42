//! What a sheet prints besides its rows: title, notes, imprint.

use crate::diag::{Findings, Located};
use crate::range::check::keys::words;
use crate::range::{ColourRange, Words};
use crate::read::raw;
use crate::read::ron::Place;

/// Texts in the words of the sheet, or else of the range, each with where it is written.
pub(super) struct Texts {
    pub(super) title: Located<Words>,
    pub(super) subtitle: Located<Words>,
    pub(super) corner_text: Located<Words>,
    pub(super) edition_line: Located<Words>,
    pub(super) notes: Vec<Located<Words>>,
    pub(super) imprint: Vec<Located<Words>>,
}

impl Texts {
    /// Takes the texts out of a sheet.
    pub(super) fn check(
        raw: &mut raw::Sheet,
        root: Place,
        range: &ColourRange,
        findings: &mut Findings,
    ) -> Texts {
        let mut one = |text: Option<raw::Words>, field: &str, other: Words| {
            let text = text.map_or(other, |w| words(w, root.field(field), findings));
            Located::new(text, root.or_head(field))
        };
        let title = one(raw.title.take(), "title", range.maker.value.clone());
        let subtitle = one(raw.subtitle.take(), "subtitle", Words::default());
        let corner_text = one(raw.corner_text.take(), "corner_text", Words::default());
        let release = range.release.value.clone();
        let edition_line = one(raw.edition_line.take(), "edition_line", release);
        let mut list = |list: Option<Vec<raw::Words>>, field: &str| {
            let places = (0..).map(|i| root.field(field).item(i));
            let list = list.unwrap_or_default().into_iter().zip(places);
            list.map(|(w, at)| Located::new(words(w, at, findings), at.span())).collect()
        };
        let notes = list(raw.notes.take(), "notes");
        let imprint = list(raw.imprint.take(), "imprint");
        Texts { title, subtitle, corner_text, edition_line, notes, imprint }
    }
}
