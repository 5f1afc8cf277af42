//! Tables as people keep them, understood as a range.

use super::colours::Colours;
use super::columns::{Column, Role, Table, letters, table};
use super::draft::{Draft, Part};
use super::headings::{self, Meaning};
use super::parts::{Folder, Parts};
use super::tell::Tell;
use super::texts::Texts;
use super::{forms, made, plain};
use crate::diag::{Diagnostic, Findings, Span};
use crate::read::cells::Grid;

/// What a range is made from.
pub struct Given<'a> {
    /// A CSV file, or the sheets of a workbook.
    pub tables: &'a [Grid],
    /// The names of the sheets.
    pub names: &'a [String],
    /// The one that holds the colours, if the user names it.
    pub chosen: Option<usize>,
    /// A table of parts in a separate file.
    pub parts: Option<&'a Grid>,
    /// Where drawings are.
    pub folder: Option<&'a Folder>,
    /// Headings and their meanings, where the user gives them.
    pub headings: &'a [(String, String)],
    /// Can the sheet's fonts write this?
    pub written: &'a dyn Fn(char) -> bool,
}

impl<'a> Given<'a> {
    /// Tables, without any instructions of the user.
    pub fn of(tables: &'a [Grid], written: &'a dyn Fn(char) -> bool) -> Given<'a> {
        Given {
            tables,
            names: &[],
            chosen: None,
            parts: None,
            folder: None,
            headings: &[],
            written,
        }
    }
}

/// What was understood.
#[derive(Debug)]
pub struct Begun {
    pub draft: Draft,
    /// What each column was read as, a line for each table.
    pub taken: Vec<String>,
    pub findings: Findings,
    /// How many texts had letters replaced.
    pub replaced: usize,
}

/// Understands tables as a range.
///
/// # Errors
/// No table has a colour in it, or a heading that the user names does not exist.
pub fn begin(given: &Given<'_>) -> Result<Begun, Findings> {
    let mut tell = Tell::default();
    let mut tables: Vec<Table<'_>> =
        given.tables.iter().map(|grid| table(grid, given.headings)).collect();
    own_headings(given, &tables, &mut tell);
    if tell.findings.failed() {
        return Err(tell.findings);
    }
    let main = main_table(given, &tables);
    let Some(main) = main else {
        let whole = given.tables.first().map(|g| Span { file: g.file.clone(), range: 0..0 });
        let d = Diagnostic::error("empty-table", "the file contains no list of colours").at(whole);
        return Err(d.help("write one row for each colour, with its name, under headings").into());
    };
    names_without_heading(&mut tables[main], &mut tell);
    let mut texts = Texts::new(given.written);
    let mut draft = Draft::default();
    let reader = Colours { table: &tables[main], texts: &mut texts, tell: &mut tell };
    let rows = reader.read(&mut draft);
    if draft.colours.is_empty() {
        tell.findings.push(no_colours(&tables[main]));
        return Err(tell.finish());
    }
    let outside = given.parts.map(|grid| table(grid, given.headings));
    let parts_at = outside.is_none().then(|| parts_table(given, &tables, main)).flatten();
    let mut used = vec![main];
    used.extend(parts_at);
    let parts_from = outside.as_ref().or_else(|| parts_at.map(|at| &tables[at]));
    let mut parts = Parts::new(&mut texts, &mut tell, given.folder);
    match parts_from {
        Some(from) => parts.of_table(from, &mut draft),
        None if tables[main].made().next().is_none() && !has_made(given, &tables, main) => {
            parts.of_folder(&mut draft);
        }
        None => {}
    }
    made::beside(&tables[main], &rows, &mut parts, &mut draft);
    for (at, table) in tables.iter().enumerate() {
        if !used.contains(&at) && made::sheet(table, &mut parts, &mut draft) {
            used.push(at);
        }
    }
    if parts_from.is_none() {
        parts.left_over_of(&draft);
    }
    if draft.parts.is_empty() {
        named_sizes(&tables[main], &mut draft);
    }
    no_values(&tables[main], &draft, &mut tell);
    let reported: Vec<&Table<'_>> =
        outside.iter().chain(used.iter().map(|at| &tables[*at])).collect();
    choices(&tables[main], &mut tell);
    not_understood(&reported, &tables[main], &mut tell);
    other_sheets(given, &tables, &used, &mut tell);
    let taken = reported.iter().filter_map(|t| taken(t)).collect();
    let replaced = texts.replaced();
    let mut findings = tell.finish();
    texts.tell(&mut findings);
    Ok(Begun { draft, taken, findings, replaced })
}

/// Headings that the user names must exist, and their meanings too.
fn own_headings(given: &Given<'_>, tables: &[Table<'_>], tell: &mut Tell) {
    let outside = given.parts.map(|grid| table(grid, given.headings));
    for (heading, meaning) in given.headings {
        let all = || tables.iter().chain(outside.iter()).flat_map(|t| &t.columns);
        let same = |c: &Column| {
            super::columns::same_heading(heading, &c.heading)
                || super::columns::same_heading(heading, &c.own)
        };
        if !all().any(same) {
            let near = crate::diag::nearest(heading, all().map(|c| c.heading.as_str()));
            let help = match near {
                Some(near) => format!("did you mean '{near}'?"),
                None => {
                    let list: Vec<&str> =
                        all().map(|c| c.own.as_str()).filter(|h| !h.is_empty()).take(20).collect();
                    format!("its headings are: {}", list.join(", "))
                }
            };
            tell.findings.push(
                Diagnostic::error(
                    "unknown-heading",
                    format!("no column has the heading '{heading}'"),
                )
                .help(help),
            );
        }
        if !meaning.is_empty() && headings::recognise(meaning).is_none() {
            tell.findings.push(
                Diagnostic::error("unknown-meaning", format!("'{meaning}' is not a meaning of a column"))
                    .help("use name, number, value, family, finish, since, until, years, note, size or nothing: --heading \"Shade=name\""),
            );
        }
    }
}

fn has_value(table: &Table<'_>) -> bool {
    [Meaning::Value, Meaning::L, Meaning::Red].iter().any(|m| table.column(*m).is_some())
}

fn has_texts(table: &Table<'_>) -> bool {
    [Meaning::Name, Meaning::Number].iter().any(|m| table.column(*m).is_some())
}

fn is_of_parts(given: &Given<'_>, tables: &[Table<'_>], at: usize) -> bool {
    let table = &tables[at];
    let named = given.names.get(at).is_some_and(|n| headings::names_parts(n));
    let own = table.columns.iter().any(|c| matches!(&c.role, Some(Role::Is(m, _)) if m.of_parts()));
    (named || own) && has_texts(table) && !has_value(table)
}

/// The table of the colours: the one that is named, else the one with most about them.
fn main_table(given: &Given<'_>, tables: &[Table<'_>]) -> Option<usize> {
    if given.chosen.is_some() {
        return given.chosen;
    }
    let score = |at: usize| -> i32 {
        let t = &tables[at];
        let has = |m: Meaning| i32::from(t.column(m).is_some());
        let crosses =
            t.made().count() > 0 || given.names.get(at).is_some_and(|n| headings::names_made(n));
        let not_it =
            i32::from(is_of_parts(given, tables, at)) * 8 + i32::from(crosses && !has_value(t)) * 2;
        4 * i32::from(has_value(t))
            + 2 * has(Meaning::Name)
            + has(Meaning::Number)
            + has(Meaning::Family)
            + has(Meaning::Finish)
            - not_it
    };
    let filled = (0..tables.len()).filter(|at| tables[*at].rows().next().is_some());
    filled.rev().max_by_key(|at| score(*at)).or((!tables.is_empty()).then_some(0))
}

/// The sheet of the parts, if there is one.
fn parts_table(given: &Given<'_>, tables: &[Table<'_>], main: usize) -> Option<usize> {
    (0..tables.len()).find(|at| *at != main && is_of_parts(given, tables, *at))
}

fn has_made(given: &Given<'_>, tables: &[Table<'_>], main: usize) -> bool {
    (0..tables.len()).any(|at| {
        at != main
            && (tables[at].made().next().is_some()
                || given.names.get(at).is_some_and(|n| headings::names_made(n)))
    })
}

/// Where no heading is 'name', the column that holds the names is searched for.
fn names_without_heading(table: &mut Table<'_>, tell: &mut Tell) {
    if table.column(Meaning::Name).is_some() {
        return;
    }
    if table.head.is_none() {
        unknown_headings(table);
    }
    let grid = table.grid;
    let rows: Vec<usize> = table.rows().take(500).collect();
    let quality = |column: &Column| {
        let cells: Vec<&str> =
            rows.iter().map(|r| grid.at(*r, column.at)).filter(|t| !t.is_empty()).collect();
        let texts = cells.iter().filter(|t| {
            t.chars().any(char::is_alphabetic) && forms::value(t, forms::Triple::Either).is_none()
        });
        let distinct = cells.iter().collect::<std::collections::BTreeSet<_>>().len();
        let names = 2 * texts.count() >= cells.len().max(1) && 5 * distinct >= 4 * cells.len();
        if names { distinct } else { 0 }
    };
    let open = table.columns.iter().enumerate().filter(|(_, c)| c.role.is_none());
    let best = open.rev().max_by_key(|(_, c)| quality(c)).filter(|(_, c)| quality(c) > 0);
    let key = table.columns.iter().position(|c| matches!(c.role, Some(Role::Is(Meaning::Key, _))));
    let Some(at) = best.map(|b| b.0).or(key.filter(|_| table.column(Meaning::Number).is_none()))
    else {
        return;
    };
    table.columns[at].role = Some(Role::Is(Meaning::Name, String::new()));
    let column = &table.columns[at];
    tell.findings.push(
        Diagnostic::hint(
            "names-by-look",
            format!("no heading marks the names; {} was read as the names", table.named(column)),
        )
        .at(grid.span(table.head.unwrap_or(0), column.at))
        .help(
            "give the column of names the heading 'name', or write --heading \"its heading=name\"",
        ),
    );
}

/// A first row of words over columns of numbers or values is one of headings, in words that are not known.
fn unknown_headings(table: &mut Table<'_>) {
    let grid = table.grid;
    let rows: Vec<usize> = table.rows().collect();
    let Some((first, rest)) = rows.split_first() else { return };
    let holds =
        |t: &str| forms::number(t).is_some() || forms::value(t, forms::Triple::Either).is_some();
    let over = |column: &Column| {
        let cells = rest.iter().map(|r| grid.at(*r, column.at)).filter(|t| !t.is_empty());
        let (mut all, mut such) = (0, 0);
        for cell in cells {
            all += 1;
            such += usize::from(holds(cell));
        }
        let head = grid.at(*first, column.at);
        all > 0 && 5 * such >= 4 * all && !head.is_empty() && !holds(head)
    };
    if table.columns.iter().any(over) {
        table.head = Some(*first);
        for column in &mut table.columns {
            column.own = grid.at(*first, column.at).to_owned();
            column.heading = column.own.clone();
        }
    }
}

fn no_colours(table: &Table<'_>) -> Diagnostic {
    let grid = table.grid;
    let (code, message, help) = if table.rows().next().is_none() {
        (
            "empty-table",
            "there are no colours under the headings",
            "write one row for each colour, with its name",
        )
    } else if has_texts(table) {
        ("missing-name", "no row has a name or a number", "give each colour a name or a number")
    } else {
        (
            "missing-column",
            "this table has no column of names or numbers",
            "give the column of names the heading 'name', or write --heading \"its heading=name\"",
        )
    };
    Diagnostic::error(code, message).at(grid.span(table.head.unwrap_or(0), 0)).help(help)
}

/// Three plain parts in the sizes that the list of colours names.
fn named_sizes(table: &Table<'_>, draft: &mut Draft) {
    let Some(column) = table.column(Meaning::Size) else { return };
    let mut sizes: Vec<(f64, f64)> = Vec::new();
    for row in table.rows() {
        for text in table.grid.at(row, column).split([';', '|', '\n']) {
            if let Some(size) = forms::size(text)
                && !sizes.contains(&size)
                && sizes.len() < 3
            {
                sizes.push(size);
            }
        }
    }
    sizes.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    for (i, (w, h)) in sizes.into_iter().enumerate() {
        let size = if w == h { format!("{w}") } else { format!("{w} × {h}") };
        let mut numbers = vec![String::new(); draft.listings.len()];
        if let Some(first) = numbers.first_mut() {
            *first = (10 + i).to_string();
        }
        draft.parts.push(Part {
            key: format!("plain-{}", i + 1),
            title: format!("Button {size} mm"),
            numbers,
            drawing: plain::drawing("Button", Some((w, h))),
            ..Part::default()
        });
    }
}

/// One note for all colours without a value.
fn no_values(table: &Table<'_>, draft: &Draft, tell: &mut Tell) {
    let mut without = draft.colours.iter().filter(|c| c.value.is_none());
    let Some(first) = without.next() else { return };
    let (count, all) = (1 + without.count(), draft.colours.len());
    let which = if count == all {
        "the colours have no values".to_owned()
    } else {
        let name = first.names.iter().chain(&first.numbers).find(|t| !t.is_empty());
        format!("{count} of {all} colours have no value, '{}' first", name.map_or("", |n| n))
    };
    let place = table.grid.span(table.head.unwrap_or(0), table.column(Meaning::Value).unwrap_or(0));
    tell.findings.push(
        Diagnostic::hint("no-values", format!("{which}: the sheet shows them as outlines with words"))
            .at(place)
            .help("write #rrggbb or Lab(l, a, b) into the column 'value' of colours.csv, in place of 'unknown'"),
    );
}

/// Headings with several possible meanings: which one was chosen, and how to choose another.
fn choices(table: &Table<'_>, tell: &mut Tell) {
    let mut said = Vec::new();
    let mut first = None;
    for column in &table.columns {
        let Some(Role::Is(meaning, _)) = &column.role else { continue };
        if let Some(other) = column.other.first() {
            said.push(format!(
                "{} was read as {}, but could also hold {}",
                table.named(column),
                meaning.words().1,
                other.words().1
            ));
            first.get_or_insert((column, *other));
        }
    }
    let Some((column, other)) = first else { return };
    tell.findings.push(
        Diagnostic::hint("heading-chosen", said.join("; "))
            .at(table.grid.span(table.head.unwrap_or(0), column.at))
            .help(format!("to choose the other: --heading \"{}={}\"", column.own, other.words().0)),
    );
}

/// Columns that are not understood, all in one message.
fn not_understood(tables: &[&Table<'_>], main: &Table<'_>, tell: &mut Tell) {
    let mut left = Vec::new();
    let mut place: Option<(&Table<'_>, &Column)> = None;
    for table in tables {
        // In a table of crosses, columns about the colour are not missed.
        let of_made = table.made().next().is_some() && !std::ptr::eq(*table, main);
        for column in table.columns.iter().filter(|c| c.role.is_none() && !of_made) {
            left.push(table.named(column));
            place.get_or_insert((table, column));
        }
    }
    let Some((table, column)) = place else { return };
    let tail = if left.len() > 10 { " ..." } else { "" };
    let columns = if left.len() == 1 { "one column is" } else { "some columns are" };
    let shown = left.iter().take(10).cloned().collect::<Vec<_>>().join(", ");
    let heading = if column.own.is_empty() { letters(column.at) } else { column.own.clone() };
    tell.findings.push(
        Diagnostic::warning("columns-not-understood", format!("{columns} not understood and left out: {shown}{tail}"))
            .at(table.grid.span(table.head.unwrap_or(0), column.at))
            .help(format!("if one matters, give its meaning: --heading \"{heading}=note\"; to ignore it: --heading \"{heading}=\"")),
    );
}

/// Sheets of the workbook that nothing was read from.
fn other_sheets(given: &Given<'_>, tables: &[Table<'_>], used: &[usize], tell: &mut Tell) {
    let left: Vec<String> = (0..tables.len())
        .filter(|at| !used.contains(at) && tables[*at].rows().next().is_some())
        .filter_map(|at| given.names.get(at).map(|n| format!("'{n}'")))
        .collect();
    if left.is_empty() {
        return;
    }
    let colours = used.first().and_then(|at| given.names.get(*at)).map_or("", |n| n);
    let tail = if left.len() > 8 { " ..." } else { "" };
    tell.findings.push(
        Diagnostic::hint(
            "other-sheets",
            format!(
                "the colours come from the sheet '{colours}'; nothing was read from {}{tail}",
                left[..left.len().min(8)].join(", ")
            ),
        )
        .help("to use another one: --sheet NAME"),
    );
}

/// What each column of a table was read as, in a line.
fn taken(table: &Table<'_>) -> Option<String> {
    let file = table.grid.file.file_name()?.to_string_lossy().into_owned();
    let mut said = Vec::new();
    let mut made = 0;
    for column in &table.columns {
        match &column.role {
            Some(Role::Is(meaning, whose)) => {
                let whose = if whose.is_empty() { String::new() } else { format!(" ({whose})") };
                said.push(format!("{} {}{whose}", table.named(column), meaning.words().1));
            }
            Some(Role::Made) => made += 1,
            _ => {}
        }
    }
    if made > 0 {
        said.push(format!("{made} columns of crosses"));
    }
    Some(format!("{file}: {}", said.join(", ")))
}
