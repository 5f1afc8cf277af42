//! Room that a page has to spare: larger rows, then wider margins.
//!
//! A page with little on it is set larger, as anybody would set it by hand:
//! names, numbers, swatches and the white between rows grow together, up to a
//! ceiling; what is still left goes to the margins, so that what there is
//! is in the middle of the page. Parts keep their scale.

use kurbo::Rect;

use super::blocks::PageColumn;
use super::facts::{Facts, LARGE};
use super::layout::{Layout, ScaleRule};
use super::measure::{QUARTERS, title_room};
use super::solution::Plan;
use super::style::{Look, Style, page_t};

/// A page that is used less than this is too large for what is on it.
pub const HALF: f64 = 0.5;
/// A sheet of fewer colours is a trial, or the beginning of one: its page is not reported.
pub const FEW: usize = 4;

/// Rows and margins that are larger than the style's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// How many times larger rows, headings and notes are.
    pub growth: f64,
    /// What each side margin gains, as a share of the page's width.
    pub side: f64,
    /// What the margins above and below gain, as a share of the page's height.
    pub ends: f64,
}

/// A plan that costs less than this leaves too little room for a second look.
const WORTH: f64 = 0.06;
/// The largest rows, beside the style's own on this page.
const MOST_GROWTH: f64 = 2.0;
/// The largest rows, beside the style's own on a poster: larger names are read
/// no better at arm's length.
const MOST_OF_POSTER: f64 = 1.6;
const GROWTHS: [f64; 5] = [1.15, 1.3, 1.5, 1.75, 2.0];
const SIDES: [f64; 5] = [0.02, 0.04, 0.06, 0.085, 0.11];
const ENDS: [f64; 10] = [0.02, 0.04, 0.065, 0.09, 0.12, 0.15, 0.19, 0.23, 0.27, 0.31];
/// What growth is worth.
const GROWTH: f64 = 0.08;
/// Price of margins that take all of the page's width or height.
const MARGIN: f64 = 2.0;

impl Room {
    /// As the style has it.
    pub const NONE: Room = Room { growth: 1.0, side: 0.0, ends: 0.0 };

    /// This step after what was already given.
    pub fn with(self, before: Room) -> Room {
        Room {
            growth: self.growth.max(before.growth),
            side: self.side.max(before.side),
            ends: self.ends.max(before.ends),
        }
    }

    /// Its price: rows first, margins for what is left.
    pub fn cost(self) -> f64 {
        MARGIN * (self.side + self.ends) - GROWTH * (self.growth - 1.0)
    }
}

/// The steps worth trying after a plan, none where it is as full as it should be.
pub fn ladder(style: &Style, layout: &Layout, plan: &Plan) -> Vec<Room> {
    let colours: usize = plan.families.iter().map(|f| f.rows.len()).sum();
    let shrunk = layout.scale == ScaleRule::Fit && plan.scale < 1.0;
    if plan.score < WORTH || shrunk || colours >= LARGE || plan.pages.len() > 1 {
        return Vec::new();
    }
    let size = style.scale.name.size;
    let (width, height) = layout.rows_page();
    let own = size.at(page_t(width, height));
    let most = MOST_GROWTH.min(MOST_OF_POSTER * size.at(1.0) / own);
    let rows = GROWTHS.into_iter().filter(|g| *g <= most + 1e-9);
    rows.map(|growth| Room { growth, ..Room::NONE })
        .chain(SIDES.map(|side| Room { side, ..Room::NONE }))
        .chain(ENDS.map(|ends| Room { ends, ..Room::NONE }))
        .collect()
}

/// The share of the type area that the columns of the fullest page take, with
/// the white between their rows.
pub fn used(facts: &Facts<'_>, plan: &Plan) -> f64 {
    let look = &facts.look;
    let quarter = plan.pitch / f64::from(QUARTERS);
    let width = |page: &[PageColumn]| {
        page.iter().map(PageColumn::width).sum::<f64>()
            + look.gutter * page.len().saturating_sub(1) as f64
    };
    let wide = plan.pages.iter().map(|p| width(p)).fold(0.0, f64::max).min(plan.body.width);
    let rows = plan.pages.iter().flatten().map(|c| c.used).max().unwrap_or(0);
    let tall = (plan.head_height + f64::from(rows) * quarter).min(plan.body.height);
    (wide * tall / plan.type_area.area().max(1.0)).clamp(0.0, 1.0)
}

/// Where rows and furniture may be on a page: `plain` is the style's own look on it.
pub fn type_area(plain: &Look, plan: &Plan) -> Rect {
    let (top, foot) = (plain.top + plain.title_height, plain.bottom + plain.foot_height);
    Rect::new(plain.side, top, plan.width - plain.side, plan.height - foot)
}

/// Are the columns wide enough for each title with its count beside it?
pub fn has_room_for_titles(facts: &Facts<'_>, plan: &Plan) -> bool {
    let look = &facts.look;
    let columns = plan.pages.first().map_or(1, Vec::len).max(1) as f64;
    let column = (plan.body.width - (columns - 1.0) * look.gutter) / columns;
    title_room(facts) <= column
}
