//! Places of what was decoded.

use std::collections::HashMap;
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

use super::Spanned;
use crate::diag::Span;
use crate::read::locate::{Body, Node};

/// The places of a file's fields.
#[derive(Debug)]
pub struct Source {
    file: Arc<Path>,
    text: String,
    /// Without what is written wrongly.
    tree: Node,
    faulty: Faulty,
    /// The text is a table's: a place is a cell.
    cells: bool,
}

/// What is written, but wrongly, or is missing.
#[derive(Debug, Default)]
pub(super) struct Faulty {
    /// By the start of the bracket around it: its keys.
    keys: HashMap<usize, Vec<String>>,
    /// Its bytes.
    places: Vec<Range<usize>>,
}

impl Faulty {
    pub fn add(&mut self, parent: usize, key: &str, place: Option<Range<usize>>) {
        self.keys.entry(parent).or_default().push(key.to_owned());
        self.places.extend(place);
    }

    pub fn holds(&self, parent: usize, key: &str) -> bool {
        self.keys.get(&parent).is_some_and(|keys| keys.iter().any(|k| k == key))
    }

    pub fn places(&self) -> &[Range<usize>] {
        &self.places
    }

    /// The same, its places in their order.
    fn sorted(mut self) -> Faulty {
        self.places.sort_by_key(|place| (place.start, place.end));
        self
    }

    /// Is any of it within these bytes?
    fn within(&self, bytes: &Range<usize>) -> bool {
        let first = self.places.partition_point(|place| place.start < bytes.start);
        let mut here = self.places[first..].iter().take_while(|place| place.start <= bytes.end);
        here.any(|place| place.end <= bytes.end)
    }
}

impl Source {
    pub(super) fn of_text(file: Arc<Path>, text: &str, tree: Node, faulty: Faulty) -> Source {
        Source { file, text: text.to_owned(), tree, faulty: faulty.sorted(), cells: false }
    }

    /// The places of a table's cells. `faulty`: start of the row, column, bytes.
    pub fn of_cells(
        file: Arc<Path>,
        text: &str,
        tree: Node,
        faulty: Vec<(usize, String, Range<usize>)>,
    ) -> Source {
        let mut all = Faulty::default();
        faulty.into_iter().for_each(|(row, key, place)| all.add(row, &key, Some(place)));
        Source { file, text: text.to_owned(), tree, faulty: all.sorted(), cells: true }
    }

    /// The outer bracket.
    pub fn root(&self) -> Place<'_> {
        Place { source: self, node: &self.tree, key: None }
    }

    /// Where a value is written, its first line.
    pub fn of<T>(&self, value: &Spanned<T>) -> Option<Span> {
        let range = first_line(&self.text, value.range.clone());
        Some(Span { file: self.file.clone(), range })
    }
}

/// The bytes of a value up to the end of its line.
pub(super) fn first_line(text: &str, range: Range<usize>) -> Range<usize> {
    let end = text[range.clone()].find('\n').map_or(range.end, |i| range.start + i);
    range.start..end
}

/// The bytes of the opening bracket, the name before it included.
pub(super) fn head(text: &str, node: &Node) -> Range<usize> {
    let (start, text) = (node.span.start, &text[node.span.clone()]);
    let len = text.find(['(', '[', '{']).map_or(text.len().min(1), |i| i + 1);
    start..start + len
}

/// A place in a file, walked down by names and numbers. Where a name leads
/// nowhere the place stays where it is, so that a message always has one.
#[derive(Debug, Clone, Copy)]
pub struct Place<'a> {
    source: &'a Source,
    node: &'a Node,
    key: Option<&'a Range<usize>>,
}

impl<'a> Place<'a> {
    /// The value of a field.
    pub fn field(self, name: &str) -> Place<'a> {
        if let Body::Entries(list) = &self.node.body
            && let Some(e) = list.iter().rfind(|e| e.text == name)
        {
            return Place { node: &e.value, key: Some(&e.key), ..self };
        }
        self
    }

    /// The n-th item of a list, or the n-th value of pairs.
    pub fn item(self, n: usize) -> Place<'a> {
        match &self.node.body {
            Body::List(l) | Body::Tuple(l) => {
                l.get(n).map_or(self, |node| Place { node, key: None, ..self })
            }
            Body::Entries(l) => {
                l.get(n).map_or(self, |e| Place { node: &e.value, key: Some(&e.key), ..self })
            }
            Body::Leaf => self,
        }
    }

    /// Is the field written here?
    pub fn has(self, name: &str) -> bool {
        matches!(&self.node.body, Body::Entries(l) if l.iter().any(|e| e.text == name))
    }

    fn at(self, range: Range<usize>) -> Option<Span> {
        Some(Span { file: self.source.file.clone(), range })
    }

    /// The value, its first line.
    pub fn span(self) -> Option<Span> {
        self.at(first_line(&self.source.text, self.node.span.clone()))
    }

    /// A stretch of the text in quotes that is here, by its bytes; the whole value where signs are escaped.
    pub fn stretch(self, inner: Range<usize>) -> Option<Span> {
        let whole = self.node.span.clone();
        let text = &self.source.text[whole.clone()];
        if self.source.cells
            || !text.starts_with('"')
            || text.contains(['\\', '\n'])
            || inner.end + 2 > text.len()
        {
            return self.span();
        }
        let start = whole.start + 1;
        self.at(start + inner.start..start + inner.end)
    }

    /// The key before the value, else the value.
    pub fn key_span(self) -> Option<Span> {
        self.key.map_or_else(|| self.span(), |key| self.at(key.clone()))
    }

    /// The value of a field, or the head where it is not written.
    pub fn or_head(self, name: &str) -> Option<Span> {
        if self.has(name) { self.field(name).span() } else { self.head() }
    }

    /// The opening bracket with its name, for 'something is missing in here'.
    pub fn head(self) -> Option<Span> {
        if self.source.cells {
            return self.span();
        }
        self.at(head(&self.source.text, self.node))
    }

    /// Is it a cell of a table, not a field of a text?
    pub fn in_cells(self) -> bool {
        self.source.cells
    }

    /// Was the field written, but wrongly? Then it has its message already.
    pub fn faulted(self, field: &str) -> bool {
        self.source.faulty.holds(self.node.span.start, field)
    }

    /// Was anything inside written wrongly? Then counts and look-ups in it are not to be trusted.
    pub fn damaged(self) -> bool {
        self.source.faulty.within(&self.node.span)
    }
}
