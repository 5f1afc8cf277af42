//! What a sheet prints besides its rows: title, notes, imprint.

use crate::diag::{Findings, Span};
use crate::range::check::keys::words;
use crate::range::{Range, Words};
use crate::read::raw;
use crate::read::ron::Place;

/// Texts in the words of the sheet, or else of the range.
pub(super) struct Texts {
    pub(super) title: Words,
    pub(super) subtitle: Words,
    pub(super) corner_text: Words,
    pub(super) edition_line: Words,
    pub(super) notes: Paragraphs,
    pub(super) imprint: Paragraphs,
}

/// Texts of a list, each with where it is written.
pub(super) struct Paragraphs {
    pub(super) words: Vec<Words>,
    pub(super) spans: Vec<Option<Span>>,
}

impl Texts {
    /// Takes the texts out of a sheet.
    pub(super) fn check(
        raw: &mut raw::Sheet,
        root: Place,
        range: &Range,
        findings: &mut Findings,
    ) -> Texts {
        let mut one =
            |w: Option<raw::Words>, field: &str| w.map(|w| words(w, root.field(field), findings));
        let title = one(raw.title.take(), "title");
        let subtitle = one(raw.subtitle.take(), "subtitle");
        let corner_text = one(raw.corner_text.take(), "corner_text");
        let edition_line = one(raw.edition_line.take(), "edition_line");
        let mut list = |list: Option<Vec<raw::Words>>, field: &str| {
            let places = (0..).map(|i| root.field(field).item(i));
            let (words, spans) = list
                .unwrap_or_default()
                .into_iter()
                .zip(places)
                .map(|(w, at)| (words(w, at, findings), at.span()))
                .unzip();
            Paragraphs { words, spans }
        };
        Texts {
            title: title.unwrap_or_else(|| range.maker.clone()),
            subtitle: subtitle.unwrap_or_default(),
            corner_text: corner_text.unwrap_or_default(),
            edition_line: edition_line.unwrap_or_else(|| range.release.clone()),
            notes: list(raw.notes.take(), "notes"),
            imprint: list(raw.imprint.take(), "imprint"),
        }
    }
}
