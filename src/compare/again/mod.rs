//! Consequences: which families, editions and labels have to be made again.
//!
//! An edition is due when anything that it prints, or that its layout is
//! solved from, differs: one cell of availability can move its columns.

mod editions;
mod families;
mod labels;
mod print;

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::compared::ComparedSheet;
use super::pairs::Pairs;
use crate::range::{ColourId, ColourRange, FamilyId};
use editions::{Sheets, edition};
use families::{Cells, Families, Rows, Why, words};
use labels::label_keys;
pub use labels::{Labels, labels};
use print::Print;

/// A family or an edition that is due.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Due {
    /// The family's key, or the edition's name.
    pub key: String,
    /// The edition's spelling.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spelling: Option<String>,
    pub because: Vec<String>,
}

/// What has to be made again.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Again {
    pub families: Vec<Due>,
    pub editions: Vec<Due>,
    /// Keys of the colours whose labels are due.
    pub labels: Vec<String>,
}

impl Again {
    /// Is nothing due?
    pub fn is_empty(&self) -> bool {
        self.families.is_empty() && self.editions.is_empty() && self.labels.is_empty()
    }
}

/// Without sheets there are no editions, and a family prints everything in the range.
pub(in crate::compare) fn of_ranges(old: &ColourRange, new: &ColourRange, pairs: &Pairs) -> Again {
    let (before, after) = (Print::of_range(old), Print::of_range(new));
    let cells = Cells::new(old, new, pairs);
    let (was, is) = (by_family(old), by_family(new));
    let compared = Families { before: &before, after: &after, pairs, cells: &cells };
    let families = (0..new.families().len()).filter_map(|n| {
        let key = new.families()[n].key().clone();
        let because = match pairs.families.before(n) {
            None => vec!["new".to_owned()],
            Some(o) => {
                let was = Rows { family: FamilyId(o), colours: &was[o] };
                let is = Rows { family: FamilyId(n), colours: &is[n] };
                words(&compared.whys(was, is))
            }
        };
        (!because.is_empty()).then_some(Due { key, spelling: None, because })
    });
    Again {
        families: families.collect(),
        editions: Vec::new(),
        labels: label_keys(&Labels::of_range(old), &Labels::of_range(new), pairs),
    }
}

/// Of two sheets.
pub(in crate::compare) fn of_sheets(
    old: &ComparedSheet<'_>,
    new: &ComparedSheet<'_>,
    pairs: &Pairs,
) -> Again {
    let cells = Cells::new(old.range, new.range, pairs);
    let mut tags: Vec<&String> = new.sheet.editions().iter().flat_map(|e| e.spellings()).collect();
    tags.sort();
    tags.dedup();
    // Each family in each spelling once, however many editions show it.
    let families: BTreeMap<&str, Vec<BTreeSet<Why>>> = tags
        .iter()
        .map(|tag| {
            let (before, after) = (Print::of_sheet(old, tag), Print::of_sheet(new, tag));
            let compared = Families { before: &before, after: &after, pairs, cells: &cells };
            let each = new.sheet.families().iter();
            let whys = each.map(|f| compared.on_sheet(old, new, f)).collect();
            (tag.as_str(), whys)
        })
        .collect();
    let due = |i: usize| {
        let key = new.range.family(new.sheet.families()[i].family()).key().clone();
        let because = families.values().flat_map(|whys| whys[i].iter().copied()).collect();
        let because = words(&because);
        (!because.is_empty()).then_some(Due { key, spelling: None, because })
    };
    let sheets = Sheets { old, new, pairs };
    let each = new.sheet.editions().iter();
    let editions = each.flat_map(|e| e.spellings().iter().map(move |tag| (e, tag)));
    let editions = editions.filter_map(|(e, tag)| {
        let because = edition(&sheets, e, tag, &families[tag.as_str()]);
        let spelling = Some(tag.clone());
        (!because.is_empty()).then(|| Due { key: e.name().clone(), spelling, because })
    });
    Again {
        families: (0..new.sheet.families().len()).filter_map(due).collect(),
        editions: editions.collect(),
        labels: label_keys(
            &Labels::of_sheet(old.range, old.sheet),
            &Labels::of_sheet(new.range, new.sheet),
            pairs,
        ),
    }
}

/// Each family's colours, in the range's order.
fn by_family(range: &ColourRange) -> Vec<Vec<ColourId>> {
    let mut out = vec![Vec::new(); range.families().len()];
    range.colours().iter().enumerate().for_each(|(i, c)| out[c.family().0].push(ColourId(i)));
    out
}
