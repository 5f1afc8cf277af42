//! The checked range and the checked sheet: fields are private, made only by
//! [`super::check`], so later stages need no re-checking.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use std::sync::Arc;

use getset::{CopyGetters, Getters};
use time::Date;

use super::observer::Light;
use super::{ColourMode, FamilyOrder, Finish, Format, Order, PaperModel, RenderingIntent, Side};
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

/// How the parts of a family are arranged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Columns {
    /// The solver chooses, from these parts where given (else from all).
    Choose { from: Option<Vec<PartId>> },
    /// As given, left and right of the spine, from left to right.
    Given { left: Vec<PartId>, right: Vec<PartId> },
    /// No columns: each colour shows its parts, each with its number.
    Loose,
}

/// One family as the sheet shows it.
#[derive(Debug, Clone, Getters, CopyGetters)]
pub struct SheetFamily {
    #[getset(get_copy = "pub")]
    pub(super) family: FamilyId,
    /// Its colours, in order.
    #[getset(get = "pub")]
    pub(super) rows: Vec<ColourId>,
    #[getset(get = "pub")]
    pub(super) columns: Columns,
    /// The criterion of that order.
    #[getset(get_copy = "pub")]
    pub(super) order: Order,
    /// The colour that a neighbours' order begins with, where one is set.
    #[getset(get_copy = "pub")]
    pub(super) first: Option<ColourId>,
    /// Where the sheet names it; the range's own place where the sheet does not.
    #[getset(get = "pub")]
    pub(super) span: Option<Span>,
}

/// What the centre column shows for a listing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CentreLine {
    pub listing: ListingId,
    pub name: bool,
    pub number: bool,
}

/// One layout in which the sheet comes out.
#[derive(Debug, Clone, Getters)]
#[getset(get = "pub")]
pub struct EditionSpec {
    /// Name in file names: letters, digits, hyphens.
    pub(super) name: String,
    /// A shipped layout's name or a path to a layout file.
    pub(super) layout: String,
    /// BCP 47 tags.
    pub(super) spellings: Vec<String>,
    pub(super) formats: Vec<Format>,
    /// Only these families, in the sheet's order; all when empty.
    pub(super) families: Vec<FamilyId>,
    /// Where it is in the sheet file.
    pub(super) span: Option<Span>,
    /// Where its layout is named.
    pub(super) layout_span: Option<Span>,
    /// Where its spellings are named, on the edition or on the sheet.
    pub(super) spellings_span: Option<Span>,
}

/// Where a paper's colours are known from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PaperSource {
    Model(PaperModel),
    /// An ICC output profile: a path inside the sheet's folder.
    Profile(String),
}

/// A paper that the sheet is printed on.
#[derive(Debug, Clone, Getters, CopyGetters)]
pub struct PaperSpec {
    /// Name on the command line and in file names.
    #[getset(get = "pub")]
    pub(super) name: String,
    #[getset(get = "pub")]
    pub(super) source: PaperSource,
    /// The colour mode of its files; by default, that of its source.
    #[getset(get_copy = "pub")]
    pub(super) colour_mode: Option<ColourMode>,
    #[getset(get_copy = "pub")]
    pub(super) rendering_intent: RenderingIntent,
    /// Total ink, percent.
    #[getset(get_copy = "pub")]
    pub(super) ink_limit: Option<f64>,
    /// The registered output condition that the profile describes.
    #[getset(get = "pub")]
    pub(super) condition: Option<String>,
    /// Where it is.
    #[getset(get = "pub")]
    pub(super) condition_span: Option<Span>,
    /// The file of print values, a path inside the sheet's folder.
    #[getset(get = "pub")]
    pub(super) values: Option<String>,
    /// Where the profile is, else the paper.
    #[getset(get = "pub")]
    pub(super) source_span: Option<Span>,
    #[getset(get = "pub")]
    pub(super) values_span: Option<Span>,
}

/// Two papers are the same wherever they are written.
impl PartialEq for PaperSpec {
    fn eq(&self, other: &PaperSpec) -> bool {
        let PaperSpec {
            name,
            source,
            colour_mode,
            rendering_intent,
            ink_limit,
            condition,
            values,
            ..
        } = self;
        (name, source, colour_mode, rendering_intent)
            == (&other.name, &other.source, &other.colour_mode, &other.rendering_intent)
            && (ink_limit, condition, values) == (&other.ink_limit, &other.condition, &other.values)
    }
}

/// A colour that the sheet does not show.
#[derive(Debug, Clone, Getters, CopyGetters)]
pub struct LeftOut {
    #[getset(get_copy = "pub")]
    pub(super) colour: ColourId,
    /// Printed in the footnote, where given.
    #[getset(get = "pub")]
    pub(super) reason: Option<Words>,
    /// Where the reason is written, else the colours' group.
    #[getset(get = "pub")]
    pub(super) reason_span: Option<Span>,
}

/// A panel that shows the closest colours side by side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Panel {
    /// So many pairs at most.
    pub show: usize,
    /// Up to so far apart, CIEDE2000.
    pub limit: f64,
}

/// Colours that a sheet marks as new.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MarkedNew {
    /// The release since which they are new; empty where it has no name.
    pub since: Words,
    pub colours: BTreeSet<ColourId>,
}

/// The checked sheet: what to show.
#[derive(Debug, Clone, Getters, CopyGetters)]
pub struct SheetSpec {
    /// The sheet file; its folder is where names of files start.
    #[getset(get = "pub")]
    pub(super) file: PathBuf,
    /// The range file as the sheet names it.
    #[getset(get = "pub")]
    pub(super) range_file: String,
    /// Name of the output folder: letters, digits, hyphens.
    #[getset(get = "pub")]
    pub(super) name: String,
    #[getset(get = "pub")]
    pub(super) title: Words,
    #[getset(get = "pub")]
    pub(super) subtitle: Words,
    /// Left and right of the subtitle: 'Plate 7', 'Autumn release'.
    #[getset(get = "pub")]
    pub(super) corner_text: Words,
    #[getset(get = "pub")]
    pub(super) edition_line: Words,
    /// Paragraphs for the furniture, besides the standard ones.
    #[getset(get = "pub")]
    pub(super) notes: Vec<Words>,
    /// Last lines of the sheet.
    #[getset(get = "pub")]
    pub(super) imprint: Vec<Words>,
    #[getset(get = "pub")]
    pub(super) families: Vec<SheetFamily>,
    #[getset(get = "pub")]
    pub(super) left_out: Vec<LeftOut>,
    /// The listing whose part numbers head the columns.
    #[getset(get_copy = "pub")]
    pub(super) headings: ListingId,
    #[getset(get = "pub")]
    pub(super) centre: Vec<CentreLine>,
    #[getset(get = "pub")]
    pub(super) editions: Vec<EditionSpec>,
    /// A shipped style's name or a path to a style file.
    #[getset(get = "pub")]
    pub(super) style: String,
    /// The year shown, where one is set.
    #[getset(get_copy = "pub")]
    pub(super) year: Option<u16>,
    /// The day it is issued, where one is set.
    #[getset(get_copy = "pub")]
    pub(super) issue_date: Option<Date>,
    /// The light under which colours given as spectra are seen.
    #[getset(get_copy = "pub")]
    pub(super) light: Light,
    /// The part keys drawn in the legend, one each side where given.
    #[getset(get = "pub")]
    pub(super) legend_parts: Vec<PartId>,
    /// The panel of look-alikes, where the sheet has one.
    #[getset(get_copy = "pub")]
    pub(super) lookalikes: Option<Panel>,
    /// Whether families may change places.
    #[getset(get_copy = "pub")]
    pub(super) family_order: FamilyOrder,
    /// Where the title, the subtitle and the style are written, else the whole sheet.
    #[getset(get = "pub")]
    pub(super) title_span: Option<Span>,
    #[getset(get = "pub")]
    pub(super) subtitle_span: Option<Span>,
    #[getset(get = "pub")]
    pub(super) style_span: Option<Span>,
    #[getset(get = "pub")]
    pub(super) corner_text_span: Option<Span>,
    #[getset(get = "pub")]
    pub(super) edition_line_span: Option<Span>,
    /// Where each note and each line of the imprint is written.
    #[getset(get = "pub")]
    pub(super) note_spans: Vec<Option<Span>>,
    #[getset(get = "pub")]
    pub(super) imprint_spans: Vec<Option<Span>>,
    /// Words that are right although no dictionary has them.
    #[getset(get = "pub")]
    pub(super) own_words: Vec<String>,
    /// Names that no spelling changes: those of the range, then its own.
    #[getset(get = "pub")]
    pub(super) proper_names: Vec<String>,
    /// The papers it is printed on.
    #[getset(get = "pub")]
    pub(super) papers: Vec<PaperSpec>,
    /// Colours marked as new: not from its file.
    #[getset(get = "pub")]
    pub(super) marked_new: Option<MarkedNew>,
}

impl SheetSpec {
    /// Marks colours as new.
    pub fn mark_new(&mut self, marked: MarkedNew) {
        self.marked_new = Some(marked);
    }

    /// Is this colour marked as new?
    pub fn is_marked_new(&self, colour: ColourId) -> bool {
        self.marked_new.as_ref().is_some_and(|m| m.colours.contains(&colour))
    }

    /// How many colours the sheet shows.
    pub fn colour_count(&self) -> usize {
        self.families.iter().map(|f| f.rows.len()).sum()
    }
}
