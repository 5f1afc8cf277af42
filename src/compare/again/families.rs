//! Why a family prints otherwise.

use std::collections::{BTreeMap, BTreeSet};

use super::print::{Print, spine};
use crate::compare::compared::ComparedSheet;
use crate::compare::made::differs;
use crate::compare::pairs::{Match, Pairs};
use crate::compare::parts::looks_changed;
use crate::compare::sheets::columns;
use crate::range::{ColourId, ColourRange, FamilyId, Finish, SheetFamily};

/// Why a family prints differently.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Why {
    Shown,
    Heading,
    Columns,
    NewColours,
    Gone,
    Order,
    Names,
    Numbers,
    Values,
    Finishes,
    Made,
    PartNumbers,
    Parts,
    Flecks,
}

impl Why {
    fn word(self) -> &'static str {
        match self {
            Why::Shown => "newly shown",
            Why::Heading => "its heading",
            Why::Columns => "its columns",
            Why::NewColours => "colours newly shown",
            Why::Gone => "colours gone",
            Why::Order => "the order",
            Why::Names => "names",
            Why::Numbers => "numbers",
            Why::Values => "values",
            Why::Finishes => "finishes",
            Why::Made => "availability",
            Why::PartNumbers => "part numbers",
            Why::Parts => "parts",
            Why::Flecks => "the positions of flecks",
        }
    }
}

/// Why, in words.
pub(super) fn words(whys: &BTreeSet<Why>) -> Vec<String> {
    whys.iter().map(|w| w.word().to_owned()).collect()
}

/// What does not depend on the spelling, examined once.
pub(super) struct Cells {
    /// Per new colour: is it made in other parts than before?
    made: Vec<bool>,
    /// Per new part: does it look different, and is it at another place of the range?
    parts: Vec<bool>,
    moved: Vec<bool>,
    reordered: bool,
}

impl Cells {
    pub(super) fn new(old: &ColourRange, new: &ColourRange, pairs: &Pairs) -> Cells {
        let per = |of: &Match, count: usize, test: &dyn Fn(usize, usize) -> bool| {
            (0..count).map(|n| of.before(n).is_some_and(|o| test(o, n))).collect()
        };
        let parts = new.parts().len();
        Cells {
            made: per(&pairs.colours, new.colours().len(), &|o, n| differs(old, o, new, n, pairs)),
            parts: per(&pairs.parts, parts, &|o, n| {
                looks_changed(&old.parts()[o], &new.parts()[n])
            }),
            moved: per(&pairs.parts, parts, &|o, n| o != n),
            reordered: pairs.parts.reordered(),
        }
    }
}

/// A family as one side shows it.
#[derive(Clone, Copy)]
pub(super) struct Rows<'a> {
    pub(super) family: FamilyId,
    pub(super) colours: &'a [ColourId],
}

impl<'a> Rows<'a> {
    fn of(family: &'a SheetFamily) -> Rows<'a> {
        Rows { family: family.family(), colours: family.rows() }
    }
}

/// What families are compared by, in one spelling.
#[derive(Clone, Copy)]
pub(super) struct Families<'a> {
    pub(super) before: &'a Print<'a>,
    pub(super) after: &'a Print<'a>,
    pub(super) pairs: &'a Pairs,
    pub(super) cells: &'a Cells,
}

impl Families<'_> {
    /// Why a family of the new sheet prints otherwise than in the old one.
    pub(super) fn on_sheet(
        &self,
        old: &ComparedSheet<'_>,
        new: &ComparedSheet<'_>,
        is: &SheetFamily,
    ) -> BTreeSet<Why> {
        let was = self.pairs.families.before(is.family().0);
        let was = was.and_then(|o| old.sheet.families().iter().find(|f| f.family().0 == o));
        let Some(was) = was else { return [Why::Shown].into() };
        let mut whys = self.whys(Rows::of(was), Rows::of(is));
        if columns(old.range, was.columns()) != columns(new.range, is.columns()) {
            whys.insert(Why::Columns);
        }
        whys
    }

    /// Why a family prints differently.
    pub(super) fn whys(&self, was: Rows<'_>, is: Rows<'_>) -> BTreeSet<Why> {
        let Families { before, after, pairs, cells } = *self;
        let mut whys = BTreeSet::new();
        let mut note = |why: Why, holds: bool| {
            if holds {
                whys.insert(why);
            }
        };
        let heading = |print: &Print<'_>, id: FamilyId| {
            let family = print.range.family(id);
            [family.title(), family.note(), family.legend()].map(|w| (print.say)(w))
        };
        note(Why::Heading, heading(before, was.family) != heading(after, is.family));
        let place: BTreeMap<usize, usize> =
            was.colours.iter().enumerate().map(|(i, c)| (c.0, i)).collect();
        let mut used = vec![false; after.range.parts().len()];
        let mut last = None;
        let mut stayed = 0;
        for row in is.colours {
            let colour = after.range.colour(*row);
            let made = &after.range.made()[row.0];
            used.iter_mut().zip(made).for_each(|(used, made)| *used |= made);
            let before_here = pairs.colours.before(row.0).and_then(|o| Some((o, *place.get(&o)?)));
            let Some((old_id, at)) = before_here else {
                note(Why::NewColours, true);
                continue;
            };
            stayed += 1;
            note(Why::Order, last.is_some_and(|l| at < l));
            last = last.max(Some(at));
            let old_colour = &before.range.colours()[old_id];
            let (names, numbers) = spine(old_colour, &before.lines, &before.say);
            let (new_names, new_numbers) = spine(colour, &after.lines, &after.say);
            note(Why::Names, names != new_names);
            note(Why::Numbers, numbers != new_numbers);
            // The value, not only what is shown of it: families are split and put in order by it.
            note(Why::Values, old_colour.value() != colour.value());
            note(Why::Finishes, old_colour.finish() != colour.finish());
            note(Why::Made, cells.made[row.0]);
            // A colour's key and a part's place seed the flecks.
            let moved = made.iter().zip(&cells.moved).any(|(made, moved)| *made && *moved);
            let flecks = old_colour.key() != colour.key() || moved;
            note(Why::Flecks, colour.finish() == Finish::Flecked && flecks);
        }
        note(Why::Gone, stayed < was.colours.len());
        note(Why::Order, cells.reordered && !is.colours.is_empty());
        for n in (0..used.len()).filter(|n| used[*n]) {
            let Some(o) = pairs.parts.before(n) else { continue };
            note(Why::PartNumbers, before.part_numbers[o] != after.part_numbers[n]);
            let title = |print: &Print<'_>, i: usize| (print.say)(print.range.parts()[i].title());
            note(Why::Parts, cells.parts[n] || title(before, o) != title(after, n));
        }
        whys
    }
}
