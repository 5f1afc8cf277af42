//! The display list: everything on the pages, positioned, in millimetres.
//!
//! Painters draw from this and nothing else. They never measure text and
//! never see a range or a plan. Everything is a filled area: a rule is a thin
//! rectangle, so the three painters cannot disagree about strokes.

use std::sync::Arc;

use kurbo::{BezPath, Rect, Vec2};
pub use time::Date;

pub use super::images::SheetImage;
use super::palette::{Palette, PaletteIndex};
pub use super::symbol::Symbol;
use crate::graphic;
pub use crate::graphic::{FillRule, Glyph, Ramp, Rgb};
use crate::type_::{FaceId, Faces};

/// What fills an area: an entry of the palette, or a gradient between some.
pub type Paint = graphic::Paint<PaletteIndex>;
pub type Gradient = graphic::Gradient<PaletteIndex>;
pub type Stop = graphic::Stop<PaletteIndex>;

/// An index into [`Sheet::outlines`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct OutlineId(pub usize);

/// An index into [`Sheet::symbols`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SymbolId(pub usize);

/// An index into [`Sheet::images`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ImageId(pub usize);

/// One filled area of a drawing of a part.
pub type Layer = LayerOf<PaletteIndex>;

/// The same with colours of a kind.
#[derive(Debug, Clone, PartialEq)]
pub struct LayerOf<C> {
    pub outline: OutlineId,
    pub rule: FillRule,
    pub paint: graphic::Paint<C>,
    /// 0 to 1; 1 hides what lies below.
    pub opacity: f64,
}

impl<C: Copy> LayerOf<C> {
    /// The same with other colours.
    pub fn map<D>(&self, colour: impl FnMut(C) -> D) -> LayerOf<D> {
        let LayerOf { outline, rule, opacity, .. } = *self;
        LayerOf { outline, rule, paint: self.paint.map(colour), opacity }
    }
}

/// What an item is for; painters use it to group, tests to find.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// A part in a colour.
    Sample,
    /// The flat chip of a colour.
    Swatch,
    /// Words and numbers that belong to a row or a heading.
    Label,
    /// Crop marks and cut lines.
    Cut,
    /// Titles, rules, legend, ruler, imprint, gap marks.
    Furniture,
}

/// Where an item came from, for messages: a row's key or a field's name.
pub type Origin = Arc<str>;

/// How text runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Turn {
    /// Left to right.
    Level,
    /// Bottom to top: turned 90 degrees anticlockwise about its origin.
    Up,
}

/// A run of text on one baseline, measured: `x`, `y` is its left end.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    pub string: String,
    pub face: FaceId,
    /// Em size, mm.
    pub size: f64,
    pub x: f64,
    pub y: f64,
    pub turn: Turn,
    pub fill: PaletteIndex,
    pub glyphs: Vec<Glyph>,
    /// Width of the whole run, mm.
    pub advance: f64,
}

/// A filled area in page coordinates.
#[derive(Debug, Clone, PartialEq)]
pub struct Area {
    pub path: BezPath,
    pub rule: FillRule,
    pub fill: PaletteIndex,
}

/// A symbol put on the page: its origin at `x`, `y`, scaled about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Use {
    pub symbol: SymbolId,
    pub x: f64,
    pub y: f64,
    pub scale: f64,
}

/// An image put on the page: the middle of the part that it shows at `x`, `y`, scaled about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ImageUse {
    pub image: ImageId,
    pub x: f64,
    pub y: f64,
    pub scale: f64,
}

impl ImageUse {
    /// Where the whole image is on the page, mm.
    pub fn on_page(&self, image: &SheetImage) -> Rect {
        image.frame.scale_from_origin(self.scale) + Vec2::new(self.x, self.y)
    }
}

/// What an item draws.
#[derive(Debug, Clone, PartialEq)]
pub enum ItemKind {
    Area(Area),
    Use(Use),
    Image(ImageUse),
    /// Boxed: it is larger than the others, and a large sheet has a million items.
    Text(Box<Text>),
}

/// One thing on a page.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    pub role: Role,
    pub origin: Option<Origin>,
    pub kind: ItemKind,
    /// Everything it may touch, page coordinates, mm.
    pub bounds: Rect,
}

/// One page: items from the bottom up.
#[derive(Debug, Clone, Default)]
pub struct Page {
    pub items: Vec<Item>,
}

/// What a file says about itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct About {
    pub title: String,
    pub author: String,
    /// BCP 47 tag.
    pub language: String,
    /// The day it was issued, where the sheet says so: never a clock's.
    pub issue_date: Option<Date>,
    /// The year that the sheet shows.
    pub year: Option<u16>,
}

impl About {
    /// The day for files that must have one: where the sheet says none, the
    /// first of the year that it shows, or of 2000.
    pub fn date(&self) -> Date {
        let year = i32::from(self.year.unwrap_or(2000));
        let first = || Date::from_ordinal_date(year, 1);
        self.issue_date.or_else(|| first().ok()).unwrap_or(Date::MIN)
    }
}

/// The positioned sheet: pages of one size and what they share.
#[derive(Debug, Clone)]
pub struct Sheet {
    /// Trimmed size, mm.
    pub width: f64,
    pub height: f64,
    /// How far the drawing may reach over the trim, mm; 0 without bleed.
    pub bleed: f64,
    pub about: About,
    pub faces: Arc<Faces>,
    /// Every colour on the pages.
    pub palette: Palette,
    /// Outlines used by the symbols, each once, part coordinates, mm.
    pub outlines: Vec<Arc<BezPath>>,
    pub symbols: Vec<Symbol>,
    /// Pictures of parts, each once.
    pub images: Vec<SheetImage>,
    pub pages: Vec<Page>,
}
