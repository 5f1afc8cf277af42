//! What a plan does not show: parts that are made, but have no column.

use super::blocks::PlannedFamily;
use super::columns::stand_ins;
use super::facts::Facts;
use super::menu::Arrangement;
use crate::range::PartId;

/// Samples that are made and not shown, a sample being a part in a colour.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Unshown {
    /// Parts with samples that are not shown, and how many, in the order of the range.
    pub parts: Vec<(PartId, usize)>,
    /// All of them.
    pub samples: usize,
    /// All samples that are made, shown or not.
    pub of: usize,
}

impl Unshown {
    /// Checks the columns of every family; loose rows show all their parts.
    pub fn new(facts: &Facts<'_>, families: &[PlannedFamily]) -> Unshown {
        let mut missing = vec![0; facts.parts.len()];
        let mut of = 0;
        for family in families {
            let rows = &facts.families[family.index].rows;
            of += rows.iter().map(|r| r.made.count_ones() as usize).sum::<usize>();
            let Arrangement::Grid { left, right } = &family.choice.arrangement else { continue };
            let columns: Vec<PartId> = left.iter().chain(right).copied().collect();
            for row in rows {
                let standing: Vec<PartId> =
                    stand_ins(facts, row.made, &columns).into_iter().map(|(_, p)| p).collect();
                let is_shown = |p: &PartId| columns.contains(p) || standing.contains(p);
                let made = (0..missing.len().min(128)).map(PartId);
                made.filter(|p| row.made >> p.0 & 1 == 1 && !is_shown(p))
                    .for_each(|p| missing[p.0] += 1);
            }
        }
        let parts = missing.iter().enumerate().filter(|(_, n)| **n > 0);
        let parts: Vec<(PartId, usize)> = parts.map(|(p, n)| (PartId(p), *n)).collect();
        Unshown { samples: parts.iter().map(|(_, n)| n).sum(), parts, of }
    }

    /// The numbers of the parts, as the headings of the columns would give them.
    pub fn labels(&self, facts: &Facts<'_>) -> Vec<String> {
        self.parts.iter().map(|(p, _)| facts.part(*p).label.clone()).collect()
    }
}
