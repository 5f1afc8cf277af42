//! The checked range: fields are private, made only by
//! [`super::check`], so later stages need no re-checking.

use std::collections::BTreeMap;
use std::sync::Arc;

use getset::{CopyGetters, Getters};

use super::{Finish, Side};
use crate::colour::Lab50;
use crate::diag::{Located, Span};
use crate::graphic::Rgb;
use crate::read::shapes::Shape;

/// An index into [`ColourRange::listings`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ListingId(pub usize);
/// An index into [`ColourRange::families`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FamilyId(pub usize);
/// An index into [`ColourRange::parts`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PartId(pub usize);
/// An index into [`ColourRange::colours`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ColourId(pub usize);

/// Words that may have a form of their own in a spelling.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Words {
    /// As written; the word list of a spelling applies to it.
    pub text: String,
    /// Whole replacements, by BCP 47 tag.
    pub forms: BTreeMap<String, String>,
    /// A name, such as the maker's: no word list applies to it.
    pub is_name: bool,
}

/// One published list of names and numbers.
#[derive(Debug, Clone, PartialEq, Eq, Getters)]
#[getset(get = "pub")]
pub struct Listing {
    pub(super) key: String,
    pub(super) title: Words,
}

/// Colours that share a finish and are shown together.
#[derive(Debug, Clone, PartialEq, Getters, CopyGetters)]
pub struct Family {
    #[getset(get = "pub")]
    pub(super) key: String,
    #[getset(get = "pub")]
    pub(super) title: Located<Words>,
    /// A few words under the title.
    #[getset(get = "pub")]
    pub(super) note: Located<Words>,
    /// A short line for the legend; the note by default.
    #[getset(get = "pub")]
    pub(super) legend: Located<Words>,
    #[getset(get_copy = "pub")]
    pub(super) finish: Finish,
}

/// A shape sold by number.
#[derive(Debug, Clone, PartialEq, Getters, CopyGetters)]
pub struct Part {
    pub(super) key: Located<String>,
    /// Number per listing, same order as the range's listings.
    #[getset(get = "pub")]
    pub(super) numbers: Vec<Option<String>>,
    /// What it is: 'Button, two holes'.
    #[getset(get = "pub")]
    pub(super) title: Located<Words>,
    /// What it can stand in for: parts of one role replace each other.
    #[getset(get = "pub")]
    pub(super) role: String,
    #[getset(get_copy = "pub")]
    pub(super) side: Side,
    /// The size as printed under the number: '18 x 6'.
    #[getset(get = "pub")]
    pub(super) size: Words,
    #[getset(get = "pub")]
    pub(super) shape: Arc<Shape>,
    /// The outline's file as the range names it; of a part without a drawing its size.
    #[getset(get = "pub")]
    pub(super) shape_file: String,
    /// There is no drawing of it: its shape is a box.
    #[getset(get_copy = "pub")]
    pub(super) boxed: bool,
}

impl Part {
    pub fn key(&self) -> &String {
        &self.key
    }

    /// Where it is in the range file.
    pub fn span(&self) -> &Option<Span> {
        &self.key.span
    }
}

/// How a colour's value was given.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    Srgb(Rgb),
    /// CIELAB, D50, as measuring instruments give it.
    LabD50 {
        l: f64,
        a: f64,
        b: f64,
    },
    /// Reflectance 0 to 1 from `from` nm in steps of `step` nm.
    Spectrum {
        from: f64,
        step: f64,
        values: Vec<f64>,
    },
    /// There is none yet: `"unknown"`. Shown by an outline, compared with nothing.
    Unknown,
}

/// Where a measured value comes from.
#[derive(Debug, Clone, PartialEq, Getters, CopyGetters)]
pub struct Measured {
    /// In words: what the file says, else the file and the line; and the place of the value.
    #[getset(get = "pub")]
    pub(super) source: Located<String>,
    /// Mean CIEDE2000 of the readings from their mean, where it is known.
    #[getset(get_copy = "pub")]
    pub(super) spread: Option<f64>,
    /// How many readings it is the mean of.
    #[getset(get_copy = "pub")]
    pub(super) readings: usize,
    #[getset(get = "pub")]
    pub(super) note: Option<String>,
    /// The value that the range gives besides, if it does.
    #[getset(get = "pub")]
    pub(super) typed: Option<Value>,
}

/// One colour of the range.
#[derive(Debug, Clone, PartialEq, Getters, CopyGetters)]
pub struct Colour {
    pub(super) key: Located<String>,
    #[getset(get_copy = "pub")]
    pub(super) family: FamilyId,
    /// Name per listing; one that it does not have is at the colour's own place.
    #[getset(get = "pub")]
    pub(super) names: Vec<Located<Option<Words>>>,
    /// Number per listing, likewise.
    #[getset(get = "pub")]
    pub(super) numbers: Vec<Located<Option<String>>>,
    #[getset(get_copy = "pub")]
    pub(super) first_year: Option<u16>,
    #[getset(get_copy = "pub")]
    pub(super) last_year: Option<u16>,
    /// The one that is used: a measured one before a typed one.
    #[getset(get = "pub")]
    pub(super) value: Value,
    /// Where the value comes from, if it is measured.
    #[getset(get = "pub")]
    pub(super) measured: Option<Measured>,
    /// What a print should show: CIELAB under D50, a spectrum seen under the light of its sheet.
    #[getset(get_copy = "pub")]
    pub(super) aim: Lab50,
    /// The value as it is published: sRGB.
    #[getset(get_copy = "pub")]
    pub(super) rgb: Rgb,
    #[getset(get_copy = "pub")]
    pub(super) finish: Finish,
    #[getset(get = "pub")]
    pub(super) note: Option<Words>,
}

impl Colour {
    pub fn key(&self) -> &String {
        &self.key
    }

    /// Where it is in the range file.
    pub fn span(&self) -> &Option<Span> {
        &self.key.span
    }

    /// The first name that any listing has, else the key: for messages.
    pub fn any_name(&self) -> &str {
        self.names.iter().find_map(|name| name.as_ref()).map_or(&self.key, |w| &w.text)
    }
}

/// Everything one maker offers.
#[derive(Debug, Clone, PartialEq, Getters)]
#[getset(get = "pub")]
pub struct ColourRange {
    pub(super) maker: Located<Words>,
    pub(super) release: Located<Words>,
    /// Names that no spelling changes.
    pub(super) proper_names: Vec<String>,
    pub(super) listings: Vec<Listing>,
    pub(super) families: Vec<Family>,
    pub(super) parts: Vec<Part>,
    pub(super) colours: Vec<Colour>,
    /// `made[colour][part]`: is it made, in the sheet's year if one is set.
    pub(super) made: Vec<Vec<bool>>,
    /// Where a part is made in a colour in some years only.
    pub(super) years: Vec<MadeYears>,
}

/// The years in which a part is made in a colour; one of the two is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct MadeYears {
    pub colour: ColourId,
    pub part: PartId,
    pub from: Option<u16>,
    pub to: Option<u16>,
}

impl MadeYears {
    /// Is it made in this year?
    pub fn holds(&self, year: u16) -> bool {
        self.from.is_none_or(|f| f <= year) && self.to.is_none_or(|t| year <= t)
    }
}

impl ColourRange {
    pub fn family(&self, id: FamilyId) -> &Family {
        &self.families[id.0]
    }
    pub fn part(&self, id: PartId) -> &Part {
        &self.parts[id.0]
    }
    pub fn colour(&self, id: ColourId) -> &Colour {
        &self.colours[id.0]
    }
    /// Is this part made in this colour?
    pub fn is_made(&self, colour: ColourId, part: PartId) -> bool {
        self.made[colour.0][part.0]
    }
}
