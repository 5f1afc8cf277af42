//! Two sheets: what they show, their words, and their editions.

use std::collections::{BTreeMap, BTreeSet};

use super::change::{About, Change, ChangeKind, What, some};
use super::compared::ComparedSheet;
use super::pairs::Pairs;
use crate::diag::Located;
use crate::range::{
    CentreLine, ColourId, ColourRange, Columns, EditionSpec, Panel, PaperSource, PaperSpec, PartId,
    Pictures, RenderingIntent, SheetFamily, SheetSpec, Words,
};

/// Words first, then families and colours, then editions.
pub(super) fn changes(
    old: &ComparedSheet<'_>,
    new: &ComparedSheet<'_>,
    pairs: &Pairs,
) -> Vec<Change> {
    let mut out = Vec::new();
    sheet_words(old.sheet, new.sheet, &mut out);
    choices(old, new, &mut out);
    files(old, new, &mut out);
    families(old, new, pairs, &mut out);
    colours(old, new, pairs, &mut out);
    editions(old, new, pairs, &mut out);
    out
}

fn on_sheet<'a>(key: &'a str, name: &'a str, out: &'a mut Vec<Change>) -> About<'a> {
    About { what: What::Sheet, key, name, out }
}

fn sheet_words(old: &SheetSpec, new: &SheetSpec, out: &mut Vec<Change>) {
    for (key, was, is) in [
        ("title", old.title(), new.title()),
        ("subtitle", old.subtitle(), new.subtitle()),
        ("corner_text", old.corner_text(), new.corner_text()),
        ("edition_line", old.edition_line(), new.edition_line()),
    ] {
        on_sheet(key, key, out).words(ChangeKind::Changed, None, Some(was), Some(is));
    }
    lines("notes", old.notes(), new.notes(), out);
    lines("imprint", old.imprint(), new.imprint(), out);
}

/// Lists of one length are compared line by line; else what is only in one of them is reported.
fn lines(key: &str, old: &[Located<Words>], new: &[Located<Words>], out: &mut Vec<Change>) {
    let mut about = on_sheet(key, key, out);
    if old.len() == new.len() {
        for (was, is) in old.iter().zip(new) {
            about.words(ChangeKind::Changed, None, Some(was), Some(is));
        }
        return;
    }
    for is in new.iter().filter(|w| !old.contains(w)) {
        about.push(ChangeKind::New, None, some(&is.text));
    }
    for was in old.iter().filter(|w| !new.contains(w)) {
        about.push(ChangeKind::Withdrawn, some(&was.text), None);
    }
}

fn choices(old: &ComparedSheet<'_>, new: &ComparedSheet<'_>, out: &mut Vec<Change>) {
    let year = |s: &SheetSpec| s.year().map(|y| y.to_string()).unwrap_or_default();
    let issue_date = |s: &SheetSpec| s.issue_date().map(|d| d.to_string()).unwrap_or_default();
    let headings = |s: &ComparedSheet<'_>| s.range.listings()[s.sheet.headings().0].key().clone();
    let legend = |s: &ComparedSheet<'_>| part_keys(s.range, s.sheet.legend_parts());
    let light = |s: &SheetSpec| s.light().word();
    let panel = |s: &SheetSpec| {
        let words = |p: Panel| format!("{} pairs up to {} dE00", p.show, p.limit);
        s.lookalikes().map(words).unwrap_or_default()
    };
    for (key, was, is) in [
        ("style", old.sheet.style().value.clone(), new.sheet.style().value.clone()),
        ("pictures", pictures(old.sheet), pictures(new.sheet)),
        ("year", year(old.sheet), year(new.sheet)),
        ("issue_date", issue_date(old.sheet), issue_date(new.sheet)),
        ("papers", papers(old.sheet), papers(new.sheet)),
        ("headings", headings(old), headings(new)),
        ("centre", centre(old.range, old.sheet.centre()), centre(new.range, new.sheet.centre())),
        ("legend_parts", legend(old), legend(new)),
        ("lookalikes", panel(old.sheet), panel(new.sheet)),
        ("light", light(old.sheet).to_owned(), light(new.sheet).to_owned()),
    ] {
        on_sheet(key, key, out).text(ChangeKind::Changed, &was, &is);
    }
}

/// 'pictures (1121)'.
fn pictures(sheet: &SheetSpec) -> String {
    let said = |p: &Pictures| format!("{} ({})", p.folder().value, p.by_sample().len());
    sheet.pictures().as_ref().map(said).unwrap_or_default()
}

/// 'matte (matte.icc, srgb)'.
fn papers(sheet: &SheetSpec) -> String {
    let one = |p: &PaperSpec| {
        let source = match &p.source().value {
            PaperSource::Model(model) => model.name(),
            PaperSource::Profile(file) => file,
        };
        let mut reported = vec![source.to_owned()];
        reported.extend(p.colour_mode().map(|c| c.word().to_owned()));
        reported.extend(
            (p.rendering_intent() != RenderingIntent::default()).then(|| "perceptual".to_owned()),
        );
        reported.extend(p.ink_limit().map(|i| format!("{i} % ink")));
        reported.extend(p.condition().value.clone());
        reported.extend(p.values().value.clone());
        format!("{} ({})", p.name(), reported.join(", "))
    };
    sheet.papers().iter().map(one).collect::<Vec<_>>().join(", ")
}

/// 'works name number, dealer name'.
fn centre(range: &ColourRange, lines: &[CentreLine]) -> String {
    let line = |l: &CentreLine| {
        let name = if l.name { " name" } else { "" };
        let number = if l.number { " number" } else { "" };
        format!("{}{name}{number}", range.listings()[l.listing.0].key())
    };
    lines.iter().map(line).collect::<Vec<_>>().join(", ")
}

/// Files of the sheet's own that kept their name but not their text.
fn files(old: &ComparedSheet<'_>, new: &ComparedSheet<'_>, out: &mut Vec<Change>) {
    for (name, text) in &new.texts {
        if old.texts.get(name).is_some_and(|before| before != text) {
            on_sheet(name, name, out).push(ChangeKind::Changed, None, Some("another text".into()));
        }
    }
}

fn families(
    old: &ComparedSheet<'_>,
    new: &ComparedSheet<'_>,
    pairs: &Pairs,
    out: &mut Vec<Change>,
) {
    let about = |range: &ColourRange, family: usize, kind: ChangeKind, out: &mut Vec<Change>| {
        let family = &range.families()[family];
        About { what: What::Family, key: family.key(), name: &family.title().text, out }
            .push(kind, None, None);
    };
    let place: BTreeMap<usize, usize> =
        old.sheet.families().iter().enumerate().map(|(i, f)| (f.family().0, i)).collect();
    let mut places = Vec::new();
    for shown in new.sheet.families() {
        let family = shown.family().0;
        let Some(was) = pairs.families.before(family).and_then(|o| place.get(&o).copied()) else {
            about(new.range, family, ChangeKind::Shown, out);
            continue;
        };
        places.push(was);
        let was = &old.sheet.families()[was];
        let family = &new.range.families()[family];
        let mut about =
            About { what: What::Family, key: family.key(), name: &family.title().text, out };
        let (before, after) =
            (columns(old.range, was.columns()), columns(new.range, shown.columns()));
        about.text(ChangeKind::Changed, &before, &after);
        let (before, after) = (order(old.range, was), order(new.range, shown));
        about.text(ChangeKind::Changed, &before, &after);
    }
    let now: BTreeSet<usize> = new.sheet.families().iter().map(|f| f.family().0).collect();
    for shown in old.sheet.families() {
        let family = shown.family().0;
        if !pairs.families.after(family).is_some_and(|n| now.contains(&n)) {
            about(old.range, family, ChangeKind::Hidden, out);
        }
    }
    if !places.is_sorted() {
        on_sheet("families", "families", out).push(
            ChangeKind::Order,
            None,
            Some("in another order".into()),
        );
    }
}

/// The arrangement of a family's parts, in words with part keys.
pub(super) fn columns(range: &ColourRange, columns: &Columns) -> String {
    match columns {
        Columns::Choose { from: None } => "columns chosen from all parts".into(),
        Columns::Choose { from: Some(parts) } => {
            format!("columns chosen from {}", part_keys(range, parts))
        }
        Columns::Given { left, right } => {
            format!("columns {} | {}", part_keys(range, left), part_keys(range, right))
        }
        Columns::Loose => "loose rows".into(),
    }
}

/// 'order: neighbours from gannet'.
fn order(range: &ColourRange, shown: &SheetFamily) -> String {
    let from = shown.first().map(|c| format!(" from {}", range.colour(c).key()));
    format!("order: {}{}", shown.order().word(), from.unwrap_or_default())
}

pub(super) fn part_keys(range: &ColourRange, parts: &[PartId]) -> String {
    parts.iter().map(|p| range.part(*p).key().as_str()).collect::<Vec<_>>().join(" ")
}

/// Colours of both ranges that came onto the sheet or went off it. New and
/// withdrawn ones are reported as such, and a whole family is reported as a family.
fn colours(old: &ComparedSheet<'_>, new: &ComparedSheet<'_>, pairs: &Pairs, out: &mut Vec<Change>) {
    let (before, after) = (rows(old.sheet), rows(new.sheet));
    let shows = |s: &SheetSpec, family: Option<usize>| {
        family.is_some_and(|f| s.families().iter().any(|shown| shown.family().0 == f))
    };
    let was_shown = |family: usize| shows(old.sheet, pairs.families.before(family));
    let is_shown = |family: usize| shows(new.sheet, pairs.families.after(family));
    let mut about = |range: &ColourRange, id: ColourId, kind: ChangeKind| {
        let colour = range.colour(id);
        About { what: What::Colour, key: colour.key(), name: colour.any_name(), out }
            .push(kind, None, None);
    };
    for (o, n) in pairs.colours.both() {
        match (before.contains(&ColourId(o)), after.contains(&ColourId(n))) {
            (false, true) if was_shown(new.range.colours()[n].family().0) => {
                about(new.range, ColourId(n), ChangeKind::Shown);
            }
            (true, false) if is_shown(old.range.colours()[o].family().0) => {
                about(new.range, ColourId(n), ChangeKind::Hidden);
            }
            _ => {}
        }
    }
    let reasons: BTreeMap<ColourId, Option<&Words>> =
        old.sheet.left_out().iter().map(|l| (l.colour(), l.reason().as_ref())).collect();
    for left in new.sheet.left_out() {
        let was = pairs.colours.before(left.colour().0).and_then(|o| reasons.get(&ColourId(o)));
        if let Some(was) = was {
            let name = new.range.colour(left.colour()).any_name();
            let about = &mut on_sheet("leave_out", name, out);
            about.words(ChangeKind::Changed, None, *was, left.reason().as_ref());
        }
    }
}

/// Every colour that a sheet shows.
pub(super) fn rows(sheet: &SheetSpec) -> BTreeSet<ColourId> {
    sheet.families().iter().flat_map(|f| f.rows()).copied().collect()
}

fn editions(
    old: &ComparedSheet<'_>,
    new: &ComparedSheet<'_>,
    pairs: &Pairs,
    out: &mut Vec<Change>,
) {
    let about = |e: &EditionSpec, kind: ChangeKind, out: &mut Vec<Change>| {
        let layout = Some(e.layout().value.clone());
        let (was, is) = if kind == ChangeKind::New { (None, layout) } else { (layout, None) };
        About { what: What::Edition, key: e.name(), name: e.name(), out }.push(kind, was, is);
    };
    for is in new.sheet.editions() {
        let Some(was) = old.sheet.editions().iter().find(|e| e.name() == is.name()) else {
            about(is, ChangeKind::New, out);
            continue;
        };
        let formats = |e: &EditionSpec| {
            let words: Vec<String> =
                e.formats().iter().map(|f| format!("{f:?}").to_lowercase()).collect();
            words.join(" ")
        };
        let only = |e: &EditionSpec| e.only().map(|_| "drawings".to_owned()).unwrap_or_default();
        for (field, was, is_now) in [
            ("layout", was.layout().value.clone(), is.layout().value.clone()),
            ("spellings", was.spellings().join(" "), is.spellings().join(" ")),
            ("formats", formats(was), formats(is)),
            ("only", only(was), only(is)),
            (
                "families",
                family_keys(old, was, |f| {
                    pairs.families.after(f).map(|n| &new.range.families()[n])
                }),
                family_keys(new, is, |f| Some(&new.range.families()[f])),
            ),
        ] {
            About { what: What::Edition, key: is.name(), name: field, out }.text(
                ChangeKind::Changed,
                &was,
                &is_now,
            );
        }
    }
    for was in old.sheet.editions() {
        if !new.sheet.editions().iter().any(|e| e.name() == was.name()) {
            about(was, ChangeKind::Withdrawn, out);
        }
    }
}

/// The families that an edition is limited to, by the key `named` gives, else their own.
fn family_keys<'a>(
    shown: &ComparedSheet<'_>,
    edition: &EditionSpec,
    named: impl Fn(usize) -> Option<&'a crate::range::Family>,
) -> String {
    let key = |f: &crate::range::FamilyId| {
        named(f.0).map_or_else(|| shown.range.family(*f).key().clone(), |f| f.key().clone())
    };
    edition.families().iter().map(key).collect::<Vec<_>>().join(" ")
}
