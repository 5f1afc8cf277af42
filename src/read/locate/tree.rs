//! Values by their bytes.

use std::collections::HashSet;
use std::ops::Range;

/// A value and what is inside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Node {
    /// From the first to behind the last byte, a leading name included.
    pub span: Range<usize>,
    /// The name before a bracket: `Lab` in `Lab(1, 2, 3)`.
    pub name: Option<Range<usize>>,
    pub body: Body,
}

/// What a value is made of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Body {
    /// A number, a text, a word.
    Leaf,
    /// `[a, b]`
    List(Vec<Node>),
    /// `(a, b)`
    Tuple(Vec<Node>),
    /// `(key: a)` or `{"key": a}`
    Entries(Vec<Entry>),
}

/// One `key: value`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    pub key: Range<usize>,
    /// The key without quotes; empty where a value has none.
    pub text: String,
    pub value: Node,
}

impl Entry {
    /// Is it a value without a key?
    pub fn is_nameless(&self) -> bool {
        self.key.is_empty()
    }

    /// From the key to the end of the value.
    pub fn span(&self) -> Range<usize> {
        self.key.start..self.value.span.end
    }
}

impl Node {
    /// Takes out the fields and list items that are written in these places: was there any?
    pub fn without(&mut self, places: &[Range<usize>]) -> bool {
        let places: HashSet<_> = places.iter().map(|p| (p.start, p.end)).collect();
        !places.is_empty() && self.take_out(&places)
    }

    fn take_out(&mut self, places: &HashSet<(usize, usize)>) -> bool {
        let stays = |span: Range<usize>| !places.contains(&(span.start, span.end));
        let mut any = false;
        let mut inside = |node: &mut Node| any |= node.take_out(places);
        match &mut self.body {
            Body::Leaf => {}
            Body::Tuple(list) => list.iter_mut().for_each(inside),
            Body::List(list) => {
                let before = list.len();
                list.retain(|node| stays(node.span.clone()));
                list.iter_mut().for_each(&mut inside);
                any |= list.len() < before;
            }
            Body::Entries(list) => {
                let before = list.len();
                list.retain(|entry| stays(entry.span()));
                list.iter_mut().for_each(|entry| inside(&mut entry.value));
                any |= list.len() < before;
            }
        }
        any
    }
}
