//! The checked range: fields are private, made only by
//! [`super::check`], so later stages need no re-checking.

use std::collections::BTreeMap;
use std::sync::Arc;

use getset::{CopyGetters, Getters};

use super::{Finish, Side};
use crate::colour::Lab50;
use crate::diag::Span;
use crate::graphic::Rgb;
use crate::read::shapes::Shape;

/// An index into [`Range::listings`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ListingId(pub usize);
/// An index into [`Range::families`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FamilyId(pub usize);
/// An index into [`Range::parts`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PartId(pub usize);
/// An index into [`Range::colours`].
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
#[derive(Debug, Clone, Getters, CopyGetters)]
pub struct Family {
    #[getset(get = "pub")]
    pub(super) key: String,
    #[getset(get = "pub")]
    pub(super) title: Words,
    /// A few words under the title.
    #[getset(get = "pub")]
    pub(super) note: Words,
    /// A short line for the legend.
    #[getset(get = "pub")]
    pub(super) legend: Words,
    #[getset(get_copy = "pub")]
    pub(super) finish: Finish,
    /// Where title, note and legend are written, else the family.
    #[getset(get = "pub")]
    pub(super) title_span: Option<Span>,
    #[getset(get = "pub")]
    pub(super) note_span: Option<Span>,
    #[getset(get = "pub")]
    pub(super) legend_span: Option<Span>,
}

/// A shape sold by number.
#[derive(Debug, Clone, Getters, CopyGetters)]
pub struct Part {
    #[getset(get = "pub")]
    pub(super) key: String,
    /// Number per listing, same order as the range's listings.
    #[getset(get = "pub")]
    pub(super) numbers: Vec<Option<String>>,
    /// What it is: 'Button, two holes'.
    #[getset(get = "pub")]
    pub(super) title: Words,
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
    /// The outline's file as the range names it.
    #[getset(get = "pub")]
    pub(super) shape_file: String,
    /// Where it is in the range file.
    #[getset(get = "pub")]
    pub(super) span: Option<Span>,
    /// Where its title is written, else the part.
    #[getset(get = "pub")]
    pub(super) title_span: Option<Span>,
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

/// One colour of the range.
#[derive(Debug, Clone, Getters, CopyGetters)]
pub struct Colour {
    #[getset(get = "pub")]
    pub(super) key: String,
    #[getset(get_copy = "pub")]
    pub(super) family: FamilyId,
    /// Name per listing.
    #[getset(get = "pub")]
    pub(super) names: Vec<Option<Words>>,
    /// Number per listing.
    #[getset(get = "pub")]
    pub(super) numbers: Vec<Option<String>>,
    #[getset(get_copy = "pub")]
    pub(super) first_year: Option<u16>,
    #[getset(get_copy = "pub")]
    pub(super) last_year: Option<u16>,
    #[getset(get = "pub")]
    pub(super) value: Value,
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
    /// Where it is in the range file.
    #[getset(get = "pub")]
    pub(super) span: Option<Span>,
    /// Where its name per listing is; the colour's own place where a listing has no name.
    #[getset(get = "pub")]
    pub(super) name_spans: Vec<Option<Span>>,
    /// Where its number per listing is; the colour's own place where a listing has no number.
    #[getset(get = "pub")]
    pub(super) number_spans: Vec<Option<Span>>,
}

impl Colour {
    /// The first name that any listing has, else the key: for messages.
    pub fn any_name(&self) -> &str {
        self.names.iter().flatten().next().map_or(&self.key, |w| &w.text)
    }
}

/// Two colours are the same wherever they are written.
impl PartialEq for Colour {
    fn eq(&self, other: &Colour) -> bool {
        let Colour {
            key,
            family,
            names,
            numbers,
            first_year,
            last_year,
            value,
            aim,
            rgb,
            finish,
            note,
            span: _,
            name_spans: _,
            number_spans: _,
        } = self;
        (key, family, names, numbers, first_year, last_year)
            == (
                &other.key,
                &other.family,
                &other.names,
                &other.numbers,
                &other.first_year,
                &other.last_year,
            )
            && (value, aim, rgb) == (&other.value, &other.aim, &other.rgb)
            && (finish, note) == (&other.finish, &other.note)
    }
}

/// Two parts are the same wherever they are written.
impl PartialEq for Part {
    fn eq(&self, other: &Part) -> bool {
        let Part {
            key,
            numbers,
            title,
            role,
            side,
            size,
            shape,
            shape_file,
            span: _,
            title_span: _,
        } = self;
        (key, numbers, title, role, side, size, shape_file)
            == (
                &other.key,
                &other.numbers,
                &other.title,
                &other.role,
                &other.side,
                &other.size,
                &other.shape_file,
            )
            && shape == &other.shape
    }
}

/// Two families are the same wherever they are written.
impl PartialEq for Family {
    fn eq(&self, other: &Family) -> bool {
        let Family {
            key,
            title,
            note,
            legend,
            finish,
            title_span: _,
            note_span: _,
            legend_span: _,
        } = self;
        (key, title, note, legend, finish)
            == (&other.key, &other.title, &other.note, &other.legend, &other.finish)
    }
}

/// Two ranges are the same wherever they are written.
impl PartialEq for Range {
    fn eq(&self, other: &Range) -> bool {
        let Range {
            maker,
            release,
            proper_names,
            listings,
            families,
            parts,
            colours,
            made,
            years,
            maker_span: _,
            release_span: _,
        } = self;
        (maker, release, proper_names, listings, families)
            == (&other.maker, &other.release, &other.proper_names, &other.listings, &other.families)
            && (parts, colours, made, years)
                == (&other.parts, &other.colours, &other.made, &other.years)
    }
}

/// Everything one maker offers.
#[derive(Debug, Clone, Getters)]
#[getset(get = "pub")]
pub struct Range {
    pub(super) maker: Words,
    pub(super) release: Words,
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
    /// Where maker and release are written, else the range.
    pub(super) maker_span: Option<Span>,
    pub(super) release_span: Option<Span>,
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

impl Range {
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
