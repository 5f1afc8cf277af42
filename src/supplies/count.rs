//! What is needed, what of it is in hand, what is left to buy.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::AddAssign;

use super::sheets::{LabelGrid, SheetNeed};
use super::spares::Spares;
use super::stock::Stock;
use crate::plan::columns::{Fit, replacements};
use crate::range::{ColourId, ColourRange, Columns, FamilyId, PartId, SheetFamily, SheetSpec};

/// What is asked for.
#[derive(Debug, Clone)]
pub struct SuppliesRequest {
    /// Only these families; all of the sheet's when empty.
    pub families: Vec<FamilyId>,
    /// Pieces of every part x colour.
    pub each: u64,
    pub spares: Spares,
    /// Parts that stand in for missing ones, as on the sheet.
    pub stand_ins: bool,
    /// Labels, and tiles to stick them on, of every colour.
    pub labels_each: u64,
    pub tile_spares: Spares,
    pub grid: LabelGrid,
    /// Places used on the part-used label sheet; 0 without one.
    pub used: u64,
}

/// Pieces of one thing: `needed + spares = in_hand + to_buy`, always.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Count {
    pub needed: u64,
    pub spares: u64,
    /// What of the stock is used.
    pub in_hand: u64,
    pub to_buy: u64,
}

impl Count {
    /// Takes what is in stock off; never below zero.
    fn new(needed: u64, spares: u64, stock: u64) -> Count {
        let wanted = needed + spares;
        let in_hand = stock.min(wanted);
        Count { needed, spares, in_hand, to_buy: wanted - in_hand }
    }
}

impl AddAssign for Count {
    fn add_assign(&mut self, other: Count) {
        self.needed += other.needed;
        self.spares += other.spares;
        self.in_hand += other.in_hand;
        self.to_buy += other.to_buy;
    }
}

/// One part in one colour.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SupplyLine {
    pub part: PartId,
    pub colour: ColourId,
    /// The family under which the sheet shows the colour.
    pub family: FamilyId,
    /// The missing part for which it stands in.
    pub stands_in_for: Option<PartId>,
    pub count: Count,
}

/// Lines and pieces together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Total {
    pub lines: u64,
    pub count: Count,
}

impl Total {
    fn add(&mut self, line: &SupplyLine) {
        self.lines += 1;
        self.count += line.count;
    }
}

/// Label sheets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SheetLine {
    pub labels: u64,
    pub need: SheetNeed,
    /// New sheets.
    pub count: Count,
}

/// Something in stock that the board does not use.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeftOver {
    Pieces { part: PartId, colour: ColourId, count: u64 },
    Tiles(u64),
    LabelSheets(u64),
}

/// Everything for one board.
#[derive(Debug, Clone)]
pub struct Supplies {
    /// By part in the range's order, then family and colour in the sheet's.
    pub lines: Vec<SupplyLine>,
    /// Colours of the sheet that are counted, in its order, with their family.
    pub colours: Vec<(ColourId, FamilyId)>,
    pub tiles: Count,
    pub sheets: SheetLine,
    pub left_over: Vec<LeftOver>,
}

impl Supplies {
    /// Counts what the sheet shows and takes the stock off.
    pub fn new(
        range: &ColourRange,
        sheet: &SheetSpec,
        wish: &SuppliesRequest,
        stock: &Stock,
    ) -> Supplies {
        let shown: Vec<&SheetFamily> = sheet
            .families()
            .iter()
            .filter(|f| wish.families.is_empty() || wish.families.contains(&f.family()))
            .collect();
        let mut lines = Vec::new();
        let mut colours = Vec::new();
        for family in shown {
            let columns = columns(range, family);
            for &colour in family.rows() {
                colours.push((colour, family.family()));
                for (part, stands_in_for) in row(range, colour, &columns, wish.stand_ins) {
                    let stock = stock.pieces.get(&(part, colour)).copied().unwrap_or(0);
                    let count = Count::new(wish.each, wish.spares.of(wish.each), stock);
                    let family = family.family();
                    lines.push(SupplyLine { part, colour, family, stands_in_for, count });
                }
            }
        }
        // Stable: families and colours stay in the sheet's order.
        lines.sort_by_key(|l| l.part);
        let labels = colours.len() as u64 * wish.labels_each;
        let tiles = Count::new(labels, wish.tile_spares.of(labels), stock.tiles);
        let need = wish.grid.need(labels, wish.used);
        let sheets = SheetLine { labels, need, count: Count::new(need.new, 0, stock.sheets) };
        let left_over = left_over(&lines, tiles, sheets.count, stock);
        Supplies { lines, colours, tiles, sheets, left_over }
    }

    /// All lines together.
    pub fn total(&self) -> Total {
        let mut total = Total::default();
        self.lines.iter().for_each(|l| total.add(l));
        total
    }

    /// Every part that is needed, in the range's order.
    pub fn per_part(&self) -> Vec<(PartId, Total)> {
        self.per(|l| l.part)
    }

    /// Every colour, in the sheet's order; those without any part included.
    pub fn per_colour(&self) -> Vec<(ColourId, Total)> {
        let totals: BTreeMap<ColourId, Total> = self.per(|l| l.colour).into_iter().collect();
        let of = |c: ColourId| totals.get(&c).copied().unwrap_or_default();
        self.colours.iter().map(|&(c, _)| (c, of(c))).collect()
    }

    /// Every family, in the sheet's order.
    pub fn per_family(&self) -> Vec<(FamilyId, Total)> {
        let totals: BTreeMap<FamilyId, Total> = self.per(|l| l.family).into_iter().collect();
        let mut seen = BTreeSet::new();
        let families = self.colours.iter().map(|&(_, f)| f).filter(|f| seen.insert(*f));
        families.map(|f| (f, totals.get(&f).copied().unwrap_or_default())).collect()
    }

    fn per<K: Ord>(&self, key: impl Fn(&SupplyLine) -> K) -> Vec<(K, Total)> {
        let mut totals: BTreeMap<K, Total> = BTreeMap::new();
        self.lines.iter().for_each(|l| totals.entry(key(l)).or_default().add(l));
        totals.into_iter().collect()
    }
}

/// The parts that a family shows: on a board every column has room.
fn columns(range: &ColourRange, family: &SheetFamily) -> Vec<PartId> {
    let all = || (0..range.parts().len()).map(PartId).collect();
    match family.columns() {
        Columns::Choose { from: Some(parts) } => parts.clone(),
        Columns::Given { left, right } => left.iter().chain(right).copied().collect(),
        Columns::Choose { from: None } | Columns::Loose => all(),
    }
}

/// The parts of one row, each once, with the part for which it stands in.
fn row(
    range: &ColourRange,
    colour: ColourId,
    columns: &[PartId],
    stand_ins: bool,
) -> Vec<(PartId, Option<PartId>)> {
    let made = |p: PartId| range.is_made(colour, p);
    let mut seen = BTreeSet::new();
    let mut out: Vec<(PartId, Option<PartId>)> =
        columns.iter().filter(|p| made(**p) && seen.insert(**p)).map(|p| (*p, None)).collect();
    if stand_ins {
        let fit = |p: PartId| {
            let part = range.part(p);
            let extent = part.shape().extent;
            Fit {
                width: extent.width(),
                height: extent.height(),
                side: part.side(),
                role: part.role(),
            }
        };
        let replaced = replacements(range.parts().len(), fit, made, columns);
        out.extend(replaced.into_iter().map(|(column, part)| (part, Some(column))));
    }
    out
}

fn left_over(lines: &[SupplyLine], tiles: Count, sheets: Count, stock: &Stock) -> Vec<LeftOver> {
    let used: BTreeMap<(PartId, ColourId), u64> =
        lines.iter().map(|l| ((l.part, l.colour), l.count.in_hand)).collect();
    let mut out: Vec<LeftOver> = stock
        .pieces
        .iter()
        .map(|(key, count)| (*key, count - used.get(key).unwrap_or(&0)))
        .filter(|(_, count)| *count > 0)
        .map(|((part, colour), count)| LeftOver::Pieces { part, colour, count })
        .collect();
    if stock.tiles > tiles.in_hand {
        out.push(LeftOver::Tiles(stock.tiles - tiles.in_hand));
    }
    if stock.sheets > sheets.in_hand {
        out.push(LeftOver::LabelSheets(stock.sheets - sheets.in_hand));
    }
    out
}
