//! Column sets: which parts get columns, chosen by looking at every set.

use std::collections::BTreeMap;

use super::facts::{Facts, PartFacts};
use crate::range::{PartId, Side};

/// Sides with more candidates than this keep those made in most colours, so
/// that all sets can still be looked at (2^14 where all are of one role).
const MOST_CANDIDATES: usize = 14;

/// A part made in a smaller share of the rows gets no column: it can stand in.
const LEAST_MADE: f64 = 0.2;
/// What a stand-in is worth beside a part in its own column, in choosing sets.
const STAND_IN_WORTH: f64 = 0.5;

/// A stand-in is at most so much larger or smaller than the part it replaces.
const MOST_UNLIKE: f64 = 0.35;

/// The parts of one side, from left to right, and how many cells they show.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SideSet {
    pub parts: Vec<PartId>,
    /// Cells shown in the rows that were looked at, stand-ins included.
    pub covered: usize,
}

/// Groups of equal rows: availability and how many rows have it.
type Weighted = Vec<(u128, usize)>;

/// Columns of a side: what they are worth, the cells that they show, and which candidates they are.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Set {
    worth: f64,
    covered: usize,
    /// Bit `i` is set for candidate `i`.
    which: u32,
}

impl Set {
    const EMPTY: Set = Set { worth: 0.0, covered: 0, which: 0 };

    /// Of sets of equal worth the first candidates are kept.
    fn beats(self, other: Option<Set>) -> bool {
        other
            .is_none_or(|o| self.worth > o.worth || (self.worth == o.worth && self.which < o.which))
    }
}

/// For every count of columns on a side the set that shows most cells;
/// `sets[k]` has `k` columns.
///
/// Parts replace each other within a role only, so what a set is worth is the
/// sum over its roles: all sets of each role are looked at, then the best are
/// put together for every count, which is exact.
pub fn best_sets(facts: &Facts<'_>, rows: &[u128], side: Side, from: &[PartId]) -> Vec<SideSet> {
    let roles = role_masks(facts, side);
    // Rows that differ on the other side only are one to this one.
    let all = roles.iter().fold(0, |mask, role| mask | role);
    let weighted = weigh(rows.iter().map(|row| (row & all, 1)));
    let candidates = candidates(facts, &weighted, side, from);
    let mut best = vec![Set::EMPTY];
    for role in &roles {
        let of_role = sets_of(facts, &weighted, &candidates, *role);
        let mut joined: Vec<Option<Set>> = vec![None; best.len() + of_role.len() - 1];
        for (i, a) in best.iter().enumerate() {
            for (j, b) in of_role.iter().enumerate() {
                let both = Set {
                    worth: a.worth + b.worth,
                    covered: a.covered + b.covered,
                    which: a.which | b.which,
                };
                if both.beats(joined[i + j]) {
                    joined[i + j] = Some(both);
                }
            }
        }
        best = joined.into_iter().flatten().collect();
    }
    let parts = |set: Set| {
        let chosen = candidates.iter().enumerate().filter(|(i, _)| set.which >> i & 1 == 1);
        chosen.map(|(_, p)| *p).collect()
    };
    best.into_iter().map(|set| SideSet { parts: parts(set), covered: set.covered }).collect()
}

/// For every count of columns of one role the best set, by looking at all.
fn sets_of(facts: &Facts<'_>, rows: &Weighted, candidates: &[PartId], role: u128) -> Vec<Set> {
    let own: Vec<(usize, PartId)> =
        candidates.iter().copied().enumerate().filter(|(_, p)| role >> p.0 & 1 == 1).collect();
    let rows = weigh(rows.iter().map(|(row, n)| (row & role, *n)));
    let instead: Vec<Vec<PartId>> = own.iter().map(|(_, p)| instead_of(facts, *p)).collect();
    let mut best: Vec<Option<Set>> = vec![None; own.len() + 1];
    for set in 0..(1u32 << own.len()) {
        let places = || (0..own.len()).filter(|i| set >> i & 1 == 1);
        let chosen = || places().map(|i| own[i]);
        let mask = chosen().fold(0u128, |mask, (_, p)| mask | 1 << p.0);
        let columns: Vec<(PartId, &[PartId])> =
            places().map(|i| (own[i].1, instead[i].as_slice())).collect();
        let (direct, replaced) = cells(&rows, mask, &columns);
        let found = Set {
            worth: direct as f64 + STAND_IN_WORTH * replaced as f64,
            covered: direct + replaced,
            which: chosen().fold(0, |which, (i, _)| which | 1 << i),
        };
        let slot = &mut best[set.count_ones() as usize];
        if found.beats(*slot) {
            *slot = Some(found);
        }
    }
    best.into_iter().flatten().collect()
}

/// Cells of a side that could be shown at all.
pub fn available(facts: &Facts<'_>, rows: &[u128], side: Side) -> usize {
    let all = role_masks(facts, side).iter().fold(0, |m, r| m | r);
    rows.iter().map(|row| (row & all).count_ones() as usize).sum()
}

/// What decides whether one part can stand in for another.
#[derive(Debug, Clone, Copy)]
pub struct Fit<'a> {
    pub width: f64,
    pub height: f64,
    pub side: Side,
    pub role: &'a str,
}

impl Fit<'_> {
    /// Is it of one role with another, and near enough in size to stand in for it?
    fn replaces(self, other: Fit<'_>) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() <= MOST_UNLIKE * a.max(b);
        self.role == other.role
            && self.side == other.side
            && near(self.width, other.width)
            && near(self.height, other.height)
    }

    /// How far two sizes are from each other, mm.
    fn unlike(self, other: Fit<'_>) -> f64 {
        (self.width - other.width).abs() + (self.height - other.height).abs()
    }
}

impl PartFacts {
    fn fit(&self) -> Fit<'_> {
        Fit { width: self.width, height: self.height, side: self.side, role: &self.role }
    }
}

/// Which part stands in for which missing one in a row: (column, stand-in).
///
/// Within a role the nearest in size is taken, each part once.
pub fn stand_ins(facts: &Facts<'_>, row: u128, columns: &[PartId]) -> Vec<(PartId, PartId)> {
    let count = facts.parts.len().min(128);
    replacements(count, |p| facts.part(p).fit(), |p| row >> p.0 & 1 == 1, columns)
}

/// The same of any parts, numbered from 0 to `count`.
pub fn replacements<'a>(
    count: usize,
    fit: impl Fn(PartId) -> Fit<'a>,
    made: impl Fn(PartId) -> bool,
    columns: &[PartId],
) -> Vec<(PartId, PartId)> {
    let mut spare: Vec<PartId> =
        (0..count).map(PartId).filter(|p| made(*p) && !columns.contains(p)).collect();
    let mut out = Vec::new();
    for &column in columns.iter().filter(|p| !made(**p)) {
        let want = fit(column);
        let near = |p: &PartId| fit(*p).unlike(want);
        let found = spare
            .iter()
            .copied()
            .filter(|p| fit(*p).replaces(want))
            .min_by(|a, b| near(a).total_cmp(&near(b)).then(a.cmp(b)));
        if let Some(part) = found {
            spare.retain(|p| *p != part);
            out.push((column, part));
        }
    }
    out
}

/// Puts equal rows together; each comes with how many it stands for.
fn weigh(rows: impl Iterator<Item = (u128, usize)>) -> Weighted {
    let mut groups: BTreeMap<u128, usize> = BTreeMap::new();
    for (row, n) in rows {
        *groups.entry(row).or_default() += n;
    }
    groups.into_iter().collect()
}

fn candidates(facts: &Facts<'_>, rows: &Weighted, side: Side, from: &[PartId]) -> Vec<PartId> {
    let count = |p: PartId| -> usize {
        rows.iter().filter(|(row, _)| row >> p.0 & 1 == 1).map(|(_, n)| n).sum()
    };
    let total: usize = rows.iter().map(|(_, n)| n).sum();
    let mut parts: Vec<PartId> = from
        .iter()
        .copied()
        .filter(|p| p.0 < 128 && facts.part(*p).side == side)
        .filter(|p| count(*p) > 0 && count(*p) as f64 >= LEAST_MADE * total as f64)
        .collect();
    if parts.len() > MOST_CANDIDATES {
        parts.sort_by_key(|p| (std::cmp::Reverse(count(*p)), *p));
        parts.truncate(MOST_CANDIDATES);
    }
    parts.sort_unstable();
    parts
}

/// One mask per role of a side.
fn role_masks(facts: &Facts<'_>, side: Side) -> Vec<u128> {
    let mut roles: BTreeMap<&str, u128> = BTreeMap::new();
    for (i, part) in facts.parts.iter().enumerate().take(128).filter(|(_, p)| p.side == side) {
        *roles.entry(&part.role).or_default() |= 1 << i;
    }
    roles.into_values().collect()
}

/// The parts that may stand in for one, the nearest in size first.
fn instead_of(facts: &Facts<'_>, column: PartId) -> Vec<PartId> {
    let want = facts.part(column).fit();
    let mut parts: Vec<PartId> = (0..facts.parts.len().min(128))
        .map(PartId)
        .filter(|p| *p != column && facts.part(*p).fit().replaces(want))
        .collect();
    parts.sort_by(|a, b| {
        let off = |p: &PartId| facts.part(*p).fit().unlike(want);
        off(a).total_cmp(&off(b)).then(a.cmp(b))
    });
    parts
}

/// Cells of a role shown directly, and by stand-ins as [`replacements`] finds them. Each column
/// comes with what may stand in for it; `mask` has all of them.
fn cells(rows: &Weighted, mask: u128, columns: &[(PartId, &[PartId])]) -> (usize, usize) {
    let (mut direct, mut replaced) = (0, 0);
    for (row, n) in rows {
        direct += (row & mask).count_ones() as usize * n;
        let mut spare = row & !mask;
        for (_, instead) in columns.iter().filter(|(column, _)| row >> column.0 & 1 == 0) {
            if spare == 0 {
                break;
            }
            if let Some(part) = instead.iter().find(|p| spare >> p.0 & 1 == 1) {
                spare &= !(1 << part.0);
                replaced += n;
            }
        }
    }
    (direct, replaced)
}
