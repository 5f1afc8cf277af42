//! A range as it was understood from tables, before it is written.

use std::collections::{BTreeMap, BTreeSet};

use super::headings::plain;
use crate::read::Finish;
use crate::read::table::Mark;

/// One list of names and numbers.
#[derive(Debug, Clone)]
pub struct Listing {
    pub key: String,
    pub title: String,
    /// Its name in the headings, plainly: 'dealer'; empty where they give none.
    pub whose: String,
}

#[derive(Debug, Clone)]
pub struct Family {
    pub key: String,
    pub title: String,
    pub finish: Finish,
}

#[derive(Debug, Clone, Default)]
pub struct Colour {
    pub key: String,
    pub family: usize,
    /// One a listing; empty where it has none.
    pub names: Vec<String>,
    pub numbers: Vec<String>,
    /// As range tables write it; none where the list has none.
    pub value: Option<String>,
    pub first: Option<i64>,
    pub last: Option<i64>,
    /// If not the family's.
    pub finish: Option<Finish>,
    pub note: String,
}

#[derive(Debug, Clone, Default)]
pub struct Part {
    pub key: String,
    pub title: String,
    /// One a listing; empty where it has none.
    pub numbers: Vec<String>,
    /// None: the first half of the parts is on the left.
    pub right: Option<bool>,
    pub role: String,
    /// As the list writes it; empty where the drawing's is to be printed.
    pub size: String,
    /// The SVG drawing.
    pub drawing: String,
}

/// What is understood of tables.
#[derive(Debug, Clone, Default)]
pub struct Draft {
    pub listings: Vec<Listing>,
    pub families: Vec<Family>,
    pub colours: Vec<Colour>,
    /// None: three plain ones.
    pub parts: Vec<Part>,
    /// A row for each colour, a mark for each part; none if nothing is given.
    pub made: Option<Vec<Vec<Mark>>>,
    /// The style whose fonts have the letters.
    pub style: &'static str,
}

/// The keys of one kind of thing that are taken.
#[derive(Debug, Default)]
pub struct Taken {
    keys: BTreeSet<String>,
    /// With what number to go on for a key that was taken.
    next: BTreeMap<String, usize>,
}

impl Taken {
    fn insert(&mut self, key: &str) -> bool {
        self.keys.insert(key.to_owned())
    }
}

/// A key from a text: letters, digits and hyphens; numbered where it is taken.
pub fn unused(name: &str, otherwise: &str, taken: &mut Taken) -> String {
    // Crème becomes creme.
    let plain: String = deunicode::deunicode(name)
        .to_lowercase()
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect();
    let words: Vec<&str> = plain.split('-').filter(|w| !w.is_empty()).collect();
    let mut stem: String = words.join("-").chars().take(50).collect();
    stem.truncate(stem.trim_end_matches('-').len());
    if stem.is_empty() {
        stem = otherwise.to_owned();
    }
    let mut key = stem.clone();
    while !taken.insert(&key) {
        let n = taken.next.entry(stem.clone()).or_insert(2);
        key = format!("{stem}-{n}");
        *n += 1;
    }
    key
}

/// Words that head columns of the tables: no listing and no part may go by them.
const RESERVED: [&str; 22] = [
    "key", "colour", "color", "family", "value", "name", "number", "note", "first", "last",
    "finish", "title", "role", "side", "size", "shape", "l", "a", "b", "hex", "from", "to",
];

/// A key for a listing or a part, which heads columns.
pub fn heading_key(name: &str, otherwise: &str, taken: &mut Taken) -> String {
    let bare = plain(&deunicode::deunicode(name)).replace(' ', "");
    let clashes = RESERVED.contains(&bare.as_str())
        || ["name", "number", "key"].iter().any(|w| bare.starts_with(w) || bare.ends_with(w));
    if clashes {
        unused(&format!("{otherwise} {name} x"), otherwise, taken)
    } else {
        unused(name, otherwise, taken)
    }
}
