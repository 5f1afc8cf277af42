//! A table of what is made: one row a colour, one column a part.

use std::collections::BTreeMap;
use std::ops::Range;

use super::{Named, nameless};
use crate::diag::{Diagnostic, Findings, nearest};
use crate::read::cells::Grid;
use crate::read::cells::heads::{
    Head, Heads, Mapping, Own, find, mapped, passed_over, same, spoiled, surplus, targets,
};
use crate::read::locate::{Body, Entry, Node};
use crate::read::raw;
use crate::read::ron::Source;

/// What headings and rows may mean: for each colour or part its key, then
/// other texts that name it.
pub struct Known<'a> {
    pub listings: &'a [Named<'a>],
    pub colours: &'a [(&'a str, Vec<&'a str>)],
    pub parts: &'a [(&'a str, Vec<&'a str>)],
    /// The colours are in the same table, with these headings mapped.
    pub together: Option<&'a [Mapping]>,
}

/// The matrix of a table; none when its headings are of no use.
pub fn made(
    grid: &Grid,
    own: &[Mapping],
    known: &Known<'_>,
    findings: &mut Findings,
) -> Option<(raw::Made, Source)> {
    let own = &[own, known.together.unwrap_or_default()].concat();
    let reported = super::colours::columns(known.listings);
    let numbers = reported.len() - known.listings.len();
    let names = numbers - known.listings.len();
    let mut wanted = vec![Head::new("key", &["colour", "color", "colour key"])];
    wanted.extend_from_slice(&reported[numbers..]);
    wanted.extend_from_slice(&reported[names..numbers]);
    let parts = by_name(known.parts);
    let is_known = |text: &str| {
        parts.contains_key(&text.to_lowercase())
            || reported.iter().any(|h| h.goes_by(text) || h.form(text).is_some())
    };
    targets(own, &wanted, &is_known, findings);
    let heads = find(grid, &wanted, Own::Mapped(own), findings)?;
    surplus(grid, &heads, findings);
    let naming: Vec<usize> = heads.columns.iter().flatten().copied().collect();
    if naming.is_empty() {
        nameless(grid, &heads, (&wanted, &wanted.iter().collect::<Vec<_>>()), findings);
        return None;
    }
    let of = PartColumns { grid, heads: &heads, own, reported: &reported, parts: &parts, known };
    let columns = of.find(findings);
    let rows: Vec<usize> = heads.rows(grid).collect();
    // Colours in the same rows need not be looked up.
    let in_order =
        known.together.is_some() && heads.columns[0].is_none() && rows.len() == known.colours.len();
    let colours = by_name(known.colours);
    let mut out = MadeRows::of(grid);
    for (n, row) in rows.into_iter().enumerate() {
        let filled = || naming.iter().copied().filter(|c| !grid.at(row, *c).is_empty());
        let Some(first) = filled().next() else {
            if !in_order {
                findings.push(unnamed(grid, row, naming[0], &wanted, &heads));
            }
            continue;
        };
        let key = match in_order {
            true => known.colours[n].0.to_owned(),
            false => {
                let each = || filled().map(|c| colours.get(&grid.at(row, c).to_lowercase()));
                let found = each().flatten().flatten().next();
                if found.is_none() && each().flatten().next().is_some() {
                    findings.push(unclear_colour(grid, row, first));
                    out.doubt(row, first);
                    continue;
                }
                found.cloned().unwrap_or_else(|| grid.at(row, first).to_owned())
            }
        };
        out.row(row, (first, key), &columns, findings);
    }
    Some(out.finish(grid, heads.row, &columns))
}

fn unnamed(grid: &Grid, row: usize, column: usize, wanted: &[Head], heads: &Heads) -> Diagnostic {
    let of = wanted.iter().zip(&heads.columns).find(|(_, c)| **c == Some(column));
    let name = of.map_or("key", |(w, _)| &w.name);
    let what = if name == "key" { "key" } else { "name or number" };
    Diagnostic::error("missing-field", "this row does not name its colour")
        .at(grid.span(row, column))
        .help(format!("write the colour's {what} in the column '{name}'"))
}

fn unclear_colour(grid: &Grid, row: usize, column: usize) -> Diagnostic {
    let text = grid.at(row, column);
    Diagnostic::error("unclear-colour", format!("more than one colour is named '{text}'"))
        .at(grid.span(row, column))
        .help("write the colour's key or number instead")
}

/// What decides which columns are those of parts.
struct PartColumns<'a> {
    grid: &'a Grid,
    heads: &'a Heads,
    own: &'a [Mapping],
    /// Columns with information about the colour.
    reported: &'a [Head],
    /// Keys of the parts by whatever names them.
    parts: &'a BTreeMap<String, Option<String>>,
    known: &'a Known<'a>,
}

impl PartColumns<'_> {
    /// The columns of parts, each with the part's key.
    fn find(&self, findings: &mut Findings) -> Vec<(usize, String)> {
        let PartColumns { grid, heads, own, reported, parts, known } = *self;
        let mut columns: Vec<(usize, String)> = Vec::new();
        let mut strange: Vec<(usize, &str)> = Vec::new();
        for (column, heading) in &heads.others {
            let meant = mapped(heading, own);
            let part = parts.get(&meant.to_lowercase());
            // A column with information about the colour is ignored.
            let about = ["name", "number"].iter().any(|h| same(h, meant))
                || reported.iter().any(|h| h.goes_by(meant) || h.form(meant).is_some());
            if part.is_none() && about {
                continue;
            }
            let fault = match part {
                Some(Some(key)) => {
                    columns.push((*column, key.clone()));
                    continue;
                }
                Some(None) => Diagnostic::error(
                    "unclear-part",
                    format!("more than one part is named '{meant}'"),
                )
                .help("write the part's key instead"),
                None => {
                    let keys = known.parts.iter().flat_map(|p| p.1.iter().copied().chain([p.0]));
                    let near = nearest(meant, keys);
                    if near.is_none() && !holds_marks(grid, heads, *column) {
                        strange.push((*column, heading));
                        continue;
                    }
                    let help = match near {
                        Some(near) => format!("did you mean '{near}'?"),
                        None => format!(
                            "write a part's key or number, or map it to nothing: headings: {{\"{heading}\": \"\"}}"
                        ),
                    };
                    Diagnostic::error("unknown-part", format!("there is no part '{meant}'"))
                        .help(help)
                }
            };
            findings.push(fault.at(grid.span(heads.row, *column)));
        }
        // In one table with the colours they are already reported.
        if known.together.is_none() {
            let keys: Vec<&str> = known.parts.iter().map(|p| p.0).take(20).collect();
            let list = format!("a colour's key, number or name, and the parts {}", keys.join(", "));
            passed_over(grid, heads.row, &strange, &list, findings);
        }
        columns
    }
}

/// Are most of a column's cells marks? Then it is a part's, whatever its heading.
fn holds_marks(grid: &Grid, heads: &Heads, column: usize) -> bool {
    let cells = || heads.rows(grid).map(|row| grid.at(row, column)).filter(|t| !t.is_empty());
    let marks = cells().filter(|text| mark(text).is_some()).count();
    marks > 0 && 2 * marks >= cells().count()
}

/// Every text that names something, in lower case; nothing for a text that names two.
fn by_name(list: &[(&str, Vec<&str>)]) -> BTreeMap<String, Option<String>> {
    let mut out: BTreeMap<String, Option<String>> = BTreeMap::new();
    for (key, others) in list {
        for other in others {
            out.entry(other.to_lowercase())
                .and_modify(|known| {
                    if known.as_deref() != Some(*key) {
                        *known = None;
                    }
                })
                .or_insert_with(|| Some((*key).to_owned()));
        }
    }
    // A key is always meant itself.
    for (key, _) in list {
        out.insert(key.to_lowercase(), Some((*key).to_owned()));
    }
    out
}

/// Rows of marks as they are read.
struct MadeRows<'a> {
    grid: &'a Grid,
    rows: Vec<(String, String)>,
    row_nodes: Vec<Entry>,
    years: Vec<(String, raw::Pairs<raw::Years>)>,
    year_nodes: Vec<Entry>,
    faulty: Vec<(usize, String, Range<usize>)>,
}

impl MadeRows<'_> {
    fn of(grid: &Grid) -> MadeRows<'_> {
        let (rows, row_nodes, years, year_nodes, faulty) = Default::default();
        MadeRows { grid, rows, row_nodes, years, year_nodes, faulty }
    }

    /// Notes a row that has its message: colours may be missing because of it.
    fn doubt(&mut self, row: usize, column: usize) {
        let range = self.grid.cell(row, column).map_or(0..0, |c| c.range());
        self.faulty.push((0, "rows".to_owned(), range));
    }

    fn row(
        &mut self,
        row: usize,
        (key_column, key): (usize, String),
        columns: &[(usize, String)],
        findings: &mut Findings,
    ) {
        let grid = self.grid;
        let range = |column: usize| grid.cell(row, column).map_or(0..0, |c| c.range());
        let leaf = |column: usize| Node { span: range(column), name: None, body: Body::Leaf };
        let mut marks = String::with_capacity(columns.len());
        let (mut years, mut nodes) = (Vec::new(), Vec::new());
        for (column, part) in columns {
            let text = grid.at(row, *column);
            match mark(text) {
                Some(Mark::Made) => marks.push('x'),
                Some(Mark::Not) => marks.push('.'),
                Some(Mark::Years(from, to)) => {
                    marks.push('x');
                    years.push((part.clone(), raw::Years { from, to }));
                    nodes.push(Entry {
                        key: range(*column),
                        text: part.clone(),
                        value: leaf(*column),
                    });
                }
                None => {
                    marks.push('.');
                    self.faulty.push((0, "rows".to_owned(), range(*column)));
                    let unclear = unclear_year(text).map(|year| {
                        Diagnostic::error(
                            "unclear-years",
                            format!("'{text}' may mean until {year} or from {year} on: spreadsheets turn {year}- into {text}"),
                        )
                        .at(grid.span(row, *column))
                        .help(format!("write 'to {year}' or 'from {year}'"))
                    });
                    let fault = spoiled(grid, row, *column).or(unclear).unwrap_or_else(|| {
                        Diagnostic::error("bad-mark", format!("'{text}' is not a mark"))
                            .at(grid.span(row, *column))
                            .help("write x for made, leave the cell empty for not made, or write the years in which it was made, for example 1990-2001")
                    });
                    findings.push(fault);
                }
            }
        }
        self.row_nodes.push(Entry {
            key: range(key_column),
            text: key.clone(),
            value: leaf(key_column),
        });
        if !years.is_empty() {
            let value = Node { span: range(key_column), name: None, body: Body::Entries(nodes) };
            self.year_nodes.push(Entry { key: range(key_column), text: key.clone(), value });
            self.years.push((key.clone(), raw::Pairs(years)));
        }
        self.rows.push((key, marks));
    }

    fn finish(self, grid: &Grid, head: usize, columns: &[(usize, String)]) -> (raw::Made, Source) {
        let cell = |column: usize| grid.cell(head, column).map_or(0..0, |c| c.range());
        let list = columns
            .iter()
            .map(|(c, _)| Node { span: cell(*c), name: None, body: Body::Leaf })
            .collect();
        let whole = 0..grid.text.len();
        let entry = |text: &str, body: Body| Entry {
            key: 0..0,
            text: text.to_owned(),
            value: Node { span: whole.clone(), name: None, body },
        };
        let fields = vec![
            entry("parts", Body::List(list)),
            entry("rows", Body::Entries(self.row_nodes)),
            entry("years", Body::Entries(self.year_nodes)),
        ];
        let tree = Node { span: whole.clone(), name: None, body: Body::Entries(fields) };
        let made = raw::Made {
            parts: Some(columns.iter().map(|c| c.1.clone()).collect()),
            rows: Some(raw::Pairs(self.rows)),
            years: Some(raw::Pairs(self.years)),
        };
        (made, Source::of_cells(grid.file.clone(), &grid.text, tree, self.faulty))
    }
}

/// The meaning of a cell of such a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    Made,
    Not,
    /// Made from one year to another, where they are known.
    Years(Option<i64>, Option<i64>),
}

/// The meaning of a cell: a mark, nothing, or the years in which it was made.
pub fn mark(text: &str) -> Option<Mark> {
    match text.to_lowercase().as_str() {
        "x" | "yes" | "y" | "1" | "true" | "✓" | "✔" | "●" | "•" => {
            return Some(Mark::Made);
        }
        "" | "." | "-" | "–" | "no" | "n" | "0" | "false" => return Some(Mark::Not),
        _ => {}
    }
    let year = |s: &str| {
        let digits = s.len() == 4 && s.bytes().all(|b| b.is_ascii_digit());
        if digits { s.parse().ok() } else { None }
    };
    let lower = text.to_lowercase();
    let (first, rest) = lower.split_once(' ').unwrap_or(("", ""));
    match first {
        "from" | "since" => return Some(Mark::Years(Some(year(rest.trim())?), None)),
        "to" | "until" => return Some(Mark::Years(None, Some(year(rest.trim())?))),
        _ => {}
    }
    let (from, to) = text.split_once(['-', '–']).unwrap_or((text, text));
    let to = match to.trim() {
        "" => None,
        to => Some(year(to)?),
    };
    Some(Mark::Years(Some(year(from.trim())?), to))
}

/// -2019: typed as 'to 2019', or made by a spreadsheet of 'from 2019', 2019-.
fn unclear_year(text: &str) -> Option<&str> {
    let year = text.strip_prefix('-')?;
    (year.len() == 4 && year.bytes().all(|b| b.is_ascii_digit())).then_some(year)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks() {
        assert_eq!(mark("X"), Some(Mark::Made));
        assert_eq!(mark(""), Some(Mark::Not));
        assert_eq!(mark("1990-2001"), Some(Mark::Years(Some(1990), Some(2001))));
        assert_eq!(mark("1990 – "), Some(Mark::Years(Some(1990), None)));
        assert_eq!(mark("from 1990"), Some(Mark::Years(Some(1990), None)));
        assert_eq!(mark("To 2001"), Some(Mark::Years(None, Some(2001))));
        // A spreadsheet makes -2001 of 2001-: it may mean either.
        assert_eq!((mark("-2001"), unclear_year("-2001")), (None, Some("2001")));
        assert_eq!(mark("1998"), Some(Mark::Years(Some(1998), Some(1998))));
        assert_eq!(mark("maybe"), None);
        assert_eq!(mark("199-2001"), None);
    }
}
