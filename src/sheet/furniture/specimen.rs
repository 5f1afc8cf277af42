//! The specimen row: which row of the sheet it is, and what is in it.

use super::builder::Builder;
use super::callouts::Named;
use super::shown::{Shown, columns};
use crate::plan::columns::stand_ins;
use crate::plan::facts::RowFacts;
use crate::plan::{Plan, PlannedFamily};
use crate::range::{CentreLine, ColourId, Columns, PartId, Side};

/// So many rows are looked at for one that shows most.
const CANDIDATES: usize = 48;

/// Something that is in the specimen row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Thing {
    pub kind: ThingKind,
    /// The colour of its row.
    pub colour: ColourId,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ThingKind {
    /// A part in its column.
    Part(PartId),
    /// A column whose part is not made.
    Gap,
    /// A part with its own number under it, in place of another or in a loose row.
    Numbered(PartId, Named),
}

impl ThingKind {
    pub fn part(self) -> Option<PartId> {
        match self {
            ThingKind::Part(p) | ThingKind::Numbered(p, _) => Some(p),
            ThingKind::Gap => None,
        }
    }
}

/// What the specimen shows.
pub(super) struct Specimen<'a> {
    pub row: &'a RowFacts,
    pub left: Vec<Thing>,
    pub right: Vec<Thing>,
    /// Of other rows: what the row itself does not have.
    pub others: Vec<Thing>,
    /// The part whose column's number is named.
    pub numbered: Option<PartId>,
}

/// Where a row is: family as planned, row.
type At = (usize, usize);

impl<'a> Builder<'a> {
    /// Rows with all that a spine can show and names of usual length, at most [`CANDIDATES`]; the
    /// same whatever is planned. Indices of family and row.
    pub(super) fn candidates(&self) -> Vec<At> {
        let facts = self.facts;
        let rows = facts
            .families
            .iter()
            .enumerate()
            .flat_map(|(f, family)| (0..family.rows.len()).map(move |r| (f, r)));
        let key = |&(f, r): &At| {
            let family = &facts.families[f];
            let row = &family.rows[r];
            let blank = self.blanks(row.colour);
            let bare = row.made == 0 || family.columns == Columns::Loose;
            (bare, blank, self.longest(row.colour) > 16)
        };
        let all: Vec<(At, (bool, usize, bool))> = rows.map(|at| (at, key(&at))).collect();
        let Some(best) = all.iter().map(|a| a.1).min() else { return Vec::new() };
        let able: Vec<At> = all.iter().filter(|a| a.1 == best).map(|a| a.0).collect();
        let step = able.len().div_ceil(CANDIDATES).max(1);
        able.into_iter().step_by(step).collect()
    }

    /// How many names and numbers of the spine a colour lacks.
    fn blanks(&self, colour: ColourId) -> usize {
        let colour = self.facts.range.colour(colour);
        let lacks = |line: &CentreLine| {
            let name = line.name && colour.names()[line.listing.0].is_none();
            let number = line.number && colour.numbers()[line.listing.0].is_none();
            usize::from(name) + usize::from(number)
        };
        self.facts.sheet.centre().iter().map(lacks).sum()
    }

    /// Characters of a colour's longest name.
    fn longest(&self, colour: ColourId) -> usize {
        let names = self.facts.range.colour(colour).names();
        names.iter().flatten().map(|n| n.text.chars().count()).max().unwrap_or(0)
    }

    /// The row that shows most of what occurs, with at most `a_side` things a side beside those with
    /// marks, and things of other rows that it lacks.
    pub(super) fn choose(&self, plan: &Plan, shown: &Shown, a_side: usize) -> Option<Specimen<'a>> {
        let facts = self.facts;
        let planned = |f: usize| plan.families.iter().find(|p| p.index == f);
        let worth = |at: At| (self.worth(planned(at.0), at), at);
        let all = self.candidates().into_iter().map(worth);
        let (_, best) = all.max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)))?;
        let row = facts.families[best.0].rows.get(best.1)?;
        let family = planned(best.0)?;
        let mut out = match columns(family) {
            Some(columns) => self.in_columns(row, &columns, a_side),
            None => self.in_loose(row, a_side),
        };
        self.complete(&mut out, plan, shown);
        Some(out)
    }

    /// How much a row shows: marks count most, then a strong colour.
    fn worth(&self, family: Option<&PlannedFamily>, (f, r): At) -> f64 {
        let row = &self.facts.families[f].rows[r];
        let lab = crate::range::lab(self.facts.range.colour(row.colour).rgb());
        let strong = lab.a.hypot(lab.b) / 200.0;
        let Some(columns) = family.and_then(columns) else { return strong };
        let replaced = stand_ins(self.facts, row.made, &columns).len();
        let made = columns.iter().filter(|p| row.made >> p.0 & 1 == 1).count();
        let empty = columns.len() - made;
        let one = |there: bool| f64::from(u8::from(there));
        4.0 * one(made > 0)
            + 2.0 * one(empty > replaced)
            + 2.0 * one(replaced > 0)
            + (made as f64 / columns.len().max(1) as f64)
            + strong
    }

    /// A row in columns: some columns of each side, those with marks among them.
    fn in_columns(&self, row: &'a RowFacts, columns: &[PartId], a_side: usize) -> Specimen<'a> {
        let facts = self.facts;
        let replaced = stand_ins(facts, row.made, columns);
        let thing = |p: PartId| {
            let with = replaced.iter().find(|(column, _)| *column == p);
            let kind = match with {
                _ if row.made >> p.0 & 1 == 1 => ThingKind::Part(p),
                Some((_, with)) => ThingKind::Numbered(*with, Named::StandIn),
                None => ThingKind::Gap,
            };
            Thing { kind, colour: row.colour }
        };
        let area = |p: PartId| facts.part(p).width * facts.part(p).height;
        let made: Vec<PartId> =
            columns.iter().copied().filter(|p| row.made >> p.0 & 1 == 1).collect();
        let mut areas: Vec<f64> = made.iter().map(|p| area(*p)).collect();
        areas.sort_by(f64::total_cmp);
        let middle = areas.get(areas.len() / 2).copied().unwrap_or(1.0).max(1e-6);
        let numbered = made.iter().copied().min_by(|a, b| {
            let off = |p: PartId| (area(p) / middle).ln().abs();
            off(*a).total_cmp(&off(*b)).then(a.cmp(b))
        });
        let first = |wanted: fn(ThingKind) -> bool| {
            columns.iter().copied().find(|p| wanted(thing(*p).kind))
        };
        let gap = first(|k| k == ThingKind::Gap);
        let stand_in = first(|k| matches!(k, ThingKind::Numbered(..)));
        let marked: Vec<PartId> = [numbered, gap, stand_in].into_iter().flatten().collect();
        let side = |side: Side| -> Vec<Thing> {
            let own: Vec<PartId> =
                columns.iter().copied().filter(|p| facts.part(*p).side == side).collect();
            let mut taken: Vec<PartId> =
                own.iter().copied().filter(|p| marked.contains(p)).collect();
            // Parts that are made fill the side, the nearest to the spine first.
            let near: Vec<PartId> = match side {
                Side::Left => own.iter().rev().copied().collect(),
                Side::Right => own.clone(),
            };
            for p in near.into_iter().filter(|p| row.made >> p.0 & 1 == 1) {
                if taken.len() < a_side && !taken.contains(&p) {
                    taken.push(p);
                }
            }
            own.iter().filter(|p| taken.contains(p)).map(|p| thing(*p)).collect()
        };
        let (left, right) = (side(Side::Left), side(Side::Right));
        Specimen { row, left, right, others: Vec::new(), numbered }
    }

    /// A loose row: parts next to the spine, each with its number.
    fn in_loose(&self, row: &'a RowFacts, a_side: usize) -> Specimen<'a> {
        let side = |side: Side| -> Vec<Thing> {
            let made = (0..self.facts.parts.len().min(128)).map(PartId);
            let own: Vec<PartId> = made
                .filter(|p| row.made >> p.0 & 1 == 1 && self.facts.part(*p).side == side)
                .collect();
            let kept = match side {
                Side::Left => &own[own.len().saturating_sub(a_side)..],
                Side::Right => &own[..own.len().min(a_side)],
            };
            let thing = |p: &PartId| Thing {
                kind: ThingKind::Numbered(*p, Named::Loose),
                colour: row.colour,
            };
            kept.iter().map(thing).collect()
        };
        let (left, right) = (side(Side::Left), side(Side::Right));
        Specimen { row, left, right, others: Vec::new(), numbered: None }
    }

    /// Adds from other rows what occurs and the row does not have.
    fn complete(&self, specimen: &mut Specimen<'_>, plan: &Plan, shown: &Shown) {
        let wanted = [
            (shown.gap, Named::Gap),
            (shown.stand_in, Named::StandIn),
            (shown.loose, Named::Loose),
        ];
        for (_, named) in wanted.into_iter().filter(|(occurs, _)| *occurs) {
            let things = || specimen.left.iter().chain(&specimen.right).chain(&specimen.others);
            if !things().any(|t| is(t.kind, named)) {
                let found = plan.families.iter().find_map(|f| self.elsewhere(f, named));
                specimen.others.extend(found);
            }
        }
    }

    /// The first such thing in a family's rows.
    fn elsewhere(&self, family: &PlannedFamily, named: Named) -> Option<Thing> {
        let rows = &self.facts.families[family.index].rows;
        rows.iter().find_map(|row| {
            let kind = match columns(family) {
                Some(columns) => {
                    let replaced = stand_ins(self.facts, row.made, &columns);
                    let empty = columns.iter().any(|p| {
                        row.made >> p.0 & 1 == 0 && replaced.iter().all(|(column, _)| column != p)
                    });
                    match named {
                        Named::Gap => empty.then_some(ThingKind::Gap),
                        Named::StandIn => {
                            replaced.first().map(|(_, p)| ThingKind::Numbered(*p, Named::StandIn))
                        }
                        _ => None,
                    }
                }
                None if named == Named::Loose => (0..128)
                    .find(|p| row.made >> p & 1 == 1)
                    .map(|p| ThingKind::Numbered(PartId(p), Named::Loose)),
                None => None,
            };
            kind.map(|kind| Thing { kind, colour: row.colour })
        })
    }
}

/// Is it what a callout names?
pub(super) fn is(kind: ThingKind, named: Named) -> bool {
    match kind {
        ThingKind::Gap => named == Named::Gap,
        ThingKind::Numbered(_, own) => named == own,
        ThingKind::Part(_) => false,
    }
}
