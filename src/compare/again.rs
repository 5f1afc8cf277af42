//! Consequences: which families, editions and labels have to be made again.
//!
//! An edition is due when anything that it prints, or that its layout is
//! solved from, differs: one cell of availability can move its columns.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::made::differs;
use super::pairs::Pairs;
use super::parts::looks_changed;
use super::sheets::{columns, part_keys, rows};
use super::{Shown, pairs};
use crate::plan::facts::{ClusterFacts, closest, part_label};
use crate::range::{
    CentreLine, Colour, ColourId, EditionSpec, FamilyId, Finish, ListingId, Range, SheetFamily,
    SheetSpec, Words,
};

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

/// Labels: of which colours, with the names and numbers of which listings.
pub struct Labels<'a> {
    pub range: &'a Range,
    pub colours: BTreeSet<ColourId>,
    pub lines: Vec<CentreLine>,
}

impl<'a> Labels<'a> {
    /// A label for every colour, with all its names and numbers.
    pub fn of_range(range: &'a Range) -> Labels<'a> {
        let colours = (0..range.colours().len()).map(ColourId).collect();
        Labels { range, colours, lines: all_lines(range) }
    }

    /// Labels for what a sheet shows, with what it prints beside each colour.
    pub fn of_sheet(range: &'a Range, sheet: &SheetSpec) -> Labels<'a> {
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

fn label_keys(old: &Labels<'_>, new: &Labels<'_>, pairs: &Pairs) -> Vec<String> {
    labels_of(old, new, pairs).into_iter().map(|c| new.range.colour(c).key().clone()).collect()
}

/// Without sheets there are no editions, and a family prints everything in the range.
pub(super) fn of_ranges(old: &Range, new: &Range, pairs: &Pairs) -> Again {
    let (before, after) = (Print::of_range(old), Print::of_range(new));
    let cells = Cells::new(old, new, pairs);
    let (was, is) = (by_family(old), by_family(new));
    let families = (0..new.families().len()).filter_map(|n| {
        let key = new.families()[n].key().clone();
        let because = match pairs.families.before(n) {
            None => vec!["new".to_owned()],
            Some(o) => {
                let (was, is) = ((FamilyId(o), &was[o][..]), (FamilyId(n), &is[n][..]));
                words(&family(&before, &after, was, is, pairs, &cells))
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
pub(super) fn of_sheets(old: &Shown<'_>, new: &Shown<'_>, pairs: &Pairs) -> Again {
    let cells = Cells::new(old.range, new.range, pairs);
    let mut tags: Vec<&String> = new.sheet.editions().iter().flat_map(|e| e.spellings()).collect();
    tags.sort();
    tags.dedup();
    // Each family in each spelling once, however many editions show it.
    let families: BTreeMap<&str, Vec<BTreeSet<Why>>> = tags
        .iter()
        .map(|tag| {
            let prints = (Print::of_sheet(old, tag), Print::of_sheet(new, tag));
            let each = new.sheet.families().iter();
            let whys = each.map(|f| sheet_family(old, new, &prints, f, pairs, &cells)).collect();
            (tag.as_str(), whys)
        })
        .collect();
    let due = |i: usize| {
        let key = new.range.family(new.sheet.families()[i].family()).key().clone();
        let because = families.values().flat_map(|whys| whys[i].iter().copied()).collect();
        let because = words(&because);
        (!because.is_empty()).then_some(Due { key, spelling: None, because })
    };
    let each = new.sheet.editions().iter();
    let editions = each.flat_map(|e| e.spellings().iter().map(move |tag| (e, tag)));
    let editions = editions.filter_map(|(e, tag)| {
        let because = edition(old, new, e, tag, &families[tag.as_str()], pairs);
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

/// Why a family prints differently.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Why {
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

fn words(whys: &BTreeSet<Why>) -> Vec<String> {
    whys.iter().map(|w| w.word().to_owned()).collect()
}

/// What one side prints, and in which spelling.
struct Print<'a> {
    range: &'a Range,
    lines: Vec<CentreLine>,
    /// The number over each part's column.
    part_numbers: Vec<String>,
    say: Box<dyn Fn(&Words) -> String + 'a>,
}

impl<'a> Print<'a> {
    fn of_range(range: &'a Range) -> Print<'a> {
        let numbers = |p: &crate::range::Part| {
            let each = p.numbers().iter().zip(range.listings());
            each.filter_map(|(n, l)| n.as_ref().map(|n| format!("{} {n}", l.key())))
                .collect::<Vec<_>>()
                .join(", ")
        };
        Print {
            range,
            lines: all_lines(range),
            part_numbers: range.parts().iter().map(numbers).collect(),
            say: Box::new(whole),
        }
    }

    fn of_sheet(shown: &'a Shown<'a>, tag: &str) -> Print<'a> {
        let spelling = shown.spellings.get(tag);
        let tag = tag.to_owned();
        Print {
            range: shown.range,
            lines: shown.sheet.centre().clone(),
            part_numbers: shown.range.parts().iter().map(|p| part_label(p, shown.sheet)).collect(),
            say: Box::new(move |w| match spelling {
                Some(spelling) => spelling.apply(w),
                None => w.forms.get(&tag).unwrap_or(&w.text).clone(),
            }),
        }
    }

    /// Words with their {maker} and {release} filled in.
    fn filled(&self, words: &Words) -> String {
        let text = (self.say)(words).replace("{maker}", &(self.say)(self.range.maker()));
        text.replace("{release}", &(self.say)(self.range.release()))
    }
}

/// Words with all their forms.
fn whole(words: &Words) -> String {
    let forms = words.forms.iter().map(|(tag, form)| format!("\n{tag} {form}"));
    std::iter::once(words.text.clone()).chain(forms).collect()
}

fn all_lines(range: &Range) -> Vec<CentreLine> {
    let each = 0..range.listings().len();
    each.map(|l| CentreLine { listing: ListingId(l), name: true, number: true }).collect()
}

/// The names and the numbers beside a colour, line by line.
fn spine(
    colour: &Colour,
    lines: &[CentreLine],
    say: &dyn Fn(&Words) -> String,
) -> (Vec<String>, Vec<String>) {
    let each = lines.iter().map(|l| {
        let name = colour.names()[l.listing.0].as_ref().filter(|_| l.name);
        let number = colour.numbers()[l.listing.0].clone().filter(|_| l.number);
        (name.map(say).unwrap_or_default(), number.unwrap_or_default())
    });
    each.filter(|(name, number)| !(name.is_empty() && number.is_empty())).unzip()
}

/// What does not depend on the spelling, examined once.
struct Cells {
    /// Per new colour: is it made in other parts than before?
    made: Vec<bool>,
    /// Per new part: does it look different, and is it at another place of the range?
    parts: Vec<bool>,
    moved: Vec<bool>,
    reordered: bool,
}

impl Cells {
    fn new(old: &Range, new: &Range, pairs: &Pairs) -> Cells {
        let per = |of: &pairs::Match, count: usize, test: &dyn Fn(usize, usize) -> bool| {
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

/// Each family's colours, in the range's order.
fn by_family(range: &Range) -> Vec<Vec<ColourId>> {
    let mut out = vec![Vec::new(); range.families().len()];
    range.colours().iter().enumerate().for_each(|(i, c)| out[c.family().0].push(ColourId(i)));
    out
}

fn sheet_family(
    old: &Shown<'_>,
    new: &Shown<'_>,
    (before, after): &(Print<'_>, Print<'_>),
    is: &SheetFamily,
    pairs: &Pairs,
    cells: &Cells,
) -> BTreeSet<Why> {
    let was = pairs.families.before(is.family().0);
    let was = was.and_then(|o| old.sheet.families().iter().find(|f| f.family().0 == o));
    let Some(was) = was else { return [Why::Shown].into() };
    let mut whys =
        family(before, after, (was.family(), was.rows()), (is.family(), is.rows()), pairs, cells);
    if columns(old.range, was.columns()) != columns(new.range, is.columns()) {
        whys.insert(Why::Columns);
    }
    whys
}

fn family(
    before: &Print<'_>,
    after: &Print<'_>,
    (was, old_rows): (FamilyId, &[ColourId]),
    (is, new_rows): (FamilyId, &[ColourId]),
    pairs: &Pairs,
    cells: &Cells,
) -> BTreeSet<Why> {
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
    note(Why::Heading, heading(before, was) != heading(after, is));
    let place: BTreeMap<usize, usize> =
        old_rows.iter().enumerate().map(|(i, c)| (c.0, i)).collect();
    let mut used = vec![false; after.range.parts().len()];
    let mut last = None;
    let mut stayed = 0;
    for row in new_rows {
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
    note(Why::Gone, stayed < old_rows.len());
    note(Why::Order, cells.reordered && !new_rows.is_empty());
    for n in (0..used.len()).filter(|n| used[*n]) {
        let Some(o) = pairs.parts.before(n) else { continue };
        note(Why::PartNumbers, before.part_numbers[o] != after.part_numbers[n]);
        let title = |print: &Print<'_>, i: usize| (print.say)(print.range.parts()[i].title());
        note(Why::Parts, cells.parts[n] || title(before, o) != title(after, n));
    }
    whys
}

/// Why an edition is due, family by family; `whys` are those of the sheet's families in its spelling.
fn edition(
    old: &Shown<'_>,
    new: &Shown<'_>,
    is: &EditionSpec,
    tag: &str,
    whys: &[BTreeSet<Why>],
    pairs: &Pairs,
) -> Vec<String> {
    let Some(was) = old.sheet.editions().iter().find(|e| e.name() == is.name()) else {
        return vec!["a new edition".into()];
    };
    if !was.spellings().iter().any(|t| t == tag) {
        return vec!["a new spelling of it".into()];
    }
    let mut because = Vec::new();
    let mut note = |why: &str, holds: bool| {
        if holds {
            because.push(why.to_owned());
        }
    };
    let file = |name: &str| old.texts.get(name) != new.texts.get(name);
    note("its layout", was.layout() != is.layout() || file(is.layout()));
    note("the style", old.sheet.style() != new.sheet.style() || file(new.sheet.style()));
    note("the spelling's file", file(tag));
    note("a new format", is.formats().iter().any(|f| !was.formats().contains(f)));
    let (before, after) = (Print::of_sheet(old, tag), Print::of_sheet(new, tag));
    for (why, said) in [
        ("the title block", title_block as fn(&SheetSpec, &Print<'_>) -> Vec<String>),
        ("the notes", |sheet, print| sheet.notes().iter().map(|w| print.filled(w)).collect()),
        ("the imprint", imprint),
        ("what is left out", left_out),
        ("the legend", legend),
    ] {
        note(why, said(old.sheet, &before) != said(new.sheet, &after));
    }
    let shown = |spec: &EditionSpec, sheet: &SheetSpec| -> Vec<usize> {
        let each = sheet.families().iter().map(|f| f.family());
        let limited = spec.families();
        each.filter(|f| limited.is_empty() || limited.contains(f)).map(|f| f.0).collect()
    };
    let (old_families, new_families) = (shown(was, old.sheet), shown(is, new.sheet));
    let mapped: Vec<Option<usize>> =
        old_families.iter().map(|o| pairs.families.after(*o)).collect();
    let now: Vec<Option<usize>> = new_families.iter().copied().map(Some).collect();
    note("which families it shows", mapped != now);
    note(
        "the look-alikes",
        look_alikes(old, &old_families, &before) != look_alikes(new, &new_families, &after),
    );
    for (i, shown) in new.sheet.families().iter().enumerate() {
        let family = shown.family();
        if new_families.contains(&family.0) && !whys[i].is_empty() {
            let key = new.range.family(family).key();
            because.push(format!("{key}: {}", words(&whys[i]).join(", ")));
        }
    }
    because
}

/// The clusters as the panel prints them: colours, names, numbers and words.
fn look_alikes(shown: &Shown<'_>, families: &[usize], print: &Print<'_>) -> Vec<String> {
    let each = shown.sheet.families().iter().filter(|f| families.contains(&f.family().0));
    let colours = each.flat_map(|f| f.rows()).copied();
    let clusters = closest(shown.range, shown.sheet, colours, &*print.say, &shown.work);
    let line = |cluster: &ClusterFacts| {
        let colours = cluster.colours.iter().map(|c| {
            format!("{} {} {}", shown.range.colour(c.colour).rgb().hex(), c.words.1, c.words.0)
        });
        format!("{} {:?}", colours.collect::<Vec<_>>().join(", "), cluster.differs)
    };
    clusters.iter().map(line).collect()
}

fn title_block(sheet: &SheetSpec, print: &Print<'_>) -> Vec<String> {
    vec![
        (print.say)(print.range.maker()),
        print.filled(sheet.title()),
        print.filled(sheet.subtitle()),
        (print.say)(sheet.corner_text()),
        (print.say)(sheet.edition_line()),
    ]
}

/// A sheet without an imprint prints its release.
fn imprint(sheet: &SheetSpec, print: &Print<'_>) -> Vec<String> {
    if sheet.imprint().is_empty() {
        return vec![(print.say)(print.range.release())];
    }
    sheet.imprint().iter().map(|w| print.filled(w)).collect()
}

/// Names and reasons as the footnote prints them.
fn left_out(sheet: &SheetSpec, print: &Print<'_>) -> Vec<String> {
    let printed = sheet.left_out().iter().filter_map(|l| l.reason().as_ref().map(|r| (l, r)));
    let line = printed.map(|(left, reason)| {
        let colour = print.range.colour(left.colour());
        let name = colour.names().iter().flatten().next().map(&print.say);
        format!("{}, {}", name.as_ref().unwrap_or(colour.key()), (print.say)(reason))
    });
    line.collect()
}

/// What the legend shows and no row does: the parts that the sheet names for it, and the titles of
/// the listings. The parts that it chooses follow from the rows.
fn legend(sheet: &SheetSpec, print: &Print<'_>) -> Vec<String> {
    let listings = print.range.listings();
    let named = sheet.centre().iter().map(|l| (print.say)(listings[l.listing.0].title()));
    let named = named.filter(|_| listings.len() > 1);
    std::iter::once(part_keys(print.range, sheet.legend_parts())).chain(named).collect()
}
