//! Tables of colours, parts and what is made: from cells to the same raw
//! documents that a RON text gives, each field with its cell as its place.

mod colours;
mod field;
mod keys;
mod made;
mod parts;

pub use colours::colours;
pub use field::{parse_decimal, parse_value};
pub use made::{Known, Mark, made, mark};
pub use parts::parts;

use std::ops::Range;

use super::cells::Grid;
use super::cells::heads::{Head, Heads, Mapping, mapped, spoiled};
use super::locate::{Body, Entry, Node};
use super::ron::Source;
use crate::diag::{Diagnostic, Findings, Severity, nearest};

/// A listing as headings name it: key and title.
pub type Named<'a> = (&'a str, &'a str);

/// The fields of one row, with their cells.
struct Row<'a> {
    grid: &'a Grid,
    row: usize,
    fields: Vec<Entry>,
    faulty: &'a mut Vec<(usize, String, Range<usize>)>,
}

impl<'a> Row<'a> {
    /// The text of a cell that holds something; it becomes the place of `name`.
    /// A spoiled cell is noted and counts as faulty.
    fn take(&mut self, name: &str, column: Option<usize>, f: &mut Findings) -> Option<&'a str> {
        let column = column?;
        let text = self.grid.at(self.row, column);
        if text.is_empty() {
            return None;
        }
        self.fields.push(self.entry(name, column));
        if let Some(fault) = spoiled(self.grid, self.row, column) {
            let lost = fault.severity == Severity::Error;
            f.push(fault);
            if lost {
                self.fault(name, column);
                return None;
            }
        }
        Some(text)
    }

    fn entry(&self, name: &str, column: usize) -> Entry {
        let range = self.grid.cell(self.row, column).map_or(0..0, |c| c.range());
        let value = Node { span: range.clone(), name: None, body: Body::Leaf };
        Entry { key: range, text: name.to_owned(), value }
    }

    /// The field was written, but wrongly: it has its message.
    fn fault(&mut self, name: &str, column: usize) {
        let range = self.grid.cell(self.row, column).map_or(0..0, |c| c.range());
        self.faulty.push((self.span().start, name.to_owned(), range));
    }

    /// From the first cell that holds something to the last.
    fn span(&self) -> Range<usize> {
        let cells = &self.grid.rows[self.row];
        let filled = || cells.iter().filter(|c| !self.grid.text_of(c).is_empty());
        let start = filled().next().map_or(0, |c| c.range().start);
        start..filled().next_back().map_or(start, |c| c.range().end)
    }

    /// Fields of one kind under one name: the names of all listings.
    fn gather(&mut self, name: &str, inner: Vec<Entry>) {
        let Some(first) = inner.first() else { return };
        let span = first.value.span.start..inner.last().map_or(0, |l| l.value.span.end);
        // Columns may be in any order.
        let span = span.start.min(span.end)..span.start.max(span.end);
        let value = Node { span: span.clone(), name: None, body: Body::Entries(inner) };
        self.fields.push(Entry { key: span, text: name.to_owned(), value });
    }

    fn node(self) -> Node {
        Node { span: self.span(), name: None, body: Body::Entries(self.fields) }
    }
}

/// The places of a list of rows.
fn source(grid: &Grid, rows: Vec<Node>, faulty: Vec<(usize, String, Range<usize>)>) -> Source {
    let tree = Node { span: 0..grid.text.len(), name: None, body: Body::List(rows) };
    Source::of_cells(grid.file.clone(), &grid.text, tree, faulty)
}

/// Headings for a listing's names or numbers: 'works name', 'name works', the
/// title in place of the key, and plain 'name' where there is one listing.
fn listing_head((key, title): Named<'_>, what: &str, only: bool) -> Head {
    let [first, second, third] =
        [format!("{what} {key}"), format!("{title} {what}"), format!("{what} {title}")];
    let also = [first.as_str(), &second, &third, what];
    Head::new(format!("{key} {what}"), if only { &also } else { &also[..3] })
}

/// Columns that hold forms of a text in a spelling: 'works name en-US', or a heading that is mapped to it.
/// They are taken out of the columns that nobody wanted.
fn forms(heads: &mut Heads, of: &Head, own: &[Mapping]) -> Vec<(String, usize)> {
    let mut out = Vec::new();
    heads.others.retain(|(column, heading)| {
        let tag = of.form(mapped(heading, own));
        out.extend(tag.map(|tag| (tag.to_owned(), *column)));
        tag.is_none()
    });
    out
}

/// Reports a table without a column that names its rows. `wanted`: all columns, those that could first.
fn nameless(grid: &Grid, heads: &Heads, (wanted, naming): (&[Head], &[&Head]), f: &mut Findings) {
    let others = || heads.others.iter().map(|o| o.1.as_str());
    let near = naming.iter().find_map(|w| Some((*w, nearest(&w.name, others())?)));
    let list: Vec<&str> = wanted.iter().map(|w| w.name.as_str()).collect();
    let (message, help, place) = match near {
        Some((head, near)) => (
            format!("this table has no column '{}'", head.name),
            format!("is it '{near}'? Then map it: headings: {{\"{near}\": \"{}\"}}", head.name),
            heads.others.iter().find(|o| o.1 == near).map_or(0, |o| o.0),
        ),
        None => (
            "this table has no column of keys, numbers or names".to_owned(),
            format!(
                "add such a column, or map yours: headings: {{\"your heading\": \"{}\"}}; the known columns are: {}",
                naming.last().map_or("key", |w| &w.name),
                list.join(", ")
            ),
            0,
        ),
    };
    f.push(Diagnostic::error("missing-column", message).at(grid.span(heads.row, place)).help(help));
}

/// The key of a row where there is no column of keys: from these columns. `what` names them: 'a number nor a
/// name'.
fn naming(
    keys: &mut keys::Keys,
    row: &mut Row<'_>,
    columns: &[Option<usize>],
    what: &str,
    f: &mut Findings,
) -> Option<String> {
    let found: Vec<(usize, &str)> = columns
        .iter()
        .flatten()
        .map(|c| (*c, row.grid.at(row.row, *c)))
        .filter(|(_, text)| !text.is_empty())
        .collect();
    let texts: Vec<&str> = found.iter().map(|t| t.1).collect();
    let key = keys.key(&texts);
    match (&key, found.first()) {
        (Some(_), Some((column, _))) => {
            let entry = row.entry("key", *column);
            row.fields.push(entry);
        }
        _ => {
            let first = (0..row.grid.rows[row.row].len())
                .find(|c| !row.grid.at(row.row, *c).is_empty())
                .unwrap_or(0);
            f.push(
                Diagnostic::error("missing-field", format!("this row has neither {what}"))
                    .at(row.grid.span(row.row, first))
                    .help(format!("write {what}, or remove the row").replace("nor", "or")),
            );
            row.fault("key", first);
        }
    }
    key
}
