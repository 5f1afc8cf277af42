//! Availability: which part is made in which colour, cell by cell.

use serde::Serialize;

use super::pairs::Pairs;
use crate::range::{ColourId, PartId, Range};

/// The parts newly made and no longer made in one colour.
///
/// A new colour has all its parts here, a new part all its colours, and what
/// is gone likewise: the whole difference of the two matrices.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct MadeChange {
    pub colour: String,
    pub name: String,
    /// Part keys, in the new range's order.
    pub newly: Vec<String>,
    /// Part keys, in the old range's order.
    pub no_longer: Vec<String>,
}

/// In the new order, then colours that are gone in the old one.
pub(super) fn changes(old: &Range, new: &Range, pairs: &Pairs) -> Vec<MadeChange> {
    let changed = (0..new.colours().len()).map(|i| (pairs.colours.before(i), Some(i)));
    let gone = pairs.colours.gone().map(|i| (Some(i), None));
    changed.chain(gone).filter_map(|(was, is)| one((old, was), (new, is), pairs)).collect()
}

fn one(
    (old, was): (&Range, Option<usize>),
    (new, is): (&Range, Option<usize>),
    pairs: &Pairs,
) -> Option<MadeChange> {
    let before = |part: usize| was.is_some_and(|c| old.is_made(ColourId(c), PartId(part)));
    let after = |part: usize| is.is_some_and(|c| new.is_made(ColourId(c), PartId(part)));
    let newly: Vec<usize> = (0..new.parts().len())
        .filter(|&p| after(p) && !pairs.parts.before(p).is_some_and(before))
        .collect();
    let no_longer: Vec<usize> = (0..old.parts().len())
        .filter(|&p| before(p) && !pairs.parts.after(p).is_some_and(after))
        .collect();
    if newly.is_empty() && no_longer.is_empty() {
        return None;
    }
    let colour = match (is, was) {
        (Some(i), _) => &new.colours()[i],
        (None, i) => &old.colours()[i?],
    };
    let keys = |range: &Range, list: Vec<usize>| {
        list.into_iter().map(|p| range.parts()[p].key().clone()).collect()
    };
    Some(MadeChange {
        colour: colour.key().clone(),
        name: colour.any_name().to_owned(),
        newly: keys(new, newly),
        no_longer: keys(old, no_longer),
    })
}

/// Is a colour that stayed made in other parts than before?
pub(super) fn differs(old: &Range, was: usize, new: &Range, is: usize, pairs: &Pairs) -> bool {
    one((old, Some(was)), (new, Some(is)), pairs).is_some()
}
