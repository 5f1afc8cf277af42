//! The checked sheet: fields are private, made only by
//! [`super::check`], so later stages need no re-checking.

use std::collections::BTreeSet;
use std::path::PathBuf;

use getset::{CopyGetters, Getters};
use time::Date;

use super::model::{ColourId, FamilyId, ListingId, PartId, Words};
use super::observer::Light;
use super::pictures::Pictures;
use super::{ColourMode, FamilyOrder, Format, Only, Order, PaperModel, RenderingIntent};
use crate::diag::{Located, Span};
use crate::qr::SquareCode;

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

/// What the page for buyers says besides the sheet.
#[derive(Debug, Clone, Default, PartialEq, Eq, Getters)]
#[getset(get = "pub")]
pub struct PageSpec {
    /// An address that begins with https:// or http://.
    pub(super) shop: Option<String>,
    pub(super) licence: Words,
    /// Where the page is on the web.
    pub(super) address: Option<String>,
    /// The code of that address, where the sheets show it.
    pub(super) code: Option<SquareCode>,
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
    #[getset(skip)]
    pub(super) name: Located<String>,
    /// A shipped layout's name or a path to a layout file.
    pub(super) layout: Located<String>,
    /// BCP 47 tags, where they are named: on the edition or on the sheet.
    pub(super) spellings: Located<Vec<String>>,
    pub(super) formats: Vec<Format>,
    /// Only these families, in the sheet's order; all when empty.
    pub(super) families: Vec<FamilyId>,
    /// What it leaves out: pictures, where it has drawings only.
    pub(super) only: Option<Only>,
}

impl EditionSpec {
    /// Name in file names: letters, digits, hyphens.
    pub fn name(&self) -> &String {
        &self.name
    }

    /// Where it is in the sheet file.
    pub fn span(&self) -> &Option<Span> {
        &self.name.span
    }
}

/// Where a paper's colours are known from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PaperSource {
    Model(PaperModel),
    /// An ICC output profile: a path inside the sheet's folder.
    Profile(String),
}

/// A paper that the sheet is printed on.
#[derive(Debug, Clone, PartialEq, Getters, CopyGetters)]
pub struct PaperSpec {
    /// Name on the command line and in file names.
    #[getset(get = "pub")]
    pub(super) name: String,
    #[getset(get = "pub")]
    pub(super) source: Located<PaperSource>,
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
    pub(super) condition: Located<Option<String>>,
    /// The file of print values, a path inside the sheet's folder.
    #[getset(get = "pub")]
    pub(super) values: Located<Option<String>>,
}

/// A colour that the sheet does not show.
#[derive(Debug, Clone, Getters, CopyGetters)]
pub struct LeftOut {
    #[getset(get_copy = "pub")]
    pub(super) colour: ColourId,
    /// Printed in the footnote, where given.
    #[getset(get = "pub")]
    pub(super) reason: Located<Option<Words>>,
}

/// A panel that shows the closest colours side by side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Panel {
    /// So many pairs at most.
    pub show: usize,
    /// The largest difference, CIEDE2000.
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
    pub(super) title: Located<Words>,
    #[getset(get = "pub")]
    pub(super) subtitle: Located<Words>,
    /// Left and right of the subtitle: 'Plate 7', 'Autumn release'.
    #[getset(get = "pub")]
    pub(super) corner_text: Located<Words>,
    #[getset(get = "pub")]
    pub(super) edition_line: Located<Words>,
    /// Paragraphs for the furniture, besides the standard ones.
    #[getset(get = "pub")]
    pub(super) notes: Vec<Located<Words>>,
    /// Last lines of the sheet.
    #[getset(get = "pub")]
    pub(super) imprint: Vec<Located<Words>>,
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
    pub(super) style: Located<String>,
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
    /// Words that are right although no dictionary has them.
    #[getset(get = "pub")]
    pub(super) own_words: Vec<String>,
    /// Names that no spelling changes: those of the range, then its own.
    #[getset(get = "pub")]
    pub(super) proper_names: Vec<String>,
    /// The papers it is printed on.
    #[getset(get = "pub")]
    pub(super) papers: Vec<PaperSpec>,
    /// The pictures of parts that it shows in place of drawings, where it has some.
    #[getset(get = "pub")]
    pub(super) pictures: Option<Pictures>,
    /// What the page for buyers says besides, where the sheet says it.
    #[getset(get = "pub")]
    pub(super) page: Option<PageSpec>,
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
