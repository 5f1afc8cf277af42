//! The changes as tables for the terminal, as CSV and JSON for machines, and
//! as a release note for people.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use super::again::Due;
use super::{Change, ChangeKind, Changes, MadeChange, What};
use crate::range::ColourRange;
use crate::table::{Align, Table};

/// The report when nothing differs.
pub const NOTHING: &str = "Nothing changed.\n";

/// Titles by key, as people read them, of both releases.
#[derive(Debug, Default)]
pub struct Titles {
    listings: BTreeMap<String, String>,
    families: BTreeMap<String, String>,
    parts: BTreeMap<String, String>,
}

impl Titles {
    /// The new title counts where both have one.
    pub fn new(old: &ColourRange, new: &ColourRange) -> Titles {
        let mut titles = Titles::default();
        for range in [old, new] {
            for listing in range.listings() {
                titles.listings.insert(listing.key().clone(), listing.title().text.clone());
            }
            for family in range.families() {
                titles.families.insert(family.key().clone(), family.title().text.clone());
            }
            for part in range.parts() {
                let number = part.numbers().iter().flatten().next().map(String::as_str);
                let title = Some(part.title().text.as_str()).filter(|t| !t.is_empty());
                let words = [title, number].into_iter().flatten().collect::<Vec<_>>().join(" ");
                let words = if words.is_empty() { part.key().clone() } else { words };
                titles.parts.insert(part.key().clone(), words);
            }
        }
        titles
    }
}

fn title<'a>(of: &'a BTreeMap<String, String>, key: &'a str) -> &'a str {
    of.get(key).map_or(key, String::as_str)
}

/// The whole as JSON with a final line end.
pub fn json(changes: &Changes) -> String {
    let mut text = serde_json::to_string_pretty(changes).unwrap_or_default();
    text.push('\n');
    text
}

/// One change a line, then what is due.
pub fn csv(changes: &Changes) -> String {
    let mut table = Table::new(
        &["kind", "what", "key", "listing", "old", "new", "dE00", "spelling", "name"]
            .map(|head| (head, Align::Left)),
    );
    for c in changes.each() {
        let text = |t: &Option<String>| t.clone().unwrap_or_default();
        table.row([
            c.kind.word().to_owned(),
            c.what.word().to_owned(),
            c.key.clone(),
            text(&c.listing),
            text(&c.old),
            text(&c.new),
            c.de00.map(|de| format!("{de:.4}")).unwrap_or_default(),
            text(&c.spelling),
            c.name.clone(),
        ]);
    }
    for made in &changes.made {
        for part in &made.newly {
            table.row(["newly-made", "made", &made.colour, "", "", part, "", "", &made.name]);
        }
        for part in &made.no_longer {
            table.row(["no-longer-made", "made", &made.colour, "", part, "", "", "", &made.name]);
        }
        for y in &made.years {
            let (key, name) = (&made.colour, &made.name);
            let (old, new) = (format!("{} {}", y.part, y.old), format!("{} {}", y.part, y.new));
            table.row(["made-years", "made", key, "", &old, &new, "", "", name]);
        }
    }
    let again = &changes.again;
    for (what, list) in [("family", &again.families), ("edition", &again.editions)] {
        for due in list {
            let spelling = due.spelling.as_deref().unwrap_or("");
            let because = due.because.join("; ");
            table.row(["again", what, &due.key, "", "", &because, "", spelling, ""]);
        }
    }
    again.labels.iter().for_each(|key| table.row(["again", "label", key]));
    table.csv()
}

/// Sections of tables.
pub fn text(changes: &Changes) -> String {
    if changes.is_empty() {
        return NOTHING.to_owned();
    }
    let mut out = format!("{}\n", from_to(changes));
    for (head, list) in sections(changes) {
        section(&mut out, head, list.len(), change_table(list));
    }
    let summary = made_summary(changes);
    let mut table = Table::new(&[
        ("colour", Align::Left),
        ("name", Align::Left),
        ("newly made", Align::Left),
        ("no longer made", Align::Left),
        ("in other years", Align::Left),
    ]);
    for (made, newly, no_longer) in &summary {
        let years = years_said(made, |part| part.to_owned());
        let cells = [newly.join(" "), no_longer.join(" "), years.join("; ")];
        table.row([&made.colour, &made.name, &cells[0], &cells[1], &cells[2]]);
    }
    section(&mut out, "Availability", summary.len(), table);
    let again = &changes.again;
    let mut table = Table::new(&["", "key", "spelling", "because"].map(|head| (head, Align::Left)));
    for (what, list) in [("family", &again.families), ("edition", &again.editions)] {
        for due in list {
            let spelling = due.spelling.as_deref().unwrap_or("");
            table.row([what, &due.key, spelling, &due.because.join("; ")]);
        }
    }
    section(&mut out, "To make again", table.len(), table);
    if !again.labels.is_empty() {
        let _ = write!(out, "\nLabels to make again ({})\n\n", again.labels.len());
        out.push_str(&wrapped(&again.labels));
    }
    out
}

fn sections(changes: &Changes) -> [(&'static str, &[Change]); 5] {
    [
        ("Colours", &changes.colours),
        ("Range and listings", &changes.listings),
        ("Families", &changes.families),
        ("Parts", &changes.parts),
        ("Sheet", &changes.sheet),
    ]
}

fn section(out: &mut String, head: &str, count: usize, table: Table) {
    if count > 0 {
        let _ = write!(out, "\n{head} ({count})\n\n{}", table.text());
    }
}

/// Only the columns that have content.
fn change_table(list: &[Change]) -> Table {
    let spelt = |c: &Change| match (&c.listing, &c.spelling) {
        (Some(listing), Some(tag)) => format!("{listing} {tag}"),
        (listing, tag) => listing.iter().chain(tag).cloned().collect(),
    };
    let old = |c: &Change| c.old.clone().unwrap_or_default();
    let de00 = |c: &Change| c.de00.map(|de| format!("{de:.2}")).unwrap_or_default();
    let mut head = vec![
        ("change", Align::Left),
        ("key", Align::Left),
        ("name", Align::Left),
        ("listing", Align::Left),
        ("old", Align::Left),
        ("new", Align::Left),
        ("dE00", Align::Right),
    ];
    let used = [
        true,
        true,
        true,
        list.iter().any(|c| !spelt(c).is_empty()),
        list.iter().any(|c| c.old.is_some()),
        list.iter().any(|c| c.new.is_some()),
        list.iter().any(|c| c.de00.is_some()),
    ];
    let keep = |cells: Vec<String>| -> Vec<String> {
        cells.into_iter().zip(used).filter_map(|(cell, used)| used.then_some(cell)).collect()
    };
    let mut shown = used.into_iter();
    head.retain(|_| shown.next().unwrap_or(true));
    let mut table = Table::new(&head);
    for c in list {
        table.row(keep(vec![
            if c.what == What::Sheet || c.kind == ChangeKind::Order || c.what == What::Range {
                c.kind.word().to_owned()
            } else {
                qualified(c)
            },
            c.key.clone(),
            if c.name == c.key { String::new() } else { c.name.clone() },
            spelt(c),
            old(c),
            c.new.clone().unwrap_or_default(),
            de00(c),
        ]));
    }
    table
}

/// A sheet's list has families, colours and editions together.
fn qualified(c: &Change) -> String {
    match (c.what, c.kind) {
        (What::Edition, _) | (_, ChangeKind::Shown | ChangeKind::Hidden) => {
            format!("{} {}", c.what.word(), c.kind.word())
        }
        _ => c.kind.word().to_owned(),
    }
}

/// A change of availability with the parts that a summary names.
type Summary<'a> = (&'a MadeChange, Vec<&'a str>, Vec<&'a str>);

/// Without those of new and withdrawn colours and parts themselves.
fn made_summary(changes: &Changes) -> Vec<Summary<'_>> {
    fn keys(list: &[Change]) -> BTreeSet<&str> {
        let fresh =
            list.iter().filter(|c| matches!(c.kind, ChangeKind::New | ChangeKind::Withdrawn));
        fresh.map(|c| c.key.as_str()).collect()
    }
    let (colours, parts) = (keys(&changes.colours), keys(&changes.parts));
    let each = changes.made.iter().filter(|m| !colours.contains(m.colour.as_str()));
    let named = each.map(|m| (m, without(&m.newly, &parts), without(&m.no_longer, &parts)));
    named
        .filter(|(m, newly, no_longer)| {
            !newly.is_empty() || !no_longer.is_empty() || !m.years.is_empty()
        })
        .collect()
}

/// 'b9 1990-2001, was always' for each part made in other years.
fn years_said(made: &MadeChange, part: impl Fn(&str) -> String) -> Vec<String> {
    made.years.iter().map(|y| format!("{} {}, was {}", part(&y.part), y.new, y.old)).collect()
}

fn without<'a>(list: &'a [String], parts: &BTreeSet<&str>) -> Vec<&'a str> {
    list.iter().map(String::as_str).filter(|key| !parts.contains(key)).collect()
}

/// 'Release 6 to Release 7', by the words that exist.
fn from_to(changes: &Changes) -> String {
    let said = |release: &str, other: &str| {
        if release.is_empty() { other.to_owned() } else { release.to_owned() }
    };
    let old = said(&changes.old.release, "the old release");
    let new = said(&changes.new.release, "the new release");
    format!("From {old} to {new}")
}

/// Keys in lines of at most 78 characters.
fn wrapped(keys: &[String]) -> String {
    let mut out = String::new();
    let mut length = 0;
    for key in keys {
        let count = key.chars().count();
        if length > 0 && length + 1 + count > 78 {
            out.push('\n');
            length = 0;
        }
        if length > 0 {
            out.push(' ');
            length += 1;
        }
        out.push_str(key);
        length += count;
    }
    out.push('\n');
    out
}

/// A release note in plain words.
pub fn markdown(changes: &Changes, titles: &Titles) -> String {
    let mut out = format!("# {}\n", escaped(&from_to(changes)));
    if changes.is_empty() {
        let _ = write!(out, "\n{NOTHING}");
        return out;
    }
    colours_note(&mut out, changes, titles);
    made_note(&mut out, changes, titles);
    let sentence = |c: &Change| sentence(c, titles);
    list(&mut out, "Parts", changes.parts.iter().map(sentence));
    list(&mut out, "Families", changes.families.iter().map(sentence));
    list(&mut out, "Maker, release and listings", changes.listings.iter().map(sentence));
    list(&mut out, "The sheet", changes.sheet.iter().map(sentence));
    again_note(&mut out, changes, titles);
    out
}

fn list(out: &mut String, head: &str, lines: impl Iterator<Item = String>) {
    let lines: Vec<String> = lines.collect();
    if !lines.is_empty() {
        let _ = write!(out, "\n## {head}\n\n");
        lines.iter().for_each(|line| {
            let _ = writeln!(out, "- {line}");
        });
    }
}

/// Colours by what happened to them.
fn colours_note(out: &mut String, changes: &Changes, titles: &Titles) {
    const HEADS: [(&str, &[ChangeKind]); 8] = [
        ("New colours", &[ChangeKind::New, ChangeKind::Back]),
        ("Withdrawn colours", &[ChangeKind::Withdrawn, ChangeKind::Ending]),
        ("Renamed", &[ChangeKind::Renamed]),
        ("Renumbered", &[ChangeKind::Renumbered]),
        ("Changed colour values", &[ChangeKind::Revalued]),
        ("Changed families or finishes", &[ChangeKind::Moved, ChangeKind::Finish]),
        ("Other years", &[ChangeKind::Years]),
        ("Other notes and keys", &[ChangeKind::Note, ChangeKind::Rekeyed]),
    ];
    for (head, kinds) in HEADS {
        let these = changes.colours.iter().filter(|c| kinds.contains(&c.kind));
        list(out, head, these.map(|c| sentence(c, titles)));
    }
}

/// One change as a sentence.
fn sentence(c: &Change, titles: &Titles) -> String {
    let (old, new) = (c.old.as_deref(), c.new.as_deref());
    let place = match (&c.listing, &c.spelling) {
        (Some(listing), Some(tag)) => {
            format!(" in {}, {tag}", escaped(title(&titles.listings, listing)))
        }
        (Some(listing), None) => format!(" in {}", escaped(title(&titles.listings, listing))),
        (None, Some(tag)) => format!(" in {tag}"),
        (None, None) => String::new(),
    };
    let name = strong(c);
    let (o, n) = (escaped(old.unwrap_or("")), escaped(new.unwrap_or("")));
    // From, to, or both.
    let turned = |was: &str, is: &str| match (old, new) {
        (Some(_), Some(_)) => format!("{was} → {is}"),
        (None, Some(_)) => format!("now {is}"),
        (Some(_), None) => format!("no longer {was}"),
        (None, None) => String::new(),
    };
    let family = |key: Option<&str>| escaped(title(&titles.families, key.unwrap_or("")));
    match (c.what, c.kind) {
        (What::Colour, ChangeKind::New) => format!("{name}: {n}"),
        (What::Colour, ChangeKind::Withdrawn) => format!("{name}: {o}"),
        (What::Colour, ChangeKind::Back) => format!("{name}: made again, {}", lasting(&n)),
        (What::Colour, ChangeKind::Ending) => format!("{name}: sold {n}"),
        (What::Colour, ChangeKind::Moved) => {
            format!("{name}: {}", turned(&family(old), &family(new)))
        }
        (What::Colour, ChangeKind::Revalued) => {
            let de = c.de00.map(|de| format!(" (ΔE00 {de:.1})")).unwrap_or_default();
            format!("{name}: {}{de}", turned(&o, &n))
        }
        (What::Colour, ChangeKind::Renamed | ChangeKind::Renumbered | ChangeKind::Years) => {
            format!("{name}{place}: {}", turned(&o, &n))
        }
        (_, ChangeKind::Shown) => format!("{} {name}: newly shown", c.what.word()),
        (_, ChangeKind::Hidden) => format!("{} {name}: no longer shown", c.what.word()),
        (What::Edition, ChangeKind::Changed) => {
            format!("edition **{}**, {}: {}", escaped(&c.key), escaped(&c.name), turned(&o, &n))
        }
        (What::Edition, kind) => format!("edition {name}: {} ({o}{n})", kind.word()),
        (_, ChangeKind::Order) if c.key.is_empty() => {
            format!("the {} are in another order", plural(c.what))
        }
        (_, ChangeKind::New) => format!("{name}: new, {n}"),
        (_, ChangeKind::Withdrawn) => format!("{name}: withdrawn, {o}"),
        (_, ChangeKind::Order) => format!("{name}: {n}"),
        (_, ChangeKind::Changed) => format!("{name}{place}: {}", turned(&o, &n)),
        (_, kind) => format!("{name}, {}{place}: {}", plain(kind), turned(&o, &n)),
    }
}

/// The name, with the key where it differs.
fn strong(c: &Change) -> String {
    if c.name.is_empty() || c.name == c.key {
        return format!("**{}**", escaped(&c.key));
    }
    format!("**{}** ({})", escaped(&c.name), escaped(&c.key))
}

fn lasting(years: &str) -> &str {
    if years.is_empty() { "without an end" } else { years }
}

fn plural(what: What) -> &'static str {
    match what {
        What::Family => "families",
        What::Listing => "listings",
        What::Part => "parts",
        What::Colour => "colours",
        What::Range | What::Sheet | What::Edition => "lines",
    }
}

/// A kind of change as a noun.
fn plain(kind: ChangeKind) -> &'static str {
    match kind {
        ChangeKind::Renamed => "name",
        ChangeKind::Renumbered => "number",
        ChangeKind::Shape => "outline",
        ChangeKind::Rekeyed => "key",
        other => other.word(),
    }
}

fn made_note(out: &mut String, changes: &Changes, titles: &Titles) {
    let parts = |keys: &[&str]| {
        let each = keys.iter().map(|key| escaped(title(&titles.parts, key)));
        each.collect::<Vec<_>>().join(", ")
    };
    let lines = made_summary(changes).into_iter().map(|(made, newly, no_longer)| {
        let said = [("now also in", newly), ("no longer in", no_longer)].into_iter();
        let said = said.filter(|(_, keys)| !keys.is_empty());
        let mut said: Vec<String> =
            said.map(|(how, keys)| format!("{how} {}", parts(&keys))).collect();
        said.extend(years_said(made, |part| escaped(title(&titles.parts, part))));
        format!("**{}** ({}): {}", escaped(&made.name), escaped(&made.colour), said.join("; "))
    });
    list(out, "Availability", lines);
}

fn again_note(out: &mut String, changes: &Changes, titles: &Titles) {
    let because = |due: &Due| escaped(&due.because.join("; "));
    let again = &changes.again;
    let families = again
        .families
        .iter()
        .map(|due| format!("**{}**: {}", escaped(title(&titles.families, &due.key)), because(due)));
    list(out, "Families to make again", families);
    let editions = again.editions.iter().map(|due| {
        let tag = due.spelling.as_deref().unwrap_or("");
        format!("**{}** {tag}: {}", escaped(&due.key), because(due))
    });
    list(out, "Editions to make again", editions);
    if !again.labels.is_empty() {
        let keys: Vec<String> = again.labels.iter().map(|key| escaped(key)).collect();
        let _ = write!(out, "\n## Labels to make again\n\n{}\n", keys.join(", "));
    }
}

/// Text without Markdown markup.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if matches!(c, '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '&') {
            out.push('\\');
        }
        out.push(c);
    }
    out
}
