//! What is wrong with a text, noted while it is decoded.

use std::cell::RefCell;
use std::fmt::{self, Display};
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

use serde::de::{self, Expected};

use super::place::{Faulty, first_line, head};
use crate::diag::{Diagnostic, Span, nearest};
use crate::read::locate::{Entry, Node};

/// Why there is no value.
#[derive(Debug)]
pub enum Error {
    /// The fault is noted already.
    Noted,
    /// A type does not take what is written, for a reason of its own.
    Refused(String),
}

impl Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Error::Noted => f.write_str("noted"),
            Error::Refused(why) => f.write_str(why),
        }
    }
}

impl std::error::Error for Error {}

impl de::Error for Error {
    fn custom<T: Display>(why: T) -> Error {
        Error::Refused(why.to_string())
    }
}

/// What a value has to be, and how it is written.
pub struct Due {
    pub what: String,
    pub how: String,
}

impl Due {
    pub fn new(what: &str, how: &str) -> Due {
        Due { what: what.to_owned(), how: how.to_owned() }
    }

    /// In the words of the type, `#[serde(expecting = "WHAT; HOW")]`, where it has words of its own.
    pub fn by(self, expected: &dyn Expected) -> Due {
        match expected.to_string().split_once("; ") {
            Some((what, how)) => Due::new(what, how),
            None => self,
        }
    }
}

/// The field or list item that holds a value. It is left out where the value is wrong: a value within round brackets
/// of values is a part of them.
#[derive(Clone, Copy)]
pub struct Holder<'a> {
    /// Start of the bracket around it.
    pub parent: usize,
    /// None: an item of a list.
    pub entry: Option<&'a Entry>,
    pub node: &'a Node,
}

impl Holder<'_> {
    fn key(&self) -> &str {
        self.entry.map_or("", |e| &e.text)
    }

    fn whole(&self) -> Range<usize> {
        self.entry.map_or_else(|| self.node.span.clone(), Entry::span)
    }
}

/// A text that is being decoded, with what is wrong with it.
pub struct Context<'a> {
    pub file: &'a Arc<Path>,
    pub text: &'a str,
    noted: RefCell<Noted>,
}

/// What was found.
pub struct Noted {
    pub faults: Vec<Diagnostic>,
    pub faulty: Faulty,
    /// The whole text is of the wrong kind.
    pub hopeless: bool,
}

impl<'a> Context<'a> {
    /// `faulty`: what is known to be wrong.
    pub fn new(file: &'a Arc<Path>, text: &'a str, faulty: Faulty) -> Context<'a> {
        let noted = Noted { faults: Vec::new(), faulty, hopeless: false };
        Context { file, text, noted: RefCell::new(noted) }
    }

    pub fn into_noted(self) -> Noted {
        self.noted.into_inner()
    }

    pub fn text_of(&self, node: &Node) -> &'a str {
        &self.text[node.span.clone()]
    }

    fn at(&self, range: Range<usize>) -> Option<Span> {
        Some(Span { file: self.file.clone(), range: first_line(self.text, range) })
    }

    fn note(&self, holder: Option<Holder<'_>>, fault: Diagnostic) {
        let noted = &mut *self.noted.borrow_mut();
        noted.faults.push(fault);
        match holder {
            Some(h) => noted.faulty.add(h.parent, h.key(), Some(h.whole())),
            None => noted.hopeless = true,
        }
    }

    /// A value of the wrong kind.
    pub fn wrong(&self, holder: Option<Holder<'_>>, node: &Node, due: &Due) {
        let whose = match holder.as_ref().map(Holder::key) {
            Some("") => "an item of this list must be".to_owned(),
            Some(key) => format!("'{key}' must be"),
            None => "this file must contain".to_owned(),
        };
        let message = match shortened(self.text_of(node)) {
            shown if shown.is_empty() => format!("{whose} {}", due.what),
            shown => format!("{whose} {}, not {shown}", due.what),
        };
        let fault = Diagnostic::error("wrong-value", message).at(self.at(node.span.clone()));
        self.note(holder, fault.help(&*due.how));
    }

    /// A text with a backslash before a character that it cannot precede.
    pub fn bad_escape(&self, holder: Option<Holder<'_>>, range: Range<usize>) {
        let message = "a '\\' in this text is followed by a character that it cannot precede";
        let fault = Diagnostic::error("bad-escape", message).at(self.at(range));
        self.note(holder, fault.help("write \\\\ for a backslash, \\\" for a quote"));
    }

    /// A key between curly brackets that is no text in quotes.
    pub fn unquoted_key(&self, holder: Holder<'_>, entry: &Entry) {
        let name = &entry.text;
        let message = format!("'{name}' has no quotes");
        let fault = Diagnostic::error("missing-quotes", message).at(self.at(entry.key.clone()));
        self.note(Some(holder), fault.help(format!("write it as \"{name}\"")));
    }

    /// A word that is not one of those known.
    pub fn unknown_word(&self, holder: Option<Holder<'_>>, node: &Node, words: &[&str]) {
        let range = node.name.clone().unwrap_or(node.span.clone());
        let word = &self.text[range.clone()];
        let message = match holder.as_ref().map_or("", Holder::key) {
            "" => format!("'{word}' is not one of the values accepted here"),
            key if key == word => format!("'{word}' needs a value, not its own name"),
            key => format!("'{word}' is not a value of '{key}'"),
        };
        let fault = Diagnostic::error("unknown-word", message).at(self.at(range));
        self.note(holder, fault.help(choice(word, words, "values")));
    }

    /// Fields that there are not, or that are given twice.
    pub fn odd_fields(&self, node: &Node, entries: &[Entry], fields: &[&str]) {
        for (i, e) in entries.iter().enumerate() {
            let holder = Holder { parent: node.span.start, entry: Some(e), node: &e.value };
            let known = fields.contains(&e.text.as_str());
            let fault = if e.is_nameless() {
                let open = fields.iter().find(|f| entries.iter().all(|e| e.text != **f));
                if let Some(open) = open {
                    // Its value is there, so it is not missing as well.
                    self.noted.borrow_mut().faulty.add(holder.parent, open, None);
                }
                let shown = shortened(self.text_of(&e.value));
                let help = format!("write {}: {shown}", open.unwrap_or(&"name"));
                Diagnostic::error("wrong-value", "this value has no field name").help(help)
            } else if !known {
                if let Some(meant) = nearest(&e.text, fields.iter().copied()) {
                    // It is there under another name, so it is not missing as well.
                    self.noted.borrow_mut().faulty.add(holder.parent, meant, None);
                }
                let message = format!("unknown field '{}'", e.text);
                let help = choice(&e.text, fields, "fields");
                Diagnostic::error("unknown-field", message).help(help)
            } else if entries[..i].iter().any(|before| before.text == e.text) {
                let message = format!("the field '{}' is given twice", e.text);
                Diagnostic::error("double-field", message).help("keep one of them")
            } else {
                continue;
            };
            let range = if e.is_nameless() { e.value.span.clone() } else { e.key.clone() };
            self.note(Some(holder), fault.at(self.at(range)));
        }
    }

    /// A field without which nothing can be made, unless it is written, but wrongly.
    pub fn missing(&self, from: &Node, field: &str) {
        let noted = &mut *self.noted.borrow_mut();
        if noted.faulty.holds(from.span.start, field) {
            return;
        }
        noted.faulty.add(from.span.start, field, None);
        noted.faults.push(
            Diagnostic::error("missing-field", format!("'{field}' is missing here"))
                .at(self.at(head(self.text, from)))
                .help(format!("add {field}: with its value")),
        );
    }

    /// What a type has against a value; nothing where the value has a fault already, which it comes of.
    pub fn refused(&self, holder: Option<Holder<'_>>, node: &Node, why: &str) {
        let within = |place: &Range<usize>| {
            node.span.start <= place.start && place.end <= node.span.end
                || place.start <= node.span.start && node.span.end <= place.end
        };
        if self.noted.borrow().faulty.places().iter().any(within) {
            return;
        }
        let due = Due::new("another value", "see the guide for its form");
        let (what, how) = why.split_once("; ").unwrap_or((&due.what, &due.how));
        let message = match holder.as_ref().map_or("", Holder::key) {
            "" => what.to_owned(),
            key => format!("'{key}': {what}"),
        };
        let fault = Diagnostic::error("wrong-value", message).at(self.at(node.span.clone()));
        self.note(holder, fault.help(how));
    }
}

/// A value for a message: its first line, and not all of that where it is long.
fn shortened(text: &str) -> String {
    let line = text.split('\n').next().unwrap_or("");
    let short: String = line.chars().take(40).collect();
    if short.len() < text.len() { format!("{short} ...") } else { short }
}

/// What could be meant.
pub fn choice(found: &str, known: &[&str], what: &str) -> String {
    let list = known.join(", ");
    match nearest(found, known.iter().copied()) {
        Some(n) => format!("did you mean '{n}'? The {what} are: {list}"),
        None => format!("the {what} are: {list}"),
    }
}
