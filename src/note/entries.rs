//! The note in words: names and numbers as the sheet prints them, and what is said of each.

use super::content::{Entry, Group, Note, Picture, Section, Telling};
use crate::colour::lookalike::words;
use crate::compare::buyers::{News, Offer, Was, listing_before};
use crate::plan::facts::part_label;
use crate::range::{CentreLine, ColourId, FamilyId, ListingId, PartId};
use crate::sheet::Sample;
use crate::sheet::words::{difference_words, with_unit};

impl Note {
    /// Puts the news into words.
    pub fn new(news: &News, telling: Telling<'_>) -> Note {
        let say = |key: &str| telling.spelling.phrase(key, &[]);
        let sections = Writer { telling }.sections(news);
        let release = |offer: Offer<'_>| telling.spelling.apply(offer.range.release());
        let (old, new) = (release(telling.old), release(telling.new));
        let releases = match (old.is_empty(), new.is_empty()) {
            (false, false) if old != new => {
                telling.spelling.phrase("note_since", &[("new", &new), ("old", &old)])
            }
            _ => new,
        };
        Note {
            title: say("note_title"),
            maker: telling.spelling.apply(telling.new.range.maker()),
            releases,
            remark: say(if sections.is_empty() { "note_nothing" } else { "note_print" }),
            sections,
        }
    }
}

/// Entries in one list, if there are any.
fn one_group(entries: Vec<Entry>) -> Vec<Group> {
    let group = Group { title: String::new(), picture: None, entries };
    if group.entries.is_empty() { Vec::new() } else { vec![group] }
}

/// Writes the sections.
struct Writer<'a> {
    telling: Telling<'a>,
}

/// What is said of a colour besides, a line each.
type Lines<'a> = &'a dyn Fn(ColourId) -> Vec<String>;

impl Writer<'_> {
    /// Sections that have content, in the order in which a buyer asks.
    fn sections(&self, news: &News) -> Vec<Section> {
        let t = self.telling;
        let none = |_: ColourId| Vec::new();
        let made_as = |c: ColourId| self.made_as(c);
        let renamed = |both: Was<ColourId>, entry: &mut Entry| entry.lines = self.renamed(both);
        let shade = |both: Was<ColourId>, entry: &mut Entry| self.shade(both, entry);
        let moved = |both: Was<ColourId>, entry: &mut Entry| {
            let (old, new) = (self.family(t.old, both.0).1, self.family(t.new, both.1).1);
            entry.lines.push(self.say("note_from_to", &[("old", &old), ("new", &new)]));
        };
        let new_parts = news.new_parts.iter().map(|p| self.new_part(*p)).collect();
        let changed_parts = news.changed_parts.iter().map(|p| self.changed_part(*p)).collect();
        let gone_parts = news.gone_parts.iter().map(|p| self.part(t.old, *p)).collect();
        let all = [
            ("note_new", self.colours(&news.new, t.new, &made_as)),
            ("note_back", self.colours(&news.back, t.new, &made_as)),
            ("note_shown", self.colours(&news.shown, t.new, &made_as)),
            ("note_new_parts", one_group(new_parts)),
            ("note_also", self.by_part(&news.also)),
            ("note_renamed", self.changed(&news.renamed, &renamed)),
            ("note_renumbered", self.changed(&news.renumbered, &renamed)),
            ("note_shade", self.changed(&news.shade, &shade)),
            ("note_moved", self.changed(&news.moved, &moved)),
            ("note_changed_parts", one_group(changed_parts)),
            ("note_ending", self.colours(&news.ending, t.new, &|c| self.until(c))),
            ("note_gone", self.colours(&news.gone, t.old, &none)),
            ("note_left_out", self.colours(&news.left_out, t.new, &|c| self.reason(c))),
            ("note_gone_parts", one_group(gone_parts)),
            ("note_no_longer", self.by_part(&news.no_longer)),
        ];
        let all = all.into_iter().filter(|(_, groups)| !groups.is_empty());
        let section = |(key, groups): (&str, Vec<Group>)| Section {
            title: self.say(key, &[]),
            note: if key == "note_shade" {
                self.say("note_shade_note", &[])
            } else {
                String::new()
            },
            groups,
        };
        all.map(section).collect()
    }

    /// Colours of an offer, family by family.
    fn colours(&self, colours: &[ColourId], offer: Offer<'_>, more: Lines<'_>) -> Vec<Group> {
        let each = colours.iter().map(|c| {
            let mut entry = self.colour(offer, *c);
            entry.lines.extend(more(*c));
            (self.family(offer, *c), entry)
        });
        families(each)
    }

    /// Colours of both offers as the new one has them, family by family.
    fn changed(
        &self,
        list: &[Was<ColourId>],
        more: &dyn Fn(Was<ColourId>, &mut Entry),
    ) -> Vec<Group> {
        let each = list.iter().map(|both| {
            let mut entry = self.colour(self.telling.new, both.1);
            more(*both, &mut entry);
            (self.family(self.telling.new, both.1), entry)
        });
        families(each)
    }

    fn say(&self, key: &str, fill: &[(&str, &str)]) -> String {
        self.telling.spelling.phrase(key, fill)
    }

    /// The listing of a line in this offer's range; none where it has no such listing.
    fn listing(&self, offer: Offer<'_>, line: CentreLine) -> Option<ListingId> {
        let new = self.telling.new.range;
        match std::ptr::eq(offer.range, new) {
            true => Some(line.listing),
            false => listing_before(offer.range, new, line.listing),
        }
    }

    /// Number and name of a colour in a line's listing.
    fn words(&self, offer: Offer<'_>, colour: ColourId, line: CentreLine) -> (String, String) {
        let Some(listing) = self.listing(offer, line) else { return Default::default() };
        let colour = offer.range.colour(colour);
        let number = colour.numbers()[listing.0].value.clone().filter(|_| line.number);
        let name = colour.names()[listing.0].as_ref().filter(|_| line.name);
        let name = name.map(|words| self.telling.spelling.apply(words));
        (number.unwrap_or_default(), name.unwrap_or_default())
    }

    /// A colour with all its names and numbers. The first line that has any is its own.
    fn colour(&self, offer: Offer<'_>, colour: ColourId) -> Entry {
        let lines = self.telling.lines.iter();
        let mut said = lines
            .map(|l| (*l, self.words(offer, colour, *l)))
            .filter(|(_, w)| *w != Default::default());
        let (number, name) = match said.next() {
            Some((_, words)) => words,
            None => self.elsewhere(offer, colour),
        };
        let lines =
            said.map(|(line, (number, name))| self.listed(line, &joined(&number, &name))).collect();
        Entry { chips: vec![self.sample(offer, colour)], picture: None, number, name, lines }
    }

    /// A colour of one of the two releases.
    fn sample(&self, offer: Offer<'_>, colour: ColourId) -> Sample {
        let is_new = std::ptr::eq(offer.range, self.telling.new.range);
        if is_new { Sample::of(offer.range, colour) } else { Sample::earlier(offer.range, colour) }
    }

    /// The first number and name of a colour in any listing; the key where there is neither, since an entry needs text.
    fn elsewhere(&self, offer: Offer<'_>, colour: ColourId) -> (String, String) {
        let colour = offer.range.colour(colour);
        let number = colour.numbers().iter().flatten().next().cloned().unwrap_or_default();
        let name = match colour.names().iter().flatten().next() {
            Some(words) => self.telling.spelling.apply(words),
            None if number.is_empty() => colour.key().clone(),
            None => String::new(),
        };
        (number, name)
    }

    /// 'Dealer list: 3-237 Chalk Ledge'.
    fn listed(&self, line: CentreLine, words: &str) -> String {
        let title = self.telling.new.range.listings()[line.listing.0].title();
        let title = self.telling.spelling.apply(title);
        if title.is_empty() { words.to_owned() } else { format!("{title}: {words}") }
    }

    /// Its family: by which it is grouped, and its title.
    fn family(&self, offer: Offer<'_>, colour: ColourId) -> (FamilyId, String) {
        let family = offer.range.colour(colour).family();
        (family, self.telling.spelling.apply(offer.range.family(family).title()))
    }

    /// What each listing called it.
    fn renamed(&self, (was, is): Was<ColourId>) -> Vec<String> {
        let t = self.telling;
        let mut out = Vec::new();
        for (i, line) in t.lines.iter().enumerate() {
            let (before, after) = (self.words(t.old, was, *line), self.words(t.new, is, *line));
            let now = joined(&after.0, &after.1);
            if before == after || before == Default::default() {
                out.extend((i > 0 && !now.is_empty()).then(|| self.listed(*line, &now)));
                continue;
            }
            // Only what differs: the number, the name, or both.
            let other =
                |old: &str, new: &str| if old == new { String::new() } else { old.to_owned() };
            let name = joined(&other(&before.0, &after.0), &other(&before.1, &after.1));
            if name.is_empty() {
                out.extend((i > 0).then(|| self.listed(*line, &now)));
                continue;
            }
            let formerly = self.say("note_formerly", &[("name", &name)]);
            out.push(match i {
                0 => formerly,
                _ if now.is_empty() => self.listed(*line, &formerly),
                _ => self.listed(*line, &format!("{now}, {formerly}")),
            });
        }
        out
    }

    fn shade(&self, (was, is): Was<ColourId>, entry: &mut Entry) {
        let t = self.telling;
        let (before, after) = (t.old.range.colour(was), t.new.range.colour(is));
        entry.chips = vec![self.sample(t.old, was), self.sample(t.new, is)];
        let words = difference_words(t.spelling, &words(before.aim(), after.aim()));
        entry.lines.insert(0, self.say("note_now", &[("words", &words)]));
    }

    fn until(&self, colour: ColourId) -> Vec<String> {
        let year = self.telling.new.range.colour(colour).last_year();
        year.map(|y| self.say("note_until", &[("year", &y.to_string())])).into_iter().collect()
    }

    fn reason(&self, colour: ColourId) -> Vec<String> {
        let left = self.telling.new.sheet.map(|s| s.left_out().as_slice()).unwrap_or_default();
        let reason = left.iter().find(|l| l.colour() == colour).and_then(|l| l.reason().as_ref());
        reason.map(|words| self.telling.spelling.apply(words)).into_iter().collect()
    }

    /// The parts in which a new colour is made, by their numbers.
    fn made_as(&self, colour: ColourId) -> Vec<String> {
        let t = self.telling;
        let parts = (0..t.new.range.parts().len()).map(PartId);
        let made = parts.filter(|p| t.new.range.is_made(colour, *p));
        let numbers: Vec<String> = made.map(|p| self.part_number(t.new, p)).collect();
        let said = (!numbers.is_empty())
            .then(|| self.say("note_made_as", &[("parts", &numbers.join(", "))]));
        said.into_iter().collect()
    }

    /// The number in the first listing, else in any.
    fn part_number(&self, offer: Offer<'_>, part: PartId) -> String {
        let first = self.telling.lines.first().and_then(|l| self.listing(offer, *l));
        let part = offer.range.part(part);
        let own = first.and_then(|l| part.numbers()[l.0].clone());
        let other = || part.numbers().iter().flatten().next().cloned();
        own.or_else(other).unwrap_or_else(|| match offer.sheet {
            Some(sheet) if part.title().text.is_empty() => part_label(part, sheet),
            _ => self.telling.spelling.apply(part.title()),
        })
    }

    fn part(&self, offer: Offer<'_>, part: PartId) -> Entry {
        let title = self.telling.spelling.apply(offer.range.part(part).title());
        let number = self.part_number(offer, part);
        let number = if number == title { String::new() } else { number };
        let size = self.telling.spelling.apply(offer.range.part(part).size());
        let lines = (!size.is_empty()).then(|| with_unit(&size)).into_iter().collect();
        Entry { number, name: title, lines, ..Entry::default() }
    }

    fn new_part(&self, part: PartId) -> Entry {
        let colours = self.colours_of(part);
        let mut entry = self.part(self.telling.new, part);
        entry.picture = self.picture(part, &colours);
        let count = match colours.len() {
            0 => return entry,
            1 => self.say("one_colour", &[]),
            n => self.say("family_count", &[("n", &n.to_string())]),
        };
        entry.lines.push(self.say("note_made_in", &[("count", &count)]));
        entry
    }

    fn changed_part(&self, (was, is): Was<PartId>) -> Entry {
        let t = self.telling;
        let (before, mut entry) = (self.part(t.old, was), self.part(t.new, is));
        entry.picture = self.picture(is, &self.colours_of(is));
        let other = |old: &str, new: &str| if old == new { String::new() } else { old.to_owned() };
        let size = other(&before.lines.join(""), &entry.lines.join(""));
        let words = [other(&before.number, &entry.number), other(&before.name, &entry.name), size];
        let words: Vec<String> = words.into_iter().filter(|w| !w.is_empty()).collect();
        for line in t.lines.iter().skip(1) {
            let number = |offer: Offer<'_>, part: PartId| {
                self.listing(offer, *line)
                    .and_then(|l| offer.range.part(part).numbers()[l.0].clone())
            };
            if let (Some(old), Some(new)) = (number(t.old, was), number(t.new, is))
                && old != new
            {
                let formerly = self.say("note_formerly", &[("name", &old)]);
                entry.lines.push(self.listed(*line, &format!("{new}, {formerly}")));
            }
        }
        if !words.is_empty() {
            entry.lines.push(self.say("note_formerly", &[("name", &words.join(", "))]));
        }
        entry
    }

    /// The colours of the sheet in which a part is made.
    fn colours_of(&self, part: PartId) -> Vec<ColourId> {
        let t = self.telling;
        let shown: Vec<ColourId> = match t.new.sheet {
            Some(sheet) => sheet.families().iter().flat_map(|f| f.rows()).copied().collect(),
            None => (0..t.new.range.colours().len()).map(ColourId).collect(),
        };
        shown.into_iter().filter(|c| t.new.range.is_made(*c, part)).collect()
    }

    /// A part drawn in a colour from the middle of the first family: the first ones are mostly whites.
    fn picture(&self, part: PartId, colours: &[ColourId]) -> Option<Picture> {
        let family = |c: &ColourId| self.telling.new.range.colour(*c).family();
        let first = family(colours.first()?);
        let count = colours.iter().take_while(|c| family(c) == first).count();
        Some(Picture { part, colour: colours[count / 2] })
    }

    fn by_part(&self, list: &[(PartId, Vec<ColourId>)]) -> Vec<Group> {
        let group = |(part, colours): &(PartId, Vec<ColourId>)| {
            let entry = self.part(self.telling.new, *part);
            let size = entry.lines.first().map(|s| format!(", {s}")).unwrap_or_default();
            Group {
                title: joined(&entry.number, &entry.name) + &size,
                picture: self.picture(*part, colours),
                entries: colours.iter().map(|c| self.colour(self.telling.new, *c)).collect(),
            }
        };
        list.iter().map(group).collect()
    }
}

fn joined(number: &str, name: &str) -> String {
    format!("{number} {name}").trim().to_owned()
}

/// Entries under the titles of their families, in their order.
fn families(each: impl Iterator<Item = ((FamilyId, String), Entry)>) -> Vec<Group> {
    let mut out: Vec<(FamilyId, Group)> = Vec::new();
    for ((family, title), entry) in each {
        match out.iter_mut().find(|(f, _)| *f == family) {
            Some((_, group)) => group.entries.push(entry),
            None => out.push((family, Group { title, picture: None, entries: vec![entry] })),
        }
    }
    out.into_iter().map(|(_, group)| group).collect()
}
