//! Availability: which part is made in which colour, cell by cell.

use std::collections::BTreeMap;

use serde::Serialize;

use super::pairs::Pairs;
use crate::range::{ColourId, ColourRange, PartId};

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
    /// Parts made before and after, but in other years.
    pub years: Vec<YearsChange>,
}

/// The years in which a part is made in a colour: '1990-2001', or 'always'.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct YearsChange {
    pub part: String,
    pub old: String,
    pub new: String,
}

/// The years of a range, by colour and part.
type YearsOf = BTreeMap<(usize, usize), String>;

fn years_of(range: &ColourRange) -> YearsOf {
    let year = |y: Option<u16>| y.map_or(String::new(), |y| y.to_string());
    let each = range.years().iter();
    each.map(|y| ((y.colour.0, y.part.0), format!("{}-{}", year(y.from), year(y.to)))).collect()
}

/// In the new order, then colours that are gone in the old one.
pub(super) fn changes(old: &ColourRange, new: &ColourRange, pairs: &Pairs) -> Vec<MadeChange> {
    let changed = (0..new.colours().len()).map(|i| (pairs.colours.before(i), Some(i)));
    let gone = pairs.colours.gone().map(|i| (Some(i), None));
    let (years_before, years_after) = (years_of(old), years_of(new));
    let both = changed.chain(gone).map(|(was, is)| {
        let was = RowOf { range: old, colour: was, years: &years_before };
        (was, RowOf { range: new, colour: is, years: &years_after })
    });
    both.filter_map(|(was, is)| one(was, is, pairs)).collect()
}

/// A colour's row of the matrix in one of the two ranges.
#[derive(Clone, Copy)]
struct RowOf<'a> {
    range: &'a ColourRange,
    /// None where the range does not have it.
    colour: Option<usize>,
    years: &'a YearsOf,
}

fn one(before: RowOf<'_>, after: RowOf<'_>, pairs: &Pairs) -> Option<MadeChange> {
    let RowOf { range: old, colour: was, years: years_before } = before;
    let RowOf { range: new, colour: is, years: years_after } = after;
    let before = |part: usize| was.is_some_and(|c| old.is_made(ColourId(c), PartId(part)));
    let after = |part: usize| is.is_some_and(|c| new.is_made(ColourId(c), PartId(part)));
    let newly: Vec<usize> = (0..new.parts().len())
        .filter(|&p| after(p) && !pairs.parts.before(p).is_some_and(before))
        .collect();
    let no_longer: Vec<usize> = (0..old.parts().len())
        .filter(|&p| before(p) && !pairs.parts.after(p).is_some_and(after))
        .collect();
    let mut years = Vec::new();
    if let (Some(was), Some(is)) = (was, is) {
        for part in (0..new.parts().len()).filter(|p| after(*p)) {
            let Some(earlier) = pairs.parts.before(part).filter(|p| before(*p)) else { continue };
            let (o, n) = (years_before.get(&(was, earlier)), years_after.get(&(is, part)));
            if o != n {
                let said = |y: Option<&String>| y.cloned().unwrap_or_else(|| "always".to_owned());
                let part = new.parts()[part].key().clone();
                years.push(YearsChange { part, old: said(o), new: said(n) });
            }
        }
    }
    if newly.is_empty() && no_longer.is_empty() && years.is_empty() {
        return None;
    }
    let colour = match (is, was) {
        (Some(i), _) => &new.colours()[i],
        (None, i) => &old.colours()[i?],
    };
    let keys = |range: &ColourRange, list: Vec<usize>| {
        list.into_iter().map(|p| range.parts()[p].key().clone()).collect()
    };
    Some(MadeChange {
        colour: colour.key().clone(),
        name: colour.any_name().to_owned(),
        newly: keys(new, newly),
        no_longer: keys(old, no_longer),
        years,
    })
}

/// Is a colour that stayed made in other parts than before?
pub(super) fn differs(
    old: &ColourRange,
    was: usize,
    new: &ColourRange,
    is: usize,
    pairs: &Pairs,
) -> bool {
    // A sheet shows one year: other years do not change it.
    let years = YearsOf::default();
    let row = |range, colour| RowOf { range, colour: Some(colour), years: &years };
    one(row(old, was), row(new, is), pairs).is_some()
}
