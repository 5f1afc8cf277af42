//! A value of the tree while it is decoded.

use serde::de::{DeserializeOwned, DeserializeSeed};

use crate::read::locate::{Body, Entry, Node};
use crate::read::ron::faults::{Context, Due, Error, Holder};

/// A value to be decoded.
#[derive(Clone, Copy)]
pub struct Value<'a> {
    pub(super) cx: &'a Context<'a>,
    pub(super) at: At<'a>,
    pub(super) holder: Option<Holder<'a>>,
    /// The word in whose brackets it is.
    pub(super) word: Option<&'static str>,
}

#[derive(Clone, Copy)]
pub(super) enum At<'a> {
    Written(&'a Node),
    /// A field that is not written in this bracket.
    Missing(&'a Node, &'static str),
    /// Something empty in place of what is wrong.
    Blank,
}

impl<'a> Value<'a> {
    /// A whole text.
    pub fn root(cx: &'a Context<'a>, tree: &'a Node) -> Value<'a> {
        Value { cx, at: At::Written(tree), holder: None, word: None }
    }

    /// Decodes it; what its type has against it is noted.
    pub fn decoded<'de, S: DeserializeSeed<'de>>(self, seed: S) -> Result<S::Value, Error> {
        seed.deserialize(self).map_err(|error| {
            if let (Error::Refused(why), At::Written(node)) = (&error, self.at) {
                self.cx.refused(self.holder, node, why);
            }
            Error::Noted
        })
    }

    pub(super) fn blank(self) -> Value<'a> {
        Value { at: At::Blank, ..self }
    }

    pub(super) fn node(self, node: &'a Node) -> Value<'a> {
        Value { at: At::Written(node), ..self }
    }

    /// The item of a list.
    pub(super) fn item(self, list: &'a Node, node: &'a Node) -> Value<'a> {
        let holder = Holder { parent: list.span.start, entry: None, node };
        Value { holder: Some(holder), word: None, ..self.node(node) }
    }

    pub(super) fn entry(self, bracket: &'a Node, entry: &'a Entry) -> Value<'a> {
        let parent = bracket.span.start;
        let holder = Holder { parent, entry: Some(entry), node: &entry.value };
        Value { holder: Some(holder), word: None, ..self.node(&entry.value) }
    }

    /// Where it is written; that it is missing is noted.
    pub(super) fn written(self) -> Option<&'a Node> {
        match self.at {
            At::Written(node) => Some(node),
            At::Missing(from, field) => {
                self.cx.missing(from, field);
                None
            }
            At::Blank => None,
        }
    }

    /// The sign that it starts with, the name before it aside; nothing for a number or a word.
    pub(super) fn sign(self, node: &Node) -> &'static str {
        let text = self.cx.text_of(node);
        match text.chars().next() {
            Some('(') => "(",
            Some('[') => "[",
            Some('{') => "{",
            _ if node.name.is_some() => "(",
            _ if is_text(text) => "\"",
            _ => "",
        }
    }

    pub(super) fn wrong(self, node: &Node, due: &Due) {
        self.cx.wrong(self.holder, node, due);
    }

    /// A number or a word; none where it is something else, which is noted.
    pub(super) fn leaf<T>(
        self,
        (what, how): (&str, &str),
        read: impl FnOnce(&str) -> Option<T>,
    ) -> Option<T> {
        let node = self.written()?;
        let is_leaf = node.body == Body::Leaf;
        let value = is_leaf.then(|| read(self.cx.text_of(node))).flatten();
        if value.is_none() {
            self.wrong(node, &Due::new(what, how));
        }
        value
    }

    pub(super) fn whole<T: DeserializeOwned + Default>(self) -> T {
        let due = match self.at {
            At::Written(node) => match self.cx.text_of(node).strip_prefix('-') {
                Some(digits) if is_digits(digits) => {
                    ("a whole number of 0 or more", "write it without the minus sign")
                }
                None if is_digits(self.cx.text_of(node)) => {
                    ("a smaller whole number", "write a smaller number")
                }
                _ => ("a whole number", "write digits only, without quotes"),
            },
            _ => ("a whole number", ""),
        };
        self.leaf(due, |text| ron::from_str(text).ok()).unwrap_or_default()
    }

    pub(super) fn number(self) -> f64 {
        let how = "write it with digits and a decimal point, without quotes, for example 0.5";
        // What is handed on for no number is one that most types take.
        self.leaf(("a number", how), |text| ron::from_str(text).ok()).unwrap_or(1.0)
    }

    pub(super) fn text(self) -> String {
        let Some(node) = self.written() else { return String::new() };
        let text = self.cx.text_of(node);
        let read = if node.body == Body::Leaf { unquoted(text) } else { Err(NoText::Other) };
        match read {
            Ok(text) => return text,
            Err(NoText::BadEscape) => self.cx.bad_escape(self.holder, node.span.clone()),
            Err(NoText::Other) => {
                let how = match text.contains(['"', '(', '[', '{', '\n']) {
                    true => "write one text between two quotes: \"...\"".to_owned(),
                    false => format!("write it as \"{text}\""),
                };
                self.wrong(node, &Due::new("a text in quotes", &how));
            }
        }
        String::new()
    }
}

/// The fields of a bracket.
pub(super) fn entries(node: &Node) -> &[Entry] {
    match &node.body {
        Body::Entries(list) => list,
        _ => &[],
    }
}

/// Why there is no text.
pub(super) enum NoText {
    BadEscape,
    Other,
}

pub(super) fn is_digits(written: &str) -> bool {
    !written.is_empty() && written.bytes().all(|b| b.is_ascii_digit())
}

/// Does it begin like a text in quotes?
pub(super) fn is_text(written: &str) -> bool {
    let raw = written.strip_prefix('r').map(|rest| rest.trim_start_matches('#'));
    raw.unwrap_or(written).starts_with('"')
}

pub(super) fn is_word(written: &str) -> bool {
    written.starts_with(|c: char| c.is_alphabetic() || c == '_') && !is_text(written)
}

/// The text between quotes.
pub(super) fn unquoted(written: &str) -> Result<String, NoText> {
    let plain = written.strip_prefix('"').and_then(|text| text.strip_suffix('"'));
    if let Some(plain) = plain.filter(|text| !text.contains(['\\', '"'])) {
        return Ok(plain.to_owned());
    }
    if !is_text(written) {
        return Err(NoText::Other);
    }
    ron::from_str(written).map_err(|error| match error.code {
        ron::Error::InvalidEscape(_) => NoText::BadEscape,
        _ => NoText::Other,
    })
}
