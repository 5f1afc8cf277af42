//! Rows of a table as colours.

use std::collections::{BTreeMap, BTreeSet};

use super::columns::{Column, Role, Table};
use super::draft::{Colour, Draft, Family, Listing, Taken, heading_key, unused};
use super::forms::{self, Triple};
use super::headings::{self, Meaning, plain};
use super::tell::Tell;
use super::texts::{NAME, NOTE, NUMBER, Texts};
use crate::diag::Diagnostic;
use crate::read::Finish;
use crate::read::cells::CellKind;

/// The most families and listings: what one sheet can show.
const MOST_FAMILIES: usize = 100;
const MOST_LISTINGS: usize = 8;

/// Reads rows into a draft.
pub struct Colours<'a, 'b, 'c> {
    pub table: &'b Table<'a>,
    pub texts: &'b mut Texts<'c>,
    pub tell: &'b mut Tell,
}

/// Makes a value of three numbers.
type Make = fn([f64; 3]) -> Option<String>;

/// A family that a row names: its title, and the finish given for it.
struct Group {
    title: String,
    finishes: Vec<Finish>,
}

/// A row as written.
struct ListedColour {
    row: usize,
    group: String,
    finish: Option<Finish>,
    colour: Colour,
    given_key: String,
}

impl<'a> Colours<'a, '_, '_> {
    /// Listings, families and colours; the rows of the colours, in their order.
    pub fn read(mut self, draft: &mut Draft) -> Vec<usize> {
        draft.listings = self.listings();
        let sections = self.has_sections(draft.listings.len());
        let named = self.table.column(Meaning::Name).is_some();
        let mut section = String::new();
        let mut carried = String::new();
        let mut lines = Vec::new();
        let mut passed = Vec::new();
        for row in self.table.rows() {
            if self.repeats_headings(row) {
                continue;
            }
            let names = self.of_listings(&draft.listings, Meaning::Name, row, NAME);
            let numbers = self.of_listings(&draft.listings, Meaning::Number, row, NUMBER);
            if sections && let Some(title) = self.alone(row) {
                section = self.texts.clean(title, NAME);
                passed.push((row, true));
                continue;
            }
            // 'Total' under the numbers, without a name, is not a colour.
            let number =
                |n: &String| n.chars().any(|c| c.is_ascii_digit()) || (!n.is_empty() && !named);
            if names.iter().all(String::is_empty) && !numbers.iter().any(number) {
                passed.push((row, false));
                continue;
            }
            // A title that colours follow is one.
            if let Some(last) = passed.last()
                && last.1
            {
                passed.pop();
            }
            lines.push(self.line(row, names, numbers, (&section, &mut carried)));
        }
        self.passed_rows(&passed);
        self.families(draft, &mut lines);
        let mut keys = Taken::default();
        let mut rows = Vec::with_capacity(lines.len());
        for line in lines {
            let mut colour = line.colour;
            let name = colour.names.iter().chain(&colour.numbers).find(|t| !t.is_empty());
            let by = if line.given_key.is_empty() { name } else { Some(&line.given_key) };
            colour.key = unused(by.map_or("", |b| b), "colour", &mut keys);
            draft.colours.push(colour);
            rows.push(line.row);
        }
        rows
    }

    /// The lists whose names or numbers have columns.
    fn listings(&mut self) -> Vec<Listing> {
        let mut found: Vec<(String, String, [bool; 2])> = Vec::new();
        for column in &self.table.columns {
            let Some(Role::Is(meaning, whose)) = &column.role else { continue };
            if !meaning.of_listing() {
                continue;
            }
            let i = usize::from(*meaning == Meaning::Number);
            match found.iter_mut().find(|f| f.0 == list_of(whose)) {
                Some(listing) => listing.2[i] = true,
                None => {
                    let mut has = [false; 2];
                    has[i] = true;
                    found.push((list_of(whose), whose.clone(), has));
                }
            }
        }
        // 'Name' beside 'Works no.' is one list.
        if let [a, b] = found.as_slice()
            && (a.0.is_empty() || b.0.is_empty())
            && !(0..2).any(|i| a.2[i] && b.2[i])
        {
            let whose = if a.0.is_empty() { b.1.clone() } else { a.1.clone() };
            found = vec![(String::new(), whose, [true; 2])];
        }
        found.truncate(MOST_LISTINGS);
        let (mut keys, mut titles) = (Taken::default(), BTreeSet::new());
        let listing = |(whose, shown, _): (String, String, _)| {
            let shown = if shown.is_empty() { "Works".to_owned() } else { shown };
            let shown = self.texts.clean(&shown, 30);
            let bare = list_of(&shown);
            let key = heading_key(if bare.is_empty() { "works" } else { &bare }, "list", &mut keys);
            let mut title = if ends_in_list(&shown) { shown } else { format!("{shown} list") };
            if let Some(first) = title.get(..1) {
                title = first.to_uppercase() + &title[1..];
            }
            while !titles.insert(plain(&title).replace(' ', "")) {
                title += " 2";
            }
            Listing { key, title, whose }
        };
        found.into_iter().map(listing).collect()
    }

    fn of_listings(
        &mut self,
        listings: &[Listing],
        meaning: Meaning,
        row: usize,
        most: usize,
    ) -> Vec<String> {
        let only = listings.len() == 1;
        let table = self.table;
        let mut out = Vec::with_capacity(listings.len());
        for listing in listings {
            let column = table.of(meaning).find(|c| {
                only || matches!(&c.role, Some(Role::Is(_, w)) if list_of(w) == listing.whose)
            });
            let text = column.map_or("", |c| self.tell.text(table, c, row));
            out.push(self.texts.clean(text, most));
        }
        out
    }

    /// Are there rows with only a title? In a table where most rows hold more than that.
    fn has_sections(&self, listings: usize) -> bool {
        if listings == 0 || self.table.column(Meaning::Family).is_some() {
            return false;
        }
        let (mut alone, mut all) = (0, 0);
        for row in self.table.rows() {
            all += 1;
            alone += usize::from(self.alone(row).is_some());
        }
        alone > 0 && 2 * alone <= all
    }

    /// The only text of a row, if it is no number.
    fn alone(&self, row: usize) -> Option<&'a str> {
        let grid = self.table.grid;
        let texts = grid.rows[row].iter().map(|c| grid.text_of(c)).enumerate();
        let mut filled = texts.filter(|(_, text)| !text.is_empty());
        let (at, text) = filled.next()?;
        // A name alone is a colour that lacks the rest, unless colours have numbers too.
        let a_name = self.table.of(Meaning::Name).any(|c| c.at == at)
            && self.table.column(Meaning::Number).is_none();
        (filled.next().is_none() && !a_name && text.chars().any(char::is_alphabetic))
            .then_some(text)
    }

    /// Headings once more, as on a second printed page.
    fn repeats_headings(&self, row: usize) -> bool {
        let Some(head) = self.table.head else { return false };
        let grid = self.table.grid;
        let mut same = 0;
        for column in &self.table.columns {
            let text = grid.at(row, column.at);
            if !text.is_empty() {
                if text != grid.at(head, column.at) {
                    return false;
                }
                same += 1;
            }
        }
        same > 1
    }

    fn line(
        &mut self,
        row: usize,
        names: Vec<String>,
        numbers: Vec<String>,
        (section, carried): (&str, &mut String),
    ) -> ListedColour {
        let (first, last) = self.years(row);
        let finish = self.finish(row);
        let note = self.cell(Meaning::Note, row).map_or("", |c| c.1);
        let note = self.texts.clean(note, NOTE);
        let table = self.table;
        let group = match table.column(Meaning::Family) {
            // A merged cell has its text in its first row only.
            Some(column) => {
                let own = table.grid.at(row, column);
                if !own.is_empty() {
                    *carried = self.texts.clean(own, NAME);
                }
                carried.clone()
            }
            None if !section.is_empty() => section.to_owned(),
            None => match table.column(Meaning::Finish) {
                Some(column) if finish.is_some() => {
                    self.texts.clean(table.grid.at(row, column), NAME)
                }
                _ => String::new(),
            },
        };
        let value = self.value(row);
        let given_key = self.cell(Meaning::Key, row).map_or("", |c| c.1).to_owned();
        let colour = Colour { names, numbers, value, first, last, note, ..Colour::default() };
        ListedColour { row, group, finish, colour, given_key }
    }

    /// The column of a meaning and its text in this row, if there is any.
    fn cell(&mut self, meaning: Meaning, row: usize) -> Option<(Column, &'a str)> {
        let column = self.table.of(meaning).next()?.clone();
        let text = self.tell.text(self.table, &column, row);
        (!text.is_empty()).then_some((column, text))
    }

    /// A value from any of the ways to give one: in a cell, as L*, a* and b*, as red, green and blue.
    fn value(&mut self, row: usize) -> Option<String> {
        const SO: &str = "these colours have no value";
        if let Some((column, text)) = self.cell(Meaning::Value, row) {
            let heading = plain(&column.heading);
            let triple = if heading.contains("lab") {
                Triple::Lab
            } else if heading.contains("rgb") {
                Triple::Rgb
            } else {
                Triple::Either
            };
            if let Some(value) = forms::value(text, triple) {
                return Some(value);
            }
            let column = column.clone();
            self.tell.cell(self.table, &column, row, SO);
        }
        use Meaning::{A, B, Blue, Green, L, Red};
        let ways: [([Meaning; 3], Make); 2] =
            [([L, A, B], forms::lab), ([Red, Green, Blue], forms::rgb)];
        for (three, make) in ways {
            let mut numbers = Vec::new();
            for meaning in three {
                let Some((column, text)) = self.cell(meaning, row) else { continue };
                match forms::number(text) {
                    Some(number) => numbers.push(number),
                    None => self.tell.cell(self.table, &column, row, SO),
                }
            }
            let Ok(numbers) = <[f64; 3]>::try_from(numbers) else { continue };
            match make(numbers) {
                Some(value) => return Some(value),
                None => {
                    if let Some((column, _)) = self.cell(three[0], row) {
                        self.tell.cell(self.table, &column, row, SO);
                    }
                }
            }
        }
        None
    }

    fn years(&mut self, row: usize) -> (Option<i64>, Option<i64>) {
        const SO: &str = "these colours have no years";
        let mut out = (None, None);
        for meaning in [Meaning::Years, Meaning::First, Meaning::Last] {
            let Some(column) = self.table.of(meaning).next() else { continue };
            let (grid, at) = (self.table.grid, column.at);
            let text = grid.at(row, at);
            if text.is_empty() || text.chars().all(|c| "-–—?".contains(c)) {
                continue;
            }
            // Of a day, the year.
            let dated = grid
                .cell(row, at)
                .is_some_and(|c| matches!(c.kind, CellKind::Date | CellKind::DateLike));
            let of_day = if dated { text.get(..4).and_then(forms::year) } else { None };
            let years = of_day.map(|y| (Some(y), None)).or_else(|| forms::years(text));
            match (meaning, years) {
                (_, None) => self.tell.cell(self.table, column, row, SO),
                (Meaning::Years, Some(years)) => out = years,
                (Meaning::First, Some((from, to))) => {
                    out.0 = from.or(out.0);
                    out.1 = if from.is_some() { to.or(out.1) } else { out.1 };
                }
                (_, Some((from, to))) => out.1 = to.or(from).or(out.1),
            }
        }
        if let (Some(first), Some(last)) = out
            && last < first
        {
            let column =
                [Meaning::Last, Meaning::Years].iter().find_map(|m| self.table.of(*m).next());
            if let Some(column) = column {
                self.tell.cell(
                    self.table,
                    column,
                    row,
                    "the last year is before the first, so these colours have no years",
                );
            }
            return (None, None);
        }
        out
    }

    fn finish(&mut self, row: usize) -> Option<Finish> {
        let (column, text) = self.cell(Meaning::Finish, row)?;
        let finish = headings::finish(text);
        if finish.is_none() {
            self.tell.cell(
                self.table,
                &column,
                row,
                "finishes are opaque, clear, flecked, metal, pearl, satin and glow",
            );
        }
        finish
    }

    /// Families in the order of their first colours, each with the finish that most of its colours have.
    fn families(&mut self, draft: &mut Draft, lines: &mut [ListedColour]) {
        let mut groups: Vec<Group> = Vec::new();
        let mut known: BTreeMap<String, usize> = BTreeMap::new();
        for line in lines.iter_mut() {
            let title = if line.group.is_empty() { "Colours" } else { &line.group };
            let of = *known.entry(title.to_lowercase()).or_insert_with(|| {
                groups.push(Group { title: title.to_owned(), finishes: Vec::new() });
                groups.len() - 1
            });
            line.colour.family = of;
            groups[of].finishes.extend(line.finish);
        }
        if groups.len() > MOST_FAMILIES {
            let column = self.table.of(Meaning::Family).next();
            self.tell.findings.push(
                Diagnostic::warning(
                    "many-families",
                    format!("{} families are more than a sheet can show; all colours are in one", groups.len()),
                )
                .at(column.and_then(|c| self.table.grid.span(self.table.head.unwrap_or(0), c.at)))
                .help("use fewer families, or give the meaning of the column: --heading \"its heading=note\""),
            );
            lines.iter_mut().for_each(|l| l.colour.family = 0);
            groups = vec![Group { title: "Colours".to_owned(), finishes: Vec::new() }];
        }
        let mut keys = Taken::default();
        let mut by_title = Vec::new();
        for group in &groups {
            let finish = usual(&group.finishes).or_else(|| {
                let of = headings::finish(&group.title)?;
                by_title.push(format!("'{}' {}", group.title, of.word()));
                Some(of)
            });
            draft.families.push(Family {
                key: unused(&group.title, "family", &mut keys),
                title: group.title.clone(),
                finish: finish.unwrap_or(Finish::Opaque),
            });
        }
        for line in lines {
            let own = line.finish.filter(|f| *f != draft.families[line.colour.family].finish);
            line.colour.finish = own;
        }
        if !by_title.is_empty() {
            let tail = if by_title.len() > 6 { " ..." } else { "" };
            by_title.truncate(6);
            self.tell.findings.push(
                Diagnostic::hint(
                    "finishes-by-title",
                    format!(
                        "finishes were taken from the names of families: {}{tail}",
                        by_title.join(", ")
                    ),
                )
                .help("correct them in range.ron, or add a column 'finish' to the list"),
            );
        }
    }

    /// Rows that name no colour.
    fn passed_rows(&mut self, passed: &[(usize, bool)]) {
        let Some((first, _)) = passed.first() else { return };
        let grid = self.table.grid;
        let filled = (0..grid.rows[*first].len()).find(|c| !grid.at(*first, *c).is_empty());
        let rows = if passed.len() == 1 {
            "one row was".into()
        } else {
            format!("{} rows were", passed.len())
        };
        let text: String = grid.at(*first, filled.unwrap_or(0)).chars().take(40).collect();
        self.tell.findings.push(
            Diagnostic::warning(
                "rows-passed-over",
                format!("{rows} ignored, '{text}' first: a colour needs a name or a number"),
            )
            .at(grid.span(*first, filled.unwrap_or(0)))
            .help("if it is a colour, add its name or number; other rows may stay as they are"),
        );
    }
}

/// A listing's name in its headings, plainly: 'Dealer list' and 'dealer' are one.
pub fn list_of(whose: &str) -> String {
    let words = plain(whose);
    let bare = ["list", "liste", "s list"].iter().find_map(|end| words.strip_suffix(end));
    bare.map_or(words.as_str(), str::trim).to_owned()
}

fn ends_in_list(text: &str) -> bool {
    let text = text.to_lowercase();
    text.ends_with("list") || text.ends_with("liste")
}

/// The most frequent item, the first of equals.
fn usual(finishes: &[Finish]) -> Option<Finish> {
    let count = |f: &Finish| finishes.iter().filter(|g| *g == f).count();
    Finish::ALL.iter().rev().copied().filter(|f| count(f) > 0).max_by_key(count)
}
