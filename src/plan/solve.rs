//! The joint choice: scale, order, columns, spine, furniture, orientation.

use std::cell::Cell;
use std::ops::RangeInclusive;

use kurbo::Rect;

use super::bounds::{Bound, bound};
use super::facts::{Facts, SpineChoice};
use super::fill::{Allowance, Filled, FilledColumn, Task, fill_within, split_prices};
use super::furniture::{Furniture, FurnitureHeight};
use super::layout::{LEAST_BODY, Orientation, ScaleRule};
use super::many;
use super::measure::{
    Body, QUARTERS, SizedMenu, body, column_widths, head_height, loose_limits, size_menu,
};
use super::menu::{Choice, PageMenu, page_menus};
use super::room::title_room;
use super::score::{
    FREE_STRETCH, INVERSION, MOST_STRETCH, last_page_cost, least_slack, odd_scale_cost,
    plain_scale, scale_loss, stretch_cost, width_cost,
};
use super::style::{FurnitureForm, HeadForm};
use super::unshown::Unshown;
use crate::range::FamilyOrder;

/// One family as planned.
#[derive(Debug, Clone)]
pub struct PlannedFamily {
    /// Index into `facts.families`.
    pub index: usize,
    pub choice: Choice,
    /// Height of each row, quarters of the pitch.
    pub rows: Vec<u32>,
}

/// A run of a family's rows in a page column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlannedRun {
    /// Index into [`Plan::families`].
    pub family: usize,
    pub from: usize,
    pub to: usize,
}

/// A page column: blocks that share one spine axis.
#[derive(Debug, Clone)]
pub struct PageColumn {
    pub runs: Vec<PlannedRun>,
    /// Quarters used by headings and rows, without the furniture.
    pub used: u32,
    /// The furniture is at its foot.
    pub furniture: bool,
    /// Least widths, mm.
    pub left: f64,
    pub centre: f64,
    pub right: f64,
}

impl PageColumn {
    /// Least width, mm.
    pub fn width(&self) -> f64 {
        self.left + self.centre + self.right
    }
}

/// A solved edition, without coordinates.
#[derive(Debug, Clone)]
pub struct Plan {
    /// Trimmed page, mm, turned if that was better.
    pub width: f64,
    pub height: f64,
    pub scale: f64,
    /// Row pitch as drawn, mm.
    pub pitch: f64,
    /// Height of headings inside a column, quarters.
    pub head: u32,
    /// Height of the heading at a column's top, mm.
    pub head_height: f64,
    /// Quarters that the fullest column uses.
    pub room: u32,
    pub spine: SpineChoice,
    pub turned: bool,
    /// In the order drawn.
    pub families: Vec<PlannedFamily>,
    pub pages: Vec<Vec<PageColumn>>,
    pub furniture: Furniture,
    /// Where loose rows wrap, left and right of the spine, mm.
    pub loose_limits: (f64, f64),
    pub body: Body,
    pub coverage: f64,
    pub splits: usize,
    pub inversions: usize,
    pub score: f64,
    pub bound: Bound,
    /// How many arrangements were looked at.
    pub tried: usize,
    /// The share of the type area that content takes, 0 to 1: the type area is
    /// the page within the style's own margins, between title and foot.
    pub used: f64,
    /// The page within the style's own margins, between title and foot, mm.
    pub type_area: Rect,
    /// The smallest standard sheet that holds the same parts at the same scale,
    /// where this page stays half empty.
    pub smaller: Option<&'static str>,
    /// Samples that are made and have no place.
    pub unshown: Unshown,
}

/// Why nothing fits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoFit {
    /// The scale that was asked for, if one was.
    pub asked: Option<f64>,
    /// The largest scale that would fit, if any does.
    pub largest: Option<f64>,
}

/// How far under the largest scale the joint choice looks, and in how many steps.
const SCALE_REACH: f64 = 0.2;
const SCALE_STEPS: usize = 16;
/// Most inversions of the family order.
const MOST_INVERSIONS: usize = 2;
/// Most splits of families on one page.
const MOST_SPLITS: usize = 3;
/// Rows that the exact search walks over at most: some seconds; the demo's editions take up to 40,000.
const MOST_WALKED: u64 = 500_000_000;
/// How often columns are filled again for furniture that grew.
const MOST_REFILLS: usize = 4;

/// Solves an edition.
///
/// # Errors
/// Nothing keeps the minimum on this page at the scale asked for.
pub fn solve(facts: &Facts<'_>, furniture: FurnitureHeight<'_>) -> Result<Plan, NoFit> {
    let search = Search::new(facts, furniture);
    match facts.layout.scale {
        ScaleRule::True => search.at_scales(&[1.0], Some(1.0)),
        ScaleRule::Ratio(r) => search.at_scales(&[r], Some(r)),
        ScaleRule::Fit => {
            let largest = search.largest(1.0);
            let Some(largest) = largest.filter(|s| *s >= facts.layout.least_scale) else {
                return Err(NoFit { asked: None, largest });
            };
            search.at_scales(&scales(largest), None)
        }
    }
}

/// The scales worth trying, the largest first: steps down from the largest, and
/// the plain ratio just under it.
fn scales(largest: f64) -> Vec<f64> {
    let mut out: Vec<f64> = (0..SCALE_STEPS)
        .map(|i| largest * (1.0 - SCALE_REACH * i as f64 / SCALE_STEPS as f64))
        .map(|s| (s * 1000.0).floor() / 1000.0)
        .chain(plain_scale(largest))
        .collect();
    out.sort_by(|a, b| b.total_cmp(a));
    out.dedup();
    out
}

/// Does anything fit at this scale? Used by relaxations.
pub fn fits_at(facts: &Facts<'_>, furniture: FurnitureHeight<'_>, scale: f64) -> bool {
    Search::new(facts, furniture).fits(scale)
}

pub(super) struct Search<'a> {
    pub(super) facts: &'a Facts<'a>,
    furniture: FurnitureHeight<'a>,
    pub(super) menus: Vec<PageMenu>,
    /// Width and height of the page, as given and turned.
    pub(super) pages: Vec<(f64, f64)>,
    /// Families in the orders to try, the sheet's own first, and their inversions.
    pub(super) orders: Vec<(Vec<usize>, usize)>,
    /// What a split after each row costs, by family.
    splits_cost: Vec<Vec<f64>>,
    /// Rows that the exact search has walked over; from [`MOST_WALKED`] on the bounded one goes on.
    walked: Cell<u64>,
}

/// A candidate that may become the plan.
pub(super) struct Found<'a> {
    pub(super) filled: Filled,
    pub(super) score: f64,
    pub(super) scale: f64,
    pub(super) menu: usize,
    pub(super) page: (f64, f64),
    pub(super) order: &'a [usize],
    pub(super) inversions: usize,
    pub(super) columns: usize,
    pub(super) furniture: Furniture,
}

impl<'a> Search<'a> {
    fn new(facts: &'a Facts<'a>, furniture: FurnitureHeight<'a>) -> Search<'a> {
        let (w, h) = (facts.layout.width, facts.layout.height);
        let mut pages = vec![(w, h)];
        let turns = facts.layout.orientation == Orientation::Free && w != h;
        if turns && body(facts, h, w).width >= LEAST_BODY {
            pages.push((h, w));
        }
        Search {
            facts,
            furniture,
            menus: page_menus(facts),
            pages,
            orders: orders(facts.families.len(), facts.sheet.family_order()),
            splits_cost: facts.families.iter().map(|f| split_prices(&f.steps)).collect(),
            walked: Cell::new(0),
        }
    }

    /// Is the choice bounded: of a sheet of many colours, and where the exact one has done all it may?
    fn is_large(&self) -> bool {
        self.is_spent()
            || self.facts.families.iter().map(|f| f.rows.len()).sum::<usize>() >= many::FROM
    }

    /// The exact search may do no more, or nobody waits for it.
    fn is_spent(&self) -> bool {
        self.walked.get() >= MOST_WALKED || self.facts.work.is_stopped()
    }

    /// Bisection: everything grows with the scale, so 'fits' is monotone.
    pub(super) fn largest(&self, most: f64) -> Option<f64> {
        if self.fits(most) {
            return Some(most);
        }
        let (mut low, mut high) = (0.02, most);
        if !self.fits(low) {
            return None;
        }
        while high - low > 0.0005 {
            let middle = (low + high) / 2.0;
            if self.fits(middle) { low = middle } else { high = middle }
        }
        Some((low * 1000.0).floor() / 1000.0)
    }

    fn fits(&self, scale: f64) -> bool {
        if self.is_large() {
            return many::fits(self, scale);
        }
        self.pages.iter().any(|page| {
            let body = body(self.facts, page.0, page.1);
            self.modest_menus(body, scale).iter().any(|(menu, sized)| {
                self.column_counts(sized, body).into_iter().any(|n| {
                    self.places(sized, menu, body, n, scale)
                        .into_iter()
                        .any(|place| self.fits_in(sized, n, &place, scale))
                })
            })
        })
    }

    fn fits_in(&self, sized: &SizedMenu, n: usize, place: &Place, scale: f64) -> bool {
        let (totals, height) = self.totals(sized, n, place.room);
        totals.into_iter().any(|total| {
            self.could_fit(sized, height, total, place)
                && self.likely_orders().any(|(order, _)| {
                    let task = self.task(sized, order, n, total, place, f64::INFINITY);
                    let most = MOST_WALKED.saturating_sub(self.walked.get());
                    let mut allowed = Allowance::exact(most, &self.facts.work);
                    let filled = self.filled(task, sized, place, scale, &mut allowed);
                    self.walked.set(self.walked.get() + allowed.done);
                    filled.is_some()
                })
        })
    }

    /// The menus that no other undercuts in every width and height: if none of
    /// these fits, none does.
    pub(super) fn modest_menus(&self, body: Body, scale: f64) -> Vec<(&PageMenu, SizedMenu)> {
        let mut kept: Vec<(&PageMenu, SizedMenu)> = Vec::new();
        for menu in &self.menus {
            let sized = size_menu(self.facts, menu, body, scale);
            if kept.iter().any(|(_, other)| undercuts(other, &sized)) {
                continue;
            }
            kept.retain(|(_, other)| !undercuts(&sized, other));
            kept.push((menu, sized));
        }
        kept
    }

    /// Orders with at most one inversion: two cost more than the scale they could gain.
    fn likely_orders(&self) -> impl Iterator<Item = &(Vec<usize>, usize)> {
        self.orders.iter().take_while(|(_, inversions)| *inversions <= 1)
    }

    /// A quick look: rows, the headings that cannot all be at a column's top,
    /// and the furniture against the height of all columns.
    pub(super) fn could_fit(
        &self,
        sized: &SizedMenu,
        height: u32,
        columns: usize,
        place: &Place,
    ) -> bool {
        let inner = sized.families.len().saturating_sub(columns) as u32;
        let needed = height + inner * sized.head + place.column.unwrap_or(0);
        needed <= columns as u32 * place.room
    }

    /// The best plan over all of `scales`, the largest first.
    fn at_scales(&self, scales: &[f64], asked: Option<f64>) -> Result<Plan, NoFit> {
        if self.is_large() {
            return many::at_scales(self, scales, asked);
        }
        let mut best: Option<Found<'_>> = None;
        let mut tried = 0;
        // The sheet's own order first, at every scale: a good plan found early
        // saves most of the search through the other orders.
        for orders in [&self.orders[..1], &self.orders[1..]] {
            for &scale in scales {
                let loss = scale_loss(scale, scales[0]);
                let odd = if asked.is_none() { odd_scale_cost(scale, scales[0]) } else { 0.0 };
                if best.as_ref().is_some_and(|b| loss >= b.score) {
                    break;
                }
                for &page in &self.pages {
                    for m in (0..self.menus.len()).take_while(|_| !self.is_spent()) {
                        let known = loss + odd + self.menus[m].cost;
                        if best.as_ref().is_none_or(|b| known < b.score) {
                            tried += self.with_menu(scale, known, page, m, orders, &mut best);
                        }
                    }
                }
            }
        }
        match best {
            Some(found) => Ok(self.plan(found, tried)),
            None if self.is_spent() && !self.facts.work.is_stopped() => {
                many::at_scales(self, scales, asked)
            }
            None => Err(NoFit { asked, largest: self.largest(asked.unwrap_or(1.0)) }),
        }
    }

    fn with_menu<'s>(
        &'s self,
        scale: f64,
        known: f64,
        page: (f64, f64),
        m: usize,
        orders: &'s [(Vec<usize>, usize)],
        best: &mut Option<Found<'s>>,
    ) -> usize {
        let menu = &self.menus[m];
        let body = body(self.facts, page.0, page.1);
        let sized = size_menu(self.facts, menu, body, scale);
        let mut tried = 0;
        for n in self.column_counts(&sized, body).into_iter().take_while(|_| !self.is_spent()) {
            for place in self.places(&sized, menu, body, n, scale) {
                let (totals, height) = self.totals(&sized, n, place.room);
                for total in totals {
                    if !self.could_fit(&sized, height, total, &place) {
                        continue;
                    }
                    for room in self.rooms(&sized, height, total, place.room) {
                        let stretch = f64::from(place.room) / f64::from(room);
                        let known = known
                            + stretch_cost(stretch)
                            + last_page_cost(total, n)
                            + place.kind.cost();
                        let slack = least_slack(height + place.column.unwrap_or(0), total, room);
                        for (order, inversions) in orders {
                            let known = known + INVERSION * *inversions as f64;
                            let limit = best.as_ref().map_or(f64::INFINITY, |b| b.score);
                            if known + slack >= limit {
                                break;
                            }
                            tried += 1;
                            let place = Place { room, ..place };
                            let task = self.task(&sized, order, n, total, &place, limit - known);
                            let most = MOST_WALKED.saturating_sub(self.walked.get());
                            let mut allowed = Allowance::exact(most, &self.facts.work);
                            let filled = self.filled(task, &sized, &place, scale, &mut allowed);
                            self.walked.set(self.walked.get() + allowed.done);
                            let Some(filled) = filled else { continue };
                            let score = known + filled.cost + self.width_cost(&filled, n, body);
                            if score < limit {
                                *best = Some(Found {
                                    filled,
                                    score,
                                    scale,
                                    menu: m,
                                    page,
                                    order,
                                    inversions: *inversions,
                                    columns: n,
                                    furniture: place.kind,
                                });
                            }
                        }
                    }
                }
            }
        }
        tried
    }

    /// Fills the columns. The furniture was measured for columns of equal
    /// width; where its own came out narrower, it is measured again, and the
    /// columns filled again if it no longer fits.
    pub(super) fn filled(
        &self,
        mut task: Task<'_>,
        sized: &SizedMenu,
        place: &Place,
        scale: f64,
        allowed: &mut Allowance<'_>,
    ) -> Option<Filled> {
        let quarter = sized.pitch / f64::from(QUARTERS);
        for _ in 0..MOST_REFILLS {
            let filled = fill_within(&task, allowed)?;
            let columns: Vec<(f64, bool)> =
                filled.columns.iter().map(|c| (c.width(), c.furniture.is_some())).collect();
            let stands = self.furniture_width(&columns, task.columns, place.width);
            let Some(((at, own), piece)) = stands.zip(place.kind.in_column()) else {
                return Some(filled);
            };
            let height = (self.furniture)(self.facts, own, scale, piece);
            let height = ((height + self.facts.look.head_pad) / quarter).ceil() as u32;
            let column = &filled.columns[at];
            let rows = column.used - column.furniture.unwrap_or(0);
            if rows.saturating_add(height) <= task.room {
                return Some(filled);
            }
            task.furniture = Some(height);
        }
        None
    }

    /// Price of the width that the columns of the fullest page leave unused.
    pub(super) fn width_cost(&self, filled: &Filled, columns: usize, body: Body) -> f64 {
        let used = filled
            .columns
            .chunks(columns)
            .map(|page| page.iter().map(FilledColumn::width).sum::<f64>())
            .fold(0.0, f64::max);
        width_cost(used, body.width - (columns - 1) as f64 * self.facts.look.gutter)
    }

    /// Which column holds the furniture, and how wide it is on the page, mm.
    /// Columns: least width, and whether the furniture is there.
    fn furniture_width(
        &self,
        columns: &[(f64, bool)],
        a_page: usize,
        width: f64,
    ) -> Option<(usize, f64)> {
        let at = columns.iter().position(|c| c.1)?;
        let page: Vec<f64> = columns.chunks(a_page).nth(at / a_page)?.iter().map(|c| c.0).collect();
        let widths = column_widths(&page, a_page, width, self.facts.look.gutter);
        Some((at, widths[at % a_page]))
    }

    /// Counts of page columns whose narrowest blocks fit side by side.
    pub(super) fn column_counts(&self, sized: &SizedMenu, body: Body) -> Vec<usize> {
        let narrowest = sized
            .families
            .iter()
            .map(|ways| {
                ways.iter().map(|w| w.left + w.centre + w.right).fold(f64::INFINITY, f64::min)
            })
            .fold(f64::INFINITY, f64::min);
        let gutter = self.facts.look.gutter;
        // Beside a flush title is its count: both keep clear of each other.
        let title = match self.facts.look.head_form {
            HeadForm::Flush => title_room(self.facts),
            HeadForm::OverSpine => 0.0,
        };
        let fits =
            |n: usize, least: f64| n as f64 * least + (n - 1) as f64 * gutter <= body.width + 1e-6;
        (1..=self.facts.layout.page_columns)
            .filter(|&n| fits(n, narrowest) && (n == 1 || fits(n, title)))
            .rev()
            .collect()
    }

    /// Where the furniture can be, and the room that is left for columns.
    pub(super) fn places(
        &self,
        sized: &SizedMenu,
        menu: &PageMenu,
        body: Body,
        n: usize,
        scale: f64,
    ) -> Vec<Place> {
        let bare =
            Place { kind: Furniture::Column, room: sized.room, width: body.width, column: None };
        let (mut totals, height) = self.totals(sized, n, sized.room);
        // Where not even the rows fit, the furniture need not be measured.
        if !totals.any(|total| self.could_fit(sized, height, total, &bare)) {
            return Vec::new();
        }
        let look = &self.facts.look;
        let quarter = sized.pitch / f64::from(QUARTERS);
        let column = (body.width - (n - 1) as f64 * look.gutter) / n as f64;
        let parts_apart =
            look.furniture_form == FurnitureForm::List && self.facts.layout.pages == 1;
        let mut out = Vec::new();
        for kind in Furniture::ALL {
            if kind == Furniture::Split && (!parts_apart || n == 1) {
                continue;
            }
            let tall =
                |width, piece| (self.furniture)(self.facts, width, scale, piece) + look.head_pad;
            let mut room = sized.room;
            if let Some(piece) = kind.across() {
                let left = body.height - head_height(self.facts, menu) - tall(body.width, piece);
                room = (left / quarter).floor().max(0.0) as u32;
            }
            let height = kind.in_column().map(|piece| tall(column, piece));
            if room >= 1 && height.is_none_or(|h| h < body.height) {
                let quarters = height.map(|h| (h / quarter).ceil() as u32);
                out.push(Place { kind, room, width: body.width, column: quarters });
            }
        }
        out
    }

    /// Counts of page columns on all pages worth trying, and the quarters of all rows.
    pub(super) fn totals(
        &self,
        sized: &SizedMenu,
        n: usize,
        room: u32,
    ) -> (RangeInclusive<usize>, u32) {
        let height: u32 = sized
            .families
            .iter()
            .map(|ways| ways.iter().map(|w| w.rows.iter().sum::<u32>()).min().unwrap_or(0))
            .sum();
        let pages = self.facts.layout.pages;
        if pages == 1 {
            return (n..=n, height);
        }
        let needed = (f64::from(height) / f64::from(room.max(1))).ceil() as usize;
        let least = needed.clamp(1, n * pages);
        (least..=(least + n).min(n * pages), height)
    }

    /// Column heights worth trying: all there is; balanced; between.
    pub(super) fn rooms(
        &self,
        sized: &SizedMenu,
        height: u32,
        total: usize,
        room: u32,
    ) -> Vec<u32> {
        let heads = sized.families.len().saturating_sub(1) as u32 * sized.head;
        let balanced = (f64::from(height + heads) / total as f64).ceil() as u32;
        let mut out = vec![room];
        for factor in [1.0, 1.06, 1.13] {
            let try_room = (f64::from(balanced) * factor).ceil() as u32;
            let least = (f64::from(room) / MOST_STRETCH) as u32;
            let try_room = try_room.max(least).div_ceil(QUARTERS) * QUARTERS;
            if try_room < room && !out.contains(&try_room) {
                out.push(try_room);
            }
        }
        let free = (f64::from(room) / FREE_STRETCH).ceil() as u32;
        if free > balanced && !out.contains(&free) {
            out.push(free);
        }
        out
    }

    pub(super) fn task<'t>(
        &'t self,
        sized: &'t SizedMenu,
        order: &'t [usize],
        columns: usize,
        total: usize,
        place: &Place,
        limit: f64,
    ) -> Task<'t> {
        Task {
            menu: sized,
            order,
            splits_cost: &self.splits_cost,
            columns,
            total,
            room: place.room,
            width: place.width - (columns - 1) as f64 * self.facts.look.gutter,
            furniture: place.column,
            limit,
            splits: if self.facts.layout.pages == 1 && !self.is_large() {
                MOST_SPLITS
            } else {
                usize::MAX
            },
        }
    }

    /// The row pitch that brings the fullest column exactly to the foot: rows
    /// where there is no furniture, the furniture's true height where it is.
    fn pitch(
        &self,
        columns: &[PageColumn],
        sized: &SizedMenu,
        space: f64,
        width: f64,
        found: &Found<'_>,
    ) -> f64 {
        let (count, scale, kind) = (found.columns, found.scale, found.furniture);
        let most = sized.pitch * MOST_STRETCH;
        let least: Vec<(f64, bool)> = columns.iter().map(|c| (c.width(), c.furniture)).collect();
        let stands = self.furniture_width(&least, count, width).zip(kind.in_column());
        let furniture = stands.map_or(0.0, |((_, own), piece)| {
            (self.furniture)(self.facts, own, scale, piece) + self.facts.look.head_pad
        });
        columns
            .iter()
            .filter(|c| c.used > 0)
            .map(|c| {
                let furniture = if c.furniture { furniture } else { 0.0 };
                (space - furniture) * f64::from(QUARTERS) / f64::from(c.used)
            })
            .fold(most, f64::min)
            .max(sized.pitch)
    }

    /// Gives names that had to be set small the width that all columns have to spare.
    fn with_room(
        &self,
        spine: SpineChoice,
        columns: &mut [PageColumn],
        count: usize,
        body: Body,
    ) -> SpineChoice {
        let spare = |page: &[PageColumn]| {
            let least: Vec<f64> = page.iter().map(PageColumn::width).collect();
            let widths = column_widths(&least, count, body.width, self.facts.look.gutter);
            widths.iter().zip(least).map(|(w, least)| w - least).fold(f64::INFINITY, f64::min)
        };
        let more = columns.chunks(count).map(spare).fold(f64::INFINITY, f64::min);
        let eased = spine.with_room(self.facts, more.max(0.0));
        for column in columns.iter_mut() {
            column.centre += eased.width - spine.width;
        }
        eased
    }

    pub(super) fn plan(&self, found: Found<'_>, tried: usize) -> Plan {
        let facts = self.facts;
        let menu = &self.menus[found.menu];
        let body = body(facts, found.page.0, found.page.1);
        let sized = size_menu(facts, menu, body, found.scale);
        let order = found.order;
        let mut ways = vec![0; order.len()];
        for run in found.filled.columns.iter().flat_map(|c| &c.runs) {
            ways[run.family] = run.way;
        }
        let families: Vec<PlannedFamily> = order
            .iter()
            .zip(&ways)
            .map(|(&index, &way)| PlannedFamily {
                index,
                choice: menu.families[index][way].clone(),
                rows: sized.families[index][way].rows.clone(),
            })
            .collect();
        let mut columns: Vec<PageColumn> = found.filled.columns.iter().map(page_column).collect();
        let spine = self.with_room(menu.spine, &mut columns, found.columns, body);
        let coverage = coverage(facts, &families);
        let head_height = head_height(facts, menu);
        let across = found.furniture.across().map_or(0.0, |piece| {
            (self.furniture)(facts, body.width, found.scale, piece) + facts.look.head_pad
        });
        let space = body.height - head_height - across;
        let fullest = found.filled.columns.iter().map(|c| c.used).max().unwrap_or(1).max(1);
        let pitch = self.pitch(&columns, &sized, space, body.width, &found);
        Plan {
            width: found.page.0,
            height: found.page.1,
            scale: found.scale,
            pitch,
            head: sized.head,
            head_height,
            room: fullest,
            spine,
            turned: menu.turned,
            families,
            pages: columns.chunks(found.columns).map(<[PageColumn]>::to_vec).collect(),
            furniture: found.furniture,
            loose_limits: loose_limits(facts, menu, body, found.scale),
            body,
            coverage,
            splits: found.filled.splits,
            inversions: found.inversions,
            score: found.score,
            bound: bound(facts, menu, &self.pages),
            tried,
            used: 1.0,
            type_area: Rect::ZERO,
            smaller: None,
            unshown: Unshown::default(),
        }
    }
}

/// Does menu `a` need no more than `b` in any way of any family?
fn undercuts(a: &SizedMenu, b: &SizedMenu) -> bool {
    a.pitch <= b.pitch
        && a.room >= b.room
        && a.head <= b.head
        && a.families.iter().zip(&b.families).all(|(a, b)| {
            b.iter().all(|b| {
                a.iter().any(|a| {
                    a.left <= b.left
                        && a.centre <= b.centre
                        && a.right <= b.right
                        && a.rows.iter().zip(&b.rows).all(|(a, b)| a <= b)
                })
            })
        })
}

/// Share of the made cells that is shown.
fn coverage(facts: &Facts<'_>, families: &[PlannedFamily]) -> f64 {
    let made: usize =
        facts.families.iter().flat_map(|f| &f.rows).map(|r| r.made.count_ones() as usize).sum();
    let shown: usize = families.iter().map(|f| f.choice.covered).sum();
    shown as f64 / made.max(1) as f64
}

fn page_column(column: &FilledColumn) -> PageColumn {
    PageColumn {
        runs: column
            .runs
            .iter()
            .map(|r| PlannedRun { family: r.family, from: r.from, to: r.to })
            .collect(),
        used: column.used - column.furniture.unwrap_or(0),
        furniture: column.furniture.is_some(),
        left: column.left,
        centre: column.centre,
        right: column.right,
    }
}

/// Where the furniture is and what it leaves.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    pub(super) kind: Furniture,
    /// Quarters in a column.
    pub(super) room: u32,
    /// Width of the body, mm.
    pub(super) width: f64,
    /// Quarters of the furniture if it is in a column.
    pub(super) column: Option<u32>,
}

/// Family orders with at most two inversions, fewest first; the sheet's own
/// alone where it is to be kept.
fn orders(count: usize, order: FamilyOrder) -> Vec<(Vec<usize>, usize)> {
    let identity: Vec<usize> = (0..count).collect();
    let mut out = vec![(identity.clone(), 0)];
    if order == FamilyOrder::Sheet {
        return out;
    }
    let mut last = vec![identity];
    for inversions in 1..=MOST_INVERSIONS {
        let mut next: Vec<Vec<usize>> = Vec::new();
        for order in &last {
            for i in 1..count {
                // Swapping neighbours that are in order adds one inversion.
                if order[i - 1] < order[i] {
                    let mut swapped = order.clone();
                    swapped.swap(i - 1, i);
                    if !next.contains(&swapped) {
                        next.push(swapped);
                    }
                }
            }
        }
        out.extend(next.iter().map(|o| (o.clone(), inversions)));
        last = next;
        if count > 16 {
            break;
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn orders_have_the_inversions_they_claim() {
        let all = orders(5, FamilyOrder::Any);
        for (order, claimed) in &all {
            let counted = (0..5)
                .flat_map(|i| (0..i).map(move |j| (i, j)))
                .filter(|(i, j)| order[*j] > order[*i])
                .count();
            assert_eq!(counted, *claimed, "{order:?}");
        }
        // Mahonian numbers for n = 5: 1, 4, 9 permutations with 0, 1, 2 inversions (OEIS A008302).
        assert_eq!(all.len(), 1 + 4 + 9);
    }
}
