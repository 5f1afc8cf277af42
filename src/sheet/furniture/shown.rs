//! What the rows of a sheet show: marks, parts, and how their numbers are.

use super::builder::Builder;
use crate::plan::columns::stand_ins;
use crate::plan::menu::Arrangement;
use crate::plan::{Facts, Plan, PlannedFamily};
use crate::range::{Columns, PartId, Side};

/// What occurs on a sheet.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Shown {
    /// Rows in columns.
    pub grid: bool,
    /// A column whose part is not made in a colour, and nothing stands in for it.
    pub gap: bool,
    pub stand_in: bool,
    /// Rows with a number under each part.
    pub loose: bool,
    /// Parts drawn in any row: in the order of the columns, then those that stand in or loose.
    pub parts: Vec<PartId>,
}

impl Shown {
    /// All that can occur, whatever is planned.
    pub fn possible(facts: &Facts<'_>) -> Shown {
        let rows = || facts.families.iter().flat_map(|f| &f.rows);
        let all = rows().fold(0u128, |m, r| m | r.made);
        let grid = facts.families.iter().any(|f| f.columns != Columns::Loose);
        let listed = |f: &crate::plan::facts::FamilyFacts| match &f.columns {
            Columns::Given { left, right } => left.iter().chain(right).fold(0, |m, p| m | 1 << p.0),
            _ => 0u128,
        };
        let columns = facts.families.iter().fold(all, |m, f| m | listed(f));
        let gap = grid && rows().any(|r| r.made != columns);
        let mut roles: Vec<(&str, Side)> =
            facts.parts.iter().map(|p| (p.role.as_str(), p.side)).collect();
        roles.sort_unstable();
        Shown {
            grid,
            gap,
            stand_in: gap && roles.windows(2).any(|w| w[0] == w[1]),
            // Columns that are chosen may turn out too empty.
            loose: facts.families.iter().any(|f| !matches!(f.columns, Columns::Given { .. })),
            parts: parts_of(all),
        }
    }

    /// What a plan shows.
    fn on(facts: &Facts<'_>, plan: &Plan) -> Shown {
        let mut out = Shown::default();
        let mut drawn = 0u128;
        let mut in_columns: Vec<PartId> = Vec::new();
        for family in &plan.families {
            let rows = &facts.families[family.index].rows;
            let Some(columns) = columns(family) else {
                out.loose = true;
                drawn = rows.iter().fold(drawn, |m, r| m | r.made);
                continue;
            };
            out.grid = true;
            in_columns.extend(
                columns.iter().filter(|p| !in_columns.contains(p)).copied().collect::<Vec<_>>(),
            );
            for row in rows {
                let standing = stand_ins(facts, row.made, &columns);
                let own = columns.iter().filter(|p| row.made >> p.0 & 1 == 1);
                drawn = own.fold(drawn, |m, p| m | 1 << p.0);
                drawn = standing.iter().fold(drawn, |m, (_, p)| m | 1 << p.0);
                let empty = columns.iter().filter(|p| row.made >> p.0 & 1 == 0).count();
                out.stand_in |= !standing.is_empty();
                out.gap |= empty > standing.len();
            }
        }
        in_columns.retain(|p| drawn >> p.0 & 1 == 1);
        let others: Vec<PartId> =
            parts_of(drawn).into_iter().filter(|p| !in_columns.contains(p)).collect();
        out.parts = merged(&in_columns, &others);
        out
    }
}

/// The columns of a family from left to right; none of loose rows.
pub(super) fn columns(family: &PlannedFamily) -> Option<Vec<PartId>> {
    match &family.choice.arrangement {
        Arrangement::Grid { left, right } => Some(left.iter().chain(right).copied().collect()),
        Arrangement::Loose => None,
    }
}

fn parts_of(mask: u128) -> Vec<PartId> {
    (0..128).filter(|p| mask >> p & 1 == 1).map(PartId).collect()
}

/// Puts each part without a column after the last one that the range has before it.
fn merged(columns: &[PartId], others: &[PartId]) -> Vec<PartId> {
    let mut out = columns.to_vec();
    for &part in others {
        let at = out.iter().rposition(|p| *p < part).map_or(0, |i| i + 1);
        out.insert(at, part);
    }
    out
}

impl Builder<'_> {
    /// What the sheet shows; while it is being planned, what it may show.
    pub(super) fn shown(&self) -> Shown {
        match self.scene {
            Some(scene) => Shown::on(self.facts, scene.plan),
            None => Shown::possible(self.facts),
        }
    }
}
