//! What there is to choose from: menus on pages at scales, and the page columns in which their rows can be.

use std::cell::Cell;
use std::ops::RangeInclusive;

use kurbo::Size;

use super::facts::{Facts, LARGE};
use super::fill::{Allowance, Filled, FilledColumn, Task, fill_within, split_prices};
use super::furniture::{Furniture, FurnitureHeight};
use super::layout::{LEAST_BODY, Orientation};
use super::measure::{
    Body, QUARTERS, SizedMenu, body, column_widths, head_height, size_menu, title_room,
};
use super::menu::{PageMenu, page_menus};
use super::orders::{TriedOrder, orders};
use super::score::{FREE_STRETCH, MOST_STRETCH, width_cost};
use super::style::{FurnitureForm, HeadForm};

/// Most splits of families on one page.
const MOST_SPLITS: usize = 3;
/// Rows that the exact search walks over at most: some seconds; the demo's editions take up to 40,000.
const MOST_WALKED: u64 = 500_000_000;
/// How often columns are filled again for furniture that grew.
const MOST_REFILLS: usize = 4;

/// All that there is to choose from.
pub(super) struct Search<'a> {
    pub(super) facts: &'a Facts<'a>,
    pub(super) furniture: FurnitureHeight<'a>,
    pub(super) menus: Vec<PageMenu>,
    /// The page as given, and turned.
    pub(super) pages: Vec<Size>,
    /// The sheet's own order first.
    pub(super) orders: Vec<TriedOrder>,
    /// What a split after each row costs, by family.
    splits_cost: Vec<Vec<f64>>,
    /// Rows that the exact search has walked over; from [`MOST_WALKED`] on the bounded one goes on.
    walked: Cell<u64>,
}

/// A menu on a page at a scale.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pick {
    /// Index into [`Search::menus`].
    pub(super) menu: usize,
    pub(super) page: Size,
    pub(super) scale: f64,
}

/// The same, measured.
pub(super) struct Setting {
    pub(super) pick: Pick,
    pub(super) body: Body,
    pub(super) menu: SizedMenu,
    /// Quarters of all rows, of each family in its lowest way.
    pub(super) rows: u32,
}

/// Where the furniture is and what it leaves.
#[derive(Debug, Clone, Copy)]
pub(super) struct Space {
    pub(super) furniture: Furniture,
    /// Quarters in a column.
    pub(super) room: u32,
    /// Quarters of the furniture if it is in a column.
    pub(super) in_column: Option<u32>,
}

/// Page columns in which a setting may be.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stand {
    /// On one page.
    pub(super) columns: usize,
    /// On all pages.
    pub(super) total: usize,
    pub(super) space: Space,
}

/// An arrangement that may become the plan.
pub(super) struct Candidate<'a> {
    pub(super) filled: Filled,
    pub(super) score: f64,
    pub(super) pick: Pick,
    pub(super) order: &'a TriedOrder,
    /// Page columns on one page.
    pub(super) columns: usize,
    pub(super) furniture: Furniture,
}

/// The best arrangement, and how many were looked at.
pub(super) struct Best<'a> {
    pub(super) candidate: Candidate<'a>,
    pub(super) tried: usize,
}

impl<'a> Search<'a> {
    pub(super) fn new(facts: &'a Facts<'a>, furniture: FurnitureHeight<'a>) -> Search<'a> {
        let (w, h) = (facts.layout.width, facts.layout.height);
        let mut pages = vec![Size::new(w, h)];
        let turned = Size::new(h, w);
        let turns = facts.layout.orientation == Orientation::Free && w != h;
        if turns && body(facts, turned).width >= LEAST_BODY {
            pages.push(turned);
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
    pub(super) fn is_large(&self) -> bool {
        self.is_spent() || self.facts.colours() >= LARGE
    }

    /// The exact search may do no more, or nobody waits for it.
    pub(super) fn is_spent(&self) -> bool {
        self.walked.get() >= MOST_WALKED || self.facts.work.is_stopped()
    }

    /// Fills the columns exactly, as long as the search is not spent.
    pub(super) fn filled_exactly(
        &self,
        task: Task<'_>,
        setting: &Setting,
        space: &Space,
    ) -> Option<Filled> {
        let most = MOST_WALKED.saturating_sub(self.walked.get());
        let mut allowed = Allowance::exact(most, &self.facts.work);
        let filled = self.filled(task, setting, space, &mut allowed);
        self.walked.set(self.walked.get() + allowed.done);
        filled
    }

    /// Measures a menu on a page at a scale.
    pub(super) fn setting(&self, pick: Pick) -> Setting {
        let body = body(self.facts, pick.page);
        let menu = size_menu(self.facts, &self.menus[pick.menu], body, pick.scale);
        let lowest = menu.families.iter().map(|ways| ways.iter().map(|w| w.height()).min());
        let rows = lowest.map(|height| height.unwrap_or(0)).sum();
        Setting { pick, body, menu, rows }
    }

    /// The menus that no other undercuts in every width and height: if none of
    /// these fits, none does.
    pub(super) fn modest_settings(&self, page: Size, scale: f64) -> Vec<Setting> {
        let mut kept: Vec<Setting> = Vec::new();
        for menu in 0..self.menus.len() {
            let setting = self.setting(Pick { menu, page, scale });
            if kept.iter().any(|other| undercuts(&other.menu, &setting.menu)) {
                continue;
            }
            kept.retain(|other| !undercuts(&setting.menu, &other.menu));
            kept.push(setting);
        }
        kept
    }

    /// Counts of page columns whose narrowest blocks fit side by side.
    pub(super) fn column_counts(&self, setting: &Setting) -> Vec<usize> {
        let widths = setting.menu.families.iter().flatten().map(|w| w.left + w.centre + w.right);
        let narrowest = widths.fold(f64::INFINITY, f64::min);
        let gutter = self.facts.look.gutter;
        // Beside a flush title is its count: both keep clear of each other.
        let title = match self.facts.look.head_form {
            HeadForm::Flush => title_room(self.facts),
            HeadForm::OverSpine => 0.0,
        };
        let fits = |n: usize, least: f64| {
            n as f64 * least + (n - 1) as f64 * gutter <= setting.body.width + 1e-6
        };
        (1..=self.facts.layout.page_columns)
            .filter(|&n| fits(n, narrowest) && (n == 1 || fits(n, title)))
            .rev()
            .collect()
    }

    /// The ways to stand in so many columns on a page. `totals` are the counts
    /// of columns on all pages worth trying, from those that the rows alone need.
    pub(super) fn stands(
        &self,
        setting: &Setting,
        columns: usize,
        totals: impl Fn(RangeInclusive<usize>) -> Vec<usize>,
    ) -> Vec<Stand> {
        let bare = Space { furniture: Furniture::Column, room: setting.menu.room, in_column: None };
        // Where not even the rows fit, the furniture need not be measured.
        let mut few = self.totals(setting, columns, bare.room);
        if !few.any(|total| setting.could_fit(&Stand { columns, total, space: bare })) {
            return Vec::new();
        }
        let mut out = Vec::new();
        for space in Furniture::ALL.iter().filter_map(|f| self.space(setting, columns, *f)) {
            let totals = totals(self.totals(setting, columns, space.room)).into_iter();
            let stands = totals.map(|total| Stand { columns, total, space });
            out.extend(stands.filter(|stand| setting.could_fit(stand)));
        }
        out
    }

    /// What the furniture leaves in one place, if it can be there.
    fn space(&self, setting: &Setting, columns: usize, furniture: Furniture) -> Option<Space> {
        let (look, body) = (&self.facts.look, setting.body);
        let parts_apart =
            look.furniture_form == FurnitureForm::List && self.facts.layout.pages == 1;
        if furniture == Furniture::Split && (!parts_apart || columns == 1) {
            return None;
        }
        let scale = setting.pick.scale;
        let tall = |width, piece| (self.furniture)(self.facts, width, scale, piece) + look.head_pad;
        let quarter = setting.menu.quarter();
        let mut room = setting.menu.room;
        if let Some(piece) = furniture.across() {
            let head = head_height(self.facts, &self.menus[setting.pick.menu]);
            let left = body.height - head - tall(body.width, piece);
            room = (left / quarter).floor().max(0.0) as u32;
        }
        let column = (body.width - (columns - 1) as f64 * look.gutter) / columns as f64;
        let height = furniture.in_column().map(|piece| tall(column, piece));
        let in_column = height.map(|h| (h / quarter).ceil() as u32);
        let fits = room >= 1 && height.is_none_or(|h| h < body.height);
        fits.then_some(Space { furniture, room, in_column })
    }

    /// Counts of page columns on all pages that the rows need at least.
    fn totals(&self, setting: &Setting, columns: usize, room: u32) -> RangeInclusive<usize> {
        let pages = self.facts.layout.pages;
        if pages == 1 {
            return columns..=columns;
        }
        let needed = (f64::from(setting.rows) / f64::from(room.max(1))).ceil() as usize;
        let least = needed.clamp(1, columns * pages);
        least..=(least + columns).min(columns * pages)
    }

    /// What is to be filled: rows in an order, into the columns of a stand, for less than a limit.
    pub(super) fn task<'t>(
        &'t self,
        setting: &'t Setting,
        stand: &Stand,
        order: &'t TriedOrder,
        limit: f64,
    ) -> Task<'t> {
        let gutters = (stand.columns - 1) as f64 * self.facts.look.gutter;
        let few_splits = self.facts.layout.pages == 1 && !self.is_large();
        Task {
            menu: &setting.menu,
            order: &order.families,
            splits_cost: &self.splits_cost,
            columns: stand.columns,
            total: stand.total,
            room: stand.space.room,
            width: setting.body.width - gutters,
            furniture: stand.space.in_column,
            limit,
            splits: if few_splits { MOST_SPLITS } else { usize::MAX },
        }
    }

    /// Fills the columns. The furniture was measured for columns of equal
    /// width; where its own came out narrower, it is measured again, and the
    /// columns filled again if it no longer fits.
    pub(super) fn filled(
        &self,
        mut task: Task<'_>,
        setting: &Setting,
        space: &Space,
        allowed: &mut Allowance<'_>,
    ) -> Option<Filled> {
        for _ in 0..MOST_REFILLS {
            let filled = fill_within(&task, allowed)?;
            let stands = filled.columns.iter().position(|c| c.furniture.is_some());
            let Some((at, piece)) = stands.zip(space.furniture.in_column()) else {
                return Some(filled);
            };
            let least: Vec<f64> = filled.columns.iter().map(FilledColumn::width).collect();
            let own = self.drawn_width(&least, at, task.columns, setting.body);
            let height = (self.furniture)(self.facts, own, setting.pick.scale, piece);
            let height = height + self.facts.look.head_pad;
            let height = (height / setting.menu.quarter()).ceil() as u32;
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

    /// How wide a column is drawn on its page, mm, by the least widths of all columns.
    pub(super) fn drawn_width(&self, least: &[f64], at: usize, a_page: usize, body: Body) -> f64 {
        let page = &least[at / a_page * a_page..];
        let page = &page[..a_page.min(page.len())];
        column_widths(page, a_page, body.width, self.facts.look.gutter)[at % a_page]
    }
}

impl Setting {
    /// A quick look: rows, the headings that cannot all be at a column's top,
    /// and the furniture against the height of all columns.
    fn could_fit(&self, stand: &Stand) -> bool {
        let inner = self.menu.families.len().saturating_sub(stand.total) as u32;
        let needed = self.rows + inner * self.menu.head + stand.space.in_column.unwrap_or(0);
        needed <= stand.total as u32 * stand.space.room
    }

    /// Column heights worth trying: all there is; balanced; between.
    pub(super) fn rooms(&self, stand: &Stand) -> Vec<u32> {
        let room = stand.space.room;
        let heads = self.menu.families.len().saturating_sub(1) as u32 * self.menu.head;
        let balanced = (f64::from(self.rows + heads) / stand.total as f64).ceil() as u32;
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
}

impl Stand {
    /// The same with columns of another height, and how many times its rows open for it.
    pub(super) fn opened(&self, room: u32) -> (Stand, f64) {
        let stretch = f64::from(self.space.room) / f64::from(room);
        (Stand { space: Space { room, ..self.space }, ..*self }, stretch)
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
