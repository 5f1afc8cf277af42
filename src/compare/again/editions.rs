//! Why an edition is due.

use std::collections::BTreeSet;

use super::families::{Why, words};
use super::print::Print;
use crate::compare::compared::ComparedSheet;
use crate::compare::pairs::Pairs;
use crate::compare::sheets::part_keys;
use crate::plan::facts::{ClusterFacts, closest};
use crate::range::{ColourId, EditionSpec, SheetSpec};

/// Two sheets, and what belongs together of their ranges.
#[derive(Clone, Copy)]
pub(super) struct Sheets<'a> {
    pub(super) old: &'a ComparedSheet<'a>,
    pub(super) new: &'a ComparedSheet<'a>,
    pub(super) pairs: &'a Pairs,
}

/// Why an edition is due, family by family; `whys` are those of the sheet's families in its spelling.
pub(super) fn edition(
    sheets: &Sheets<'_>,
    is: &EditionSpec,
    tag: &str,
    whys: &[BTreeSet<Why>],
) -> Vec<String> {
    let Sheets { old, new, pairs } = *sheets;
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
    note("the pictures", pictures(old, was) != pictures(new, is));
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

/// The pictures that an edition shows: by keys of part and colour, the file's digest and its place.
fn pictures(shown: &ComparedSheet<'_>, spec: &EditionSpec) -> Vec<String> {
    if spec.only().is_some() {
        return Vec::new();
    }
    let families = spec.families();
    let on_it = |colour: ColourId| {
        families.is_empty() || families.contains(&shown.range.colour(colour).family())
    };
    let all = shown.sheet.pictures().iter().flat_map(|pictures| pictures.by_sample());
    let all = all.filter(|((_, colour), _)| on_it(*colour));
    let mut out: Vec<String> = all
        .map(|((part, colour), picture)| {
            let (part, colour) = (shown.range.part(*part).key(), shown.range.colour(*colour).key());
            let (digest, frame) = (picture.image().digest, picture.frame());
            format!("{part} {colour} {digest:?} {frame:?}")
        })
        .collect();
    out.sort_unstable();
    out
}

/// The clusters as the panel prints them: colours, names, numbers and words.
fn look_alikes(shown: &ComparedSheet<'_>, families: &[usize], print: &Print<'_>) -> Vec<String> {
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
