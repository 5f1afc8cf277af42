//! Which labels are due.

use std::collections::BTreeSet;

use super::print::{all_lines, spine, whole};
use crate::compare::pairs::Pairs;
use crate::compare::sheets::rows;
use crate::range::{CentreLine, ColourId, ColourRange, SheetSpec};

/// Labels: of which colours, with the names and numbers of which listings.
pub struct Labels<'a> {
    pub range: &'a ColourRange,
    pub colours: BTreeSet<ColourId>,
    pub lines: Vec<CentreLine>,
}

impl<'a> Labels<'a> {
    /// A label for every colour, with all its names and numbers.
    pub fn of_range(range: &'a ColourRange) -> Labels<'a> {
        let colours = (0..range.colours().len()).map(ColourId).collect();
        Labels { range, colours, lines: all_lines(range) }
    }

    /// Labels for what a sheet shows, with what it prints beside each colour.
    pub fn of_sheet(range: &'a ColourRange, sheet: &SheetSpec) -> Labels<'a> {
        Labels { range, colours: rows(sheet), lines: sheet.centre().clone() }
    }
}

/// The labels that are due, in the new range's order: of colours that had
/// none, and where a printed name or number or the chip's colour differs.
pub fn labels(old: &Labels<'_>, new: &Labels<'_>) -> Vec<ColourId> {
    labels_of(old, new, &Pairs::new(old.range, new.range))
}

fn labels_of(old: &Labels<'_>, new: &Labels<'_>, pairs: &Pairs) -> Vec<ColourId> {
    let same = |was: usize, is: ColourId| {
        let (was, is) = (&old.range.colours()[was], new.range.colour(is));
        was.rgb() == is.rgb() && spine(was, &old.lines, &whole) == spine(is, &new.lines, &whole)
    };
    let due = |is: &ColourId| match pairs.colours.before(is.0) {
        Some(was) if old.colours.contains(&ColourId(was)) => !same(was, *is),
        _ => true,
    };
    new.colours.iter().copied().filter(due).collect()
}

/// The same by their colours' keys.
pub(super) fn label_keys(old: &Labels<'_>, new: &Labels<'_>, pairs: &Pairs) -> Vec<String> {
    labels_of(old, new, pairs).into_iter().map(|c| new.range.colour(c).key().clone()).collect()
}
