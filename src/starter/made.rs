//! Crosses: which part is made in which colour.

use std::collections::BTreeMap;

use super::columns::{Table, are_marks};
use super::draft::Draft;
use super::forms;
use super::headings::plain;
use super::parts::Parts;
use super::tell::Tell;
use crate::diag::Diagnostic;
use crate::read::table::Mark;

const SO: &str =
    "write x for made, nothing for not made, 2019-2024 for years: these count as not made";

/// The crosses beside the colours, in the table of the colours itself.
pub fn beside(table: &Table<'_>, rows: &[usize], parts: &mut Parts<'_, '_>, draft: &mut Draft) {
    let columns: Vec<_> = table.made().cloned().collect();
    let given = !draft.parts.is_empty();
    let mut unknown = Vec::new();
    for column in columns {
        let part = find(draft, &[&column.own, &column.heading]);
        let part = match part {
            Some(part) => part,
            None if !given => match parts.of_heading(&column.own, draft) {
                Some(part) => part,
                None => continue,
            },
            None => {
                unknown.push(table.named(&column));
                continue;
            }
        };
        for (colour, row) in rows.iter().enumerate() {
            let text = parts.tell.text(table, &column, *row);
            let mark = forms::mark(text).filter(|mark| sensible(*mark));
            if mark.is_none() {
                parts.tell.cell(table, &column, *row, SO);
            }
            set(draft, colour, part, mark.unwrap_or(Mark::Not));
        }
    }
    no_such_parts(&unknown, parts.tell);
}

/// Plausible years.
fn sensible(mark: Mark) -> bool {
    let known = |y: Option<i64>| y.is_none_or(|y| (1800..=2200).contains(&y));
    match mark {
        Mark::Years(from, to) => {
            known(from) && known(to) && from.zip(to).is_none_or(|(f, t)| f <= t)
        }
        Mark::Made | Mark::Not => true,
    }
}

fn set(draft: &mut Draft, colour: usize, part: usize, mark: Mark) {
    let (colours, parts) = (draft.colours.len(), draft.parts.len());
    let made = draft.made.get_or_insert_with(|| vec![Vec::new(); colours]);
    let row = &mut made[colour];
    row.resize(parts.max(row.len()), Mark::Not);
    row[part] = mark;
}

/// Those headings that name no part, in one message.
fn no_such_parts(unknown: &[String], tell: &mut Tell) {
    if unknown.is_empty() {
        return;
    }
    let tail = if unknown.len() > 8 { " ..." } else { "" };
    let shown: Vec<&str> = unknown.iter().take(8).map(String::as_str).collect();
    tell.findings.push(
        Diagnostic::warning(
            "crosses-of-no-part",
            format!("these headings over crosses do not name a part: {}{tail}", shown.join(", ")),
        )
        .help("write the part's number or name there, as in the list of parts"),
    );
}

/// The part that goes by one of these texts.
fn find(draft: &Draft, texts: &[&str]) -> Option<usize> {
    let texts: Vec<String> = texts.iter().map(|t| plain(t)).filter(|t| !t.is_empty()).collect();
    draft.parts.iter().position(|part| {
        part.numbers.iter().chain([&part.title, &part.key]).any(|t| texts.contains(&plain(t)))
    })
}

/// Every text that names a colour, plainly; nothing where two go by it.
fn by_text(draft: &Draft) -> BTreeMap<String, Option<usize>> {
    let mut out = BTreeMap::new();
    for (i, colour) in draft.colours.iter().enumerate() {
        for text in colour.names.iter().chain(&colour.numbers).chain([&colour.key]) {
            let text = plain(text);
            if !text.is_empty() {
                out.entry(text)
                    .and_modify(|of| {
                        if *of != Some(i) {
                            *of = None
                        }
                    })
                    .or_insert(Some(i));
            }
        }
    }
    out
}

/// A sheet of crosses: a row a colour and a column a part, or the other way round.
pub fn sheet(table: &Table<'_>, parts: &mut Parts<'_, '_>, draft: &mut Draft) -> bool {
    let grid = table.grid;
    let known = by_text(draft);
    let colour = |text: &str| known.get(&plain(text)).copied().flatten();
    let Some(head) = table.head.or_else(|| (0..grid.rows.len()).find(|r| !grid.is_empty(*r)))
    else {
        return false;
    };
    let rows: Vec<usize> = (head + 1..grid.rows.len()).filter(|r| !grid.is_empty(*r)).collect();
    let width = rows.iter().chain([&head]).map(|r| grid.rows[*r].len()).max().unwrap_or(0);
    let named =
        |column: usize| rows.iter().filter(|r| colour(grid.at(**r, column)).is_some()).count();
    let over = (0..width).filter(|c| colour(grid.at(head, *c)).is_some()).count();
    let best = (0..width).rev().max_by_key(|c| named(*c));
    let given = !draft.parts.is_empty();
    let marks = |column: usize| {
        let cells: Vec<&str> =
            rows.iter().map(|r| grid.at(*r, column)).filter(|t| !t.is_empty()).collect();
        are_marks(&cells)
    };
    if let Some(names) = best.filter(|c| named(*c) > 0 && named(*c) >= over) {
        let crosses: Vec<usize> = (0..width).filter(|c| *c != names && marks(*c)).collect();
        if crosses.is_empty() {
            return false;
        }
        let mut unknown = Vec::new();
        for column in crosses {
            let heading = grid.at(head, column);
            let part = find(draft, &[heading]);
            let Some(part) =
                part.or_else(|| if given { None } else { parts.of_heading(heading, draft) })
            else {
                unknown.push(format!("'{heading}'"));
                continue;
            };
            for row in &rows {
                let Some(colour) = colour(grid.at(*row, names)) else { continue };
                put(table, (*row, column), (colour, part), draft, parts.tell);
            }
        }
        no_such_parts(&unknown, parts.tell);
        strangers(table, names, &rows, &colour, parts.tell);
        return draft.made.is_some();
    }
    if over == 0 {
        return false;
    }
    // A row a part: its name or number is the first text of the row.
    for row in rows {
        let Some(first) = (0..width).find(|c| !grid.at(row, *c).is_empty()) else { continue };
        let heading = grid.at(row, first);
        let part = find(draft, &[heading])
            .or_else(|| if given { None } else { parts.of_heading(heading, draft) });
        let Some(part) = part else { continue };
        for column in first + 1..width {
            if let Some(colour) = colour(grid.at(head, column)) {
                put(table, (row, column), (colour, part), draft, parts.tell);
            }
        }
    }
    draft.made.is_some()
}

fn put(
    table: &Table<'_>,
    (row, column): (usize, usize),
    (colour, part): (usize, usize),
    draft: &mut Draft,
    tell: &mut Tell,
) {
    let mark = forms::mark(table.grid.at(row, column)).filter(|mark| sensible(*mark));
    if mark.is_none()
        && let Some(column) = table.columns.iter().find(|c| c.at == column)
    {
        tell.cell(table, column, row, SO);
    }
    set(draft, colour, part, mark.unwrap_or(Mark::Not));
}

/// Rows of crosses for colours that are not in the list.
fn strangers(
    table: &Table<'_>,
    names: usize,
    rows: &[usize],
    colour: &dyn Fn(&str) -> Option<usize>,
    tell: &mut Tell,
) {
    let grid = table.grid;
    let mut lost = rows
        .iter()
        .filter(|r| !grid.at(**r, names).is_empty() && colour(grid.at(**r, names)).is_none());
    let Some(first) = lost.next() else { return };
    let count = 1 + lost.count();
    let rows = if count == 1 { "one row".into() } else { format!("{count} rows") };
    tell.findings.push(
        Diagnostic::warning(
            "crosses-of-no-colour",
            format!(
                "{rows} of crosses without a colour of the list, '{}' first",
                grid.at(*first, names)
            ),
        )
        .at(grid.span(*first, names))
        .help("write the colour's name or number there, as in the list of colours"),
    );
}
