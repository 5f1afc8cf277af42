//! A table of what is made: one row a colour, one column a part.

use std::collections::BTreeMap;
use std::ops::Range;

use super::{Named, listing_head};
use crate::diag::{Diagnostic, Findings, nearest};
use crate::read::cells::Grid;
use crate::read::cells::heads::{Head, find, same, spoiled, surplus};
use crate::read::locate::{Body, Entry, Node};
use crate::read::raw;
use crate::read::ron::Source;

/// What headings and rows may mean: for each colour or part its key, then
/// other texts that name it.
pub struct Known<'a> {
    pub listings: &'a [Named<'a>],
    pub colours: &'a [(&'a str, Vec<&'a str>)],
    pub parts: &'a [(&'a str, Vec<&'a str>)],
}

/// The matrix of a table; none when its headings are of no use.
pub fn made(
    grid: &Grid,
    own: &[(String, String)],
    known: &Known<'_>,
    findings: &mut Findings,
) -> Option<(raw::Made, Source)> {
    let wanted = [Head::new("key", &["colour", "color", "colour key"]).needed()];
    let heads = find(grid, &wanted, own, findings)?;
    surplus(grid, &heads, findings);
    let key_column = heads.columns[0]?;
    let names = |list: &[(&str, Vec<&str>)]| -> BTreeMap<String, Option<String>> { by_name(list) };
    let (parts, colours) = (names(known.parts), names(known.colours));
    let mut columns: Vec<(usize, String)> = Vec::new();
    for (column, heading) in &heads.others {
        let mapped = own.iter().find(|(o, _)| same(o, heading)).map_or(heading.as_str(), |m| &m.1);
        if tells_colour(mapped, known) {
            continue;
        }
        match parts.get(&mapped.to_lowercase()) {
            Some(Some(key)) => columns.push((*column, key.clone())),
            Some(None) => findings.push(
                Diagnostic::error("unclear-part", format!("more than one part goes by '{mapped}'"))
                    .at(grid.span(heads.row, *column))
                    .help("write the part's key instead"),
            ),
            None => {
                let keys = known.parts.iter().flat_map(|p| p.1.iter().copied().chain([p.0]));
                let help = match nearest(mapped, keys) {
                    Some(near) => format!("did you mean '{near}'?"),
                    None => format!(
                        "write a part's key or number, or map it to nothing: headings: {{\"{heading}\": \"\"}}"
                    ),
                };
                findings.push(
                    Diagnostic::error("unknown-part", format!("there is no part '{mapped}'"))
                        .at(grid.span(heads.row, *column))
                        .help(help),
                );
            }
        }
    }
    let mut out = Matrix::default();
    for row in heads.rows(grid) {
        let text = grid.at(row, key_column);
        if text.is_empty() {
            findings.push(
                Diagnostic::error("missing-field", "this row does not name its colour")
                    .at(grid.span(row, key_column))
                    .help("write the colour's key in the column 'key'"),
            );
            continue;
        }
        let key = match colours.get(&text.to_lowercase()) {
            Some(Some(key)) => key.clone(),
            _ => text.to_owned(),
        };
        out.row(grid, row, (key_column, key), &columns, findings);
    }
    Some(out.finish(grid, heads.row, &columns))
}

/// Every text that names something, in lower case; nothing where two go by it.
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

/// A column that tells people about the colour: passed over.
fn tells_colour(heading: &str, known: &Known<'_>) -> bool {
    let only = known.listings.len() == 1;
    let of = |what| known.listings.iter().map(move |l| listing_head(*l, what, only));
    ["family", "note", "value", "name", "number"].iter().any(|h| same(h, heading))
        || of("name")
            .chain(of("number"))
            .any(|h| same(&h.name, heading) || h.also.iter().any(|a| same(a, heading)))
}

#[derive(Default)]
struct Matrix {
    rows: Vec<(String, String)>,
    row_nodes: Vec<Entry>,
    years: Vec<(String, raw::Pairs<raw::Years>)>,
    year_nodes: Vec<Entry>,
    faulty: Vec<(usize, String, Range<usize>)>,
}

impl Matrix {
    fn row(
        &mut self,
        grid: &Grid,
        row: usize,
        (key_column, key): (usize, String),
        columns: &[(usize, String)],
        findings: &mut Findings,
    ) {
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
                            format!("'{text}' may mean until {year}, or from {year} on: spreadsheets make {text} of {year}-"),
                        )
                        .at(grid.span(row, *column))
                        .help(format!("write 'to {year}' or 'from {year}'"))
                    });
                    let fault = spoiled(grid, row, *column).or(unclear).unwrap_or_else(|| {
                        Diagnostic::error("bad-mark", format!("'{text}' is no mark"))
                            .at(grid.span(row, *column))
                            .help("x stands for made; leave the cell empty for not made; 1990-2001 for the years in which it was made")
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

/// What a cell of such a table says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    Made,
    Not,
    /// Made from one year to another, where they are known.
    Years(Option<i64>, Option<i64>),
}

/// What a cell says: a mark, nothing, or the years in which it was made.
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
