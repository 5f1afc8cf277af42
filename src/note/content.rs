//! The content of the note: sections, groups and entries in words, without a place on a page.

use crate::compare::buyers::Offer;

use crate::range::{CentreLine, ColourId, PartId};
use crate::sheet::Sample;
use crate::spelling::Spelling;

/// Two releases, and how they are reported.
#[derive(Clone, Copy)]
pub struct Telling<'a> {
    pub old: Offer<'a>,
    pub new: Offer<'a>,
    /// The listings whose names and numbers are beside a colour, the first one first; at least one.
    pub lines: &'a [CentreLine],
    pub spelling: &'a Spelling,
}

/// The whole note.
#[derive(Debug, Clone, PartialEq)]
pub struct Note {
    pub title: String,
    pub maker: String,
    /// 'Release 7, since Release 6'; empty where the releases have no names.
    pub releases: String,
    pub sections: Vec<Section>,
    /// A last paragraph.
    pub remark: String,
}

/// What became of some colours or parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    pub title: String,
    /// A few words on how to read it; mostly empty.
    pub note: String,
    pub groups: Vec<Group>,
}

impl Section {
    /// How many entries it has.
    pub fn count(&self) -> usize {
        self.groups.iter().map(|g| g.entries.len()).sum()
    }
}

/// A family, or a part with the colours that concern it.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// Empty where the section is one list.
    pub title: String,
    pub picture: Option<Picture>,
    pub entries: Vec<Entry>,
}

/// A part of the new range, drawn in one of its colours.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Picture {
    pub part: PartId,
    pub colour: ColourId,
}

/// A colour or a part.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Entry {
    /// Its colour, or first the old one and then the new one; empty for a part.
    pub chips: Vec<Sample>,
    pub picture: Option<Picture>,
    pub number: String,
    pub name: String,
    /// Further text, one line each.
    pub lines: Vec<String>,
}
