//! The columns of a table: where its headings are, and what each column holds.

use std::collections::{BTreeMap, BTreeSet};

use super::forms::{self, Triple};
use super::headings::{self, Meaning, recognise};
use crate::read::cells::Grid;
use crate::read::table::Mark;

/// How many rows from the top may hold the headings.
const LOOK_AT: usize = 12;
/// The number of cells of a column that are read to find what it holds.
const SAMPLE: usize = 500;

/// A column under its heading.
#[derive(Debug, Clone)]
pub struct Column {
    /// Counted from 0.
    pub at: usize,
    /// Both rows of headings, the upper one first.
    pub heading: String,
    /// The lower one alone, or the only one.
    pub own: String,
    /// What it is read as; none if it is not understood.
    pub role: Option<Role>,
    /// What else its heading and its cells could mean.
    pub other: Vec<Meaning>,
}

/// What a column is read as.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Role {
    Is(Meaning, String),
    /// Marks of a part, under its number or name.
    Made,
    /// Ignored, as the user asked.
    Passed,
}

/// A table whose headings were found.
#[derive(Debug)]
pub struct Table<'a> {
    pub grid: &'a Grid,
    /// The row of the lower headings; none if the table has no headings at all.
    pub head: Option<usize>,
    pub columns: Vec<Column>,
}

impl<'a> Table<'a> {
    /// The first column that is read as this.
    pub fn column(&self, meaning: Meaning) -> Option<usize> {
        self.of(meaning).next().map(|c| c.at)
    }

    /// All columns that are read as this.
    pub fn of(&self, meaning: Meaning) -> impl Iterator<Item = &Column> {
        self.columns
            .iter()
            .filter(move |c| matches!(&c.role, Some(Role::Is(m, _)) if *m == meaning))
    }

    /// The columns of marks.
    pub fn made(&self) -> impl Iterator<Item = &Column> {
        self.columns.iter().filter(|c| c.role == Some(Role::Made))
    }

    /// The rows under the headings that hold something.
    pub fn rows(&self) -> impl Iterator<Item = usize> + use<'a> {
        let (grid, first) = (self.grid, self.head.map_or(0, |head| head + 1));
        (first..grid.rows.len()).filter(move |r| !grid.is_empty(*r))
    }

    /// The heading as messages name it: with the letters of its column in a workbook.
    pub fn named(&self, column: &Column) -> String {
        let letters = letters(column.at);
        if column.heading.is_empty() {
            format!("column {letters}")
        } else if self.grid.parted {
            format!("'{}'", column.heading)
        } else {
            format!("'{}' ({letters})", column.heading)
        }
    }
}

/// A, B ... Z, AA: the letters of a column counted from 0.
pub fn letters(column: usize) -> String {
    let mut rest = column + 1;
    let mut letters = Vec::new();
    while rest > 0 {
        letters.push(char::from(b'A' + ((rest - 1) % 26) as u8));
        rest = (rest - 1) / 26;
    }
    letters.iter().rev().collect()
}

/// Headings as written: the upper one and the lower one of each column.
type Heads = Vec<(String, String)>;

/// Finds the headings and decides what each column holds. `own` gives the meanings of some headings.
pub fn table<'a>(grid: &'a Grid, own: &[(String, String)]) -> Table<'a> {
    let rows: Vec<usize> =
        (0..grid.rows.len()).filter(|r| !grid.is_empty(*r)).take(LOOK_AT).collect();
    let mut best: Option<(i64, usize, Heads)> = None;
    for (i, row) in rows.iter().enumerate() {
        let above = i.checked_sub(1).map(|above| rows[above]).filter(|above| above + 1 == *row);
        for upper in std::iter::once(None).chain(above.map(Some)) {
            let heads = heads(grid, *row, upper);
            let score = score(grid, *row, &heads, own);
            if score > 0 && best.as_ref().is_none_or(|b| score > b.0) {
                best = Some((score, *row, heads));
            }
        }
    }
    let (head, heads) = match best {
        Some((_, row, heads)) => (Some(row), heads),
        None => (None, Vec::new()),
    };
    let mut table = Table { grid, head, columns: Vec::new() };
    let filled = sample(&table);
    let width = heads.len().max(filled.keys().next_back().map_or(0, |c| c + 1));
    let nothing = (String::new(), String::new());
    table.columns = (0..width)
        .map(|at| {
            let (upper, lower) = heads.get(at).unwrap_or(&nothing);
            let heading = format!("{upper} {lower}").trim().to_owned();
            let own = if lower.is_empty() { upper } else { lower }.clone();
            Column { at, heading, own, role: None, other: Vec::new() }
        })
        .collect();
    Decide { heads: &heads, filled: &filled, own }.all(&mut table.columns);
    // Nothing under it and nothing known about it: no column at all.
    table.columns.retain(|c| filled.contains_key(&c.at));
    table
}

/// The headings of a row; the cells of a row above may be merged to the right.
fn heads(grid: &Grid, row: usize, above: Option<usize>) -> Heads {
    let width = |row: usize| grid.rows.get(row).map_or(0, Vec::len);
    let mut over = "";
    (0..width(row).max(above.map_or(0, width)))
        .map(|column| {
            let here = grid.at(row, column);
            let upper = above.map_or("", |above| grid.at(above, column));
            if !upper.is_empty() {
                over = upper;
            }
            // Nothing here: merged downwards, or no heading.
            let over = if here.is_empty() { upper } else { over };
            (one_line(over), one_line(here))
        })
        .collect()
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What is known of the headings in this row, twice; less what speaks against them.
fn score(grid: &Grid, row: usize, heads: &Heads, own: &[(String, String)]) -> i64 {
    let mut known = BTreeSet::new();
    let mut text_columns = Vec::new();
    for (column, head) in heads.iter().enumerate() {
        if forms::surely_value(&head.1) {
            return 0;
        }
        if let Some(meant) = meaning_of(head, own) {
            text_columns.push(column);
            known.insert((meant.means.first().copied(), headings::plain(&meant.whose)));
        }
    }
    let next = (row + 1..grid.rows.len()).find(|r| !grid.is_empty(*r));
    // A row under it that fills none of these columns is a second row of headings.
    let bare = next.is_some_and(|next| text_columns.iter().all(|c| grid.at(next, *c).is_empty()));
    2 * known.len() as i64 - i64::from(bare && !known.is_empty())
}

/// What the two cells of a heading mean together.
fn meaning_of(
    (upper, lower): &(String, String),
    own: &[(String, String)],
) -> Option<headings::Recognised> {
    let both = format!("{upper} {lower}");
    let said = [both.trim(), lower.as_str()].into_iter().find_map(|heading| {
        own.iter().find(|(o, _)| same_heading(o, heading)).map(|(_, meaning)| meaning)
    });
    if let Some(meaning) = said {
        return recognise(meaning);
    }
    if lower.is_empty() {
        return recognise(upper);
    }
    if upper.is_empty() {
        return recognise(lower);
    }
    match recognise(lower) {
        Some(mut alone) => {
            if alone.whose.is_empty() && alone.means.iter().any(|m| m.of_listing()) {
                // 'Colour' over 'Name' is not a separate list.
                let whose = if recognise(upper).is_some() { "" } else { upper.as_str() };
                alone.whose = whose.to_owned();
            }
            Some(alone)
        }
        // 'Part no.' over '1102' is not a heading of numbers.
        None if lower.chars().any(char::is_alphabetic) => recognise(both.trim()),
        None => None,
    }
}

/// Is this the heading that somebody has named?
pub fn same_heading(named: &str, heading: &str) -> bool {
    let (a, b) = (headings::plain(named), headings::plain(heading));
    if a.is_empty() { named.trim() == heading.trim() } else { a == b }
}

/// The first filled cells of each column that has any.
fn sample<'a>(table: &Table<'a>) -> BTreeMap<usize, Vec<&'a str>> {
    let mut out: BTreeMap<usize, Vec<&str>> = BTreeMap::new();
    for row in table.rows() {
        for column in 0..table.grid.rows[row].len() {
            let text = table.grid.at(row, column);
            // Headings may be repeated further down.
            let heading = table.head.is_some_and(|head| table.grid.at(head, column) == text);
            if !text.is_empty() && !heading {
                let cells = out.entry(column).or_default();
                if cells.len() < SAMPLE {
                    cells.push(text);
                }
            }
        }
    }
    out
}

/// Decides from headings and cells.
struct Decide<'a> {
    heads: &'a Heads,
    filled: &'a BTreeMap<usize, Vec<&'a str>>,
    own: &'a [(String, String)],
}

impl Decide<'_> {
    fn all(&self, columns: &mut [Column]) {
        let mut taken: BTreeSet<(Meaning, String)> = BTreeSet::new();
        let (mut open, mut fixed) = (Vec::new(), BTreeSet::new());
        let meant: Vec<Option<headings::Recognised>> = columns
            .iter()
            .map(|c| self.heads.get(c.at).and_then(|h| meaning_of(h, self.own)))
            .collect();
        // Those whose heading has one meaning come first.
        for (i, column) in columns.iter_mut().enumerate() {
            if self.is_passed(column.at) {
                column.role = Some(Role::Passed);
                continue;
            }
            match &meant[i] {
                Some(m) if m.means.len() == 1 => {
                    let what = (m.means[0], m.whose.clone());
                    fixed.insert(what.0);
                    if taken.insert((what.0, headings::plain(&what.1))) {
                        column.role = Some(Role::Is(what.0, what.1));
                    } else {
                        open.push(i);
                    }
                }
                _ => open.push(i),
            }
        }
        for i in open {
            let column = &mut columns[i];
            let cells = self.filled.get(&column.at).map_or(&[][..], |c| c);
            let Some(m) = &meant[i] else {
                column.role = by_cells(cells, &mut taken);
                continue;
            };
            let free = |meaning: &Meaning| !taken.contains(&(*meaning, headings::plain(&m.whose)));
            let can: Vec<Meaning> =
                m.means.iter().copied().filter(|meaning| fits(*meaning, cells, &taken)).collect();
            if let Some(meaning) = can.iter().copied().find(free) {
                // Years give when something began, too; a meaning that another heading has alone is not in doubt.
                // A number is as good as a key.
                let doubtful = |m: &Meaning| {
                    *m != meaning
                        && meaning != Meaning::Years
                        && *m != Meaning::Key
                        && !fixed.contains(m)
                };
                column.other = can.iter().copied().filter(doubtful).collect();
                taken.insert((meaning, headings::plain(&m.whose)));
                column.role = Some(Role::Is(meaning, m.whose.clone()));
            } else if let Some(meaning) = m.means.iter().find(|m| m.of_listing())
                && fits(*meaning, cells, &taken)
                && !counts(cells)
            {
                // A second column of names is that of a second list.
                let whose = column.heading.clone();
                if taken.insert((*meaning, format!("second {}", headings::plain(&whose)))) {
                    column.role = Some(Role::Is(*meaning, whose));
                }
            }
            if column.role.is_none() {
                column.role = by_cells(cells, &mut taken);
            }
        }
    }

    fn is_passed(&self, at: usize) -> bool {
        let Some((upper, lower)) = self.heads.get(at) else { return false };
        let both = format!("{upper} {lower}");
        self.own.iter().any(|(heading, to)| {
            to.is_empty() && (same_heading(heading, both.trim()) || same_heading(heading, lower))
        })
    }
}

/// At least half of the cells pass.
fn half(cells: &[&str], test: impl Fn(&str) -> bool) -> bool {
    !cells.is_empty() && 2 * cells.iter().filter(|c| test(c)).count() >= cells.len()
}

/// Can these cells hold that?
fn fits(meaning: Meaning, cells: &[&str], taken: &BTreeSet<(Meaning, String)>) -> bool {
    let distinct = || cells.iter().map(|c| c.to_lowercase()).collect::<BTreeSet<_>>().len();
    let has = |m: Meaning| taken.iter().any(|(other, _)| *other == m);
    match meaning {
        Meaning::Value => half(cells, |c| forms::value(c, Triple::Either).is_some()),
        Meaning::Number => half(cells, |c| {
            c.chars().count() <= 24
                && c.chars().any(|c| c.is_ascii_digit())
                && !forms::surely_value(c)
        }),
        Meaning::Name => half(cells, |c| {
            c.chars().any(char::is_alphabetic) && forms::value(c, Triple::Either).is_none()
        }),
        Meaning::Family => cells.len() < 3 || 2 * distinct() <= cells.len().max(2) + 2,
        Meaning::Finish => half(cells, |c| headings::finish(c).is_some()),
        Meaning::First | Meaning::Last => half(cells, |c| forms::year(c).is_some()),
        Meaning::Years => half(cells, |c| forms::years(c).is_some()),
        Meaning::L | Meaning::A | Meaning::Red | Meaning::Green => {
            half(cells, |c| forms::number(c).is_some())
        }
        Meaning::B => half(cells, |c| forms::number(c).is_some()) && has(Meaning::L),
        Meaning::Blue => half(cells, |c| forms::number(c).is_some()) && has(Meaning::Red),
        Meaning::Size => half(cells, |c| forms::size(c).is_some()),
        _ => true,
    }
}

/// 1, 2, 3: a column that only counts the rows.
fn counts(cells: &[&str]) -> bool {
    cells.len() > 1 && cells.iter().enumerate().all(|(i, c)| **c == (i + 1).to_string())
}

/// Are these marks of what is made, but for a few slips?
pub fn are_marks(cells: &[&str]) -> bool {
    let marks = cells.iter().filter(|c| forms::mark(c).is_some()).count();
    let made = cells.iter().any(|c| forms::mark(c).is_some_and(|m| m != Mark::Not));
    // Years alone are more likely those of the colours.
    let years = cells.iter().all(|c| forms::year(c).is_some());
    made && 4 * marks >= 3 * cells.len() && !counts(cells) && !years
}

/// What cells show by themselves, under a heading without a meaning.
fn by_cells(cells: &[&str], taken: &mut BTreeSet<(Meaning, String)>) -> Option<Role> {
    if !cells.is_empty()
        && cells.iter().all(|c| forms::years(c).is_some() && forms::number(c).is_none())
        && taken.insert((Meaning::Years, String::new()))
    {
        return Some(Role::Is(Meaning::Years, String::new()));
    }
    if are_marks(cells) {
        return Some(Role::Made);
    }
    if half(cells, forms::surely_value) && taken.insert((Meaning::Value, String::new())) {
        return Some(Role::Is(Meaning::Value, String::new()));
    }
    if half(cells, |c| c.to_lowercase().ends_with(".svg"))
        && taken.insert((Meaning::File, String::new()))
    {
        return Some(Role::Is(Meaning::File, String::new()));
    }
    None
}
