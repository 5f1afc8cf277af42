//! The parts of one colour beside its blank tile, in lines.

use std::collections::{BTreeMap, BTreeSet};

use crate::range::{ColourId, ColourRange, FamilyId, PartId};
use crate::supplies::{Supplies, SupplyLine};

/// Between neighbouring parts, and between their lines, mm.
const PART_GAP: f64 = 3.0;
const LINE_GAP: f64 = 2.0;
/// Under a part: its number, mm.
pub const CAPTION: f64 = 3.6;
/// Columns shared by a family may take so much more width than its widest colour.
const ALIGNED: f64 = 1.35;

/// Room for one part, mm.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Slot {
    pub width: f64,
    pub height: f64,
}

/// A part to be placed, and its slot.
#[derive(Debug, Clone, Copy)]
pub struct Filled {
    pub part: PartId,
    pub stands_in_for: Option<PartId>,
    /// Index into the slots of its row.
    pub slot: usize,
}

/// One colour: its slots, some of them empty where columns are shared.
#[derive(Debug, Clone)]
pub struct Row {
    pub colour: ColourId,
    pub family: FamilyId,
    pub slots: Vec<Slot>,
    pub filled: Vec<Filled>,
}

/// Where a slot is, from the upper left corner of the parts' room: its
/// middle across, the middle of its parts, the foot of its line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    pub x: f64,
    pub y: f64,
    pub foot: f64,
}

/// Slots in lines, with the room that they take.
#[derive(Debug, Clone, PartialEq)]
pub struct Lines {
    pub spots: Vec<Spot>,
    pub width: f64,
    pub height: f64,
}

impl Lines {
    /// Breaks slots into lines no wider than `most`, a wider slot alone.
    pub fn new(slots: &[Slot], most: f64) -> Lines {
        let mut out = Lines { spots: Vec::with_capacity(slots.len()), width: 0.0, height: 0.0 };
        let mut start = 0;
        while start < slots.len() {
            let mut end = start;
            let mut width = 0.0;
            while end < slots.len() {
                let gap = if end == start { 0.0 } else { PART_GAP };
                if end > start && width + gap + slots[end].width > most + 1e-9 {
                    break;
                }
                width += gap + slots[end].width;
                end += 1;
            }
            out.line(&slots[start..end], width);
            start = end;
        }
        out
    }

    fn line(&mut self, slots: &[Slot], width: f64) {
        let top = if self.spots.is_empty() { 0.0 } else { self.height + LINE_GAP };
        let height = slots.iter().map(|s| s.height).fold(0.0, f64::max);
        let mut x = 0.0;
        for slot in slots {
            let (middle, y) = (x + slot.width / 2.0, top + height / 2.0);
            self.spots.push(Spot { x: middle, y, foot: top + height + CAPTION });
            x += slot.width + PART_GAP;
        }
        self.width = self.width.max(width);
        self.height = top + height + CAPTION;
    }
}

/// The rows of a board, in the sheet's order. `caption` is the width of a part's number.
pub fn rows(range: &ColourRange, supplies: &Supplies, caption: &dyn Fn(PartId) -> f64) -> Vec<Row> {
    let mut lines: BTreeMap<(FamilyId, ColourId), Vec<&SupplyLine>> = BTreeMap::new();
    for line in &supplies.lines {
        lines.entry((line.family, line.colour)).or_default().push(line);
    }
    let slot = |part: PartId| {
        let extent = range.part(part).shape().extent;
        Slot { width: extent.width().max(caption(part)), height: extent.height() }
    };
    let none = Vec::new();
    let mut out = Vec::new();
    for family in supplies.colours.chunk_by(|a, b| a.1 == b.1) {
        let of = |colour: ColourId, family: FamilyId| lines.get(&(family, colour)).unwrap_or(&none);
        let shared = shared(family.iter().map(|(c, f)| of(*c, *f)), &slot);
        for &(colour, family) in family {
            let lines = of(colour, family);
            let filled = |(i, line): (usize, &&SupplyLine)| {
                let slot = match &shared {
                    Some(columns) => columns.iter().position(|(p, _)| *p == column(line)),
                    None => Some(i),
                };
                Filled {
                    part: line.part,
                    stands_in_for: line.stands_in_for,
                    slot: slot.unwrap_or(0),
                }
            };
            let mut filled: Vec<Filled> = lines.iter().enumerate().map(filled).collect();
            filled.sort_by_key(|f| f.slot);
            let slots = match &shared {
                Some(columns) => columns.iter().map(|(_, slot)| *slot).collect(),
                None => lines.iter().map(|line| slot(line.part)).collect(),
            };
            out.push(Row { colour, family, slots, filled });
        }
    }
    out
}

/// The column of a line: its own part's, or that of the part it replaces.
fn column(line: &SupplyLine) -> PartId {
    line.stands_in_for.unwrap_or(line.part)
}

/// Columns for all colours of a family, where that needs little more room
/// than each colour's parts one after the other.
fn shared<'a>(
    colours: impl Iterator<Item = &'a Vec<&'a SupplyLine>>,
    slot: &dyn Fn(PartId) -> Slot,
) -> Option<Vec<(PartId, Slot)>> {
    let mut columns: BTreeMap<PartId, Slot> = BTreeMap::new();
    let mut widest = 0.0_f64;
    for lines in colours {
        let mut taken = BTreeSet::new();
        for line in lines {
            let (own, at) = (slot(line.part), column(line));
            let room = columns.entry(at).or_default();
            room.width = room.width.max(own.width);
            room.height = room.height.max(own.height);
            // Two parts in one column would overlap.
            if !taken.insert(at) {
                return None;
            }
        }
        widest = widest.max(width(lines.iter().map(|l| slot(l.part))));
    }
    let all = width(columns.values().copied());
    (all <= widest * ALIGNED).then(|| columns.into_iter().collect())
}

/// Of slots in one line.
fn width(slots: impl Iterator<Item = Slot>) -> f64 {
    slots.map(|s| s.width + PART_GAP).sum::<f64>() - PART_GAP
}

/// Widths at which lines may be broken, over all rows: at most `most` of them.
pub fn widths(rows: &[Row], most: usize) -> Vec<f64> {
    let mut all = BTreeSet::new();
    for row in rows {
        let mut end = 0.0;
        for slot in &row.slots {
            end += slot.width;
            // In micrometres, so that they can be ordered.
            all.insert((end * 1000.0).ceil() as u64);
            end += PART_GAP;
        }
    }
    let all: Vec<u64> = all.into_iter().collect();
    let step = (all.len() / most.max(1)).max(1);
    // The widest is among them.
    let mut out: Vec<f64> = all.iter().rev().step_by(step).map(|w| *w as f64 / 1000.0).collect();
    if out.is_empty() {
        out.push(0.0);
    }
    out
}
