//! The scanned tree as a `serde` deserializer that goes on after a fault: what is wrong is noted with its place, and
//! something empty is handed on for it, so that one pass finds everything. A value with faults is of no use; `decode`
//! leaves them out and decodes what remains.
//!
//! A field of a struct may be left out where it is an `Option`; every other field is needed. Attributes for defaults
//! and unknown fields have no part in that. A variant may be named after the sign that its value starts with: `"`
//! for a text, `[` for a list, `(` for round brackets without a name, `_` for those with another name or none.

mod parts;
mod value;

use serde::de::{Deserializer, Error as _, Visitor};
use serde::forward_to_deserialize_any;

use self::parts::{Content, Fields, Items, Pairs, Placed, Variant};
pub use self::value::Value;
use self::value::{At, entries, is_word, unquoted};
use super::faults::{Due, Error, choice};
use super::place::head;
use super::spanned::SPANNED;
use crate::read::locate::{Body, Entry, Node};

impl<'a> Value<'a> {
    /// The values of a list.
    fn items(self, list: &'a Node, nodes: &'a [Node]) -> Items<'a> {
        Items { of: self, list: Some(list), nodes: nodes.iter(), blanks: 0 }
    }

    /// The values in round brackets: all are held by what holds these.
    fn parts(self, nodes: &'a [Node]) -> Items<'a> {
        Items { of: Value { word: None, ..self }, list: None, nodes: nodes.iter(), blanks: 0 }
    }

    fn blanks(self, blanks: usize) -> Items<'a> {
        Items { of: self.blank(), list: None, nodes: [].iter(), blanks }
    }

    fn round_values<'de, V: Visitor<'de>>(
        self,
        count: usize,
        due: &Due,
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_seq(match self.written() {
            None => self.blanks(count),
            Some(node) => match &node.body {
                Body::Tuple(list) if list.len() == count => self.parts(list),
                _ => {
                    self.wrong(node, due);
                    self.blanks(count)
                }
            },
        })
    }

    fn fields<'de, V: Visitor<'de>>(
        self,
        name: &str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        let node = self.written().and_then(|node| self.with_fields(name, node, fields, &visitor));
        if let Some(node) = node {
            self.cx.odd_fields(node, entries(node), fields);
        }
        visitor.visit_map(Fields { of: self, node, fields: fields.iter(), current: None })
    }

    /// The bracket, where it can hold fields.
    fn with_fields<'de>(
        self,
        name: &str,
        node: &'a Node,
        fields: &[&str],
        visitor: &impl Visitor<'de>,
    ) -> Option<&'a Node> {
        let given = node.name.clone().map(|n| &self.cx.text[n]);
        let is_round = self.sign(node) == "(";
        let due = match &node.body {
            Body::Entries(_) if !is_round => None,
            Body::Tuple(list) if !list.is_empty() => None,
            Body::Entries(_) | Body::Tuple(_) => match given.filter(|given| *given != name) {
                None => return Some(node),
                Some(_) if self.word.is_some() => return Some(node),
                Some(given) => Some(Due::new(
                    "fields in round brackets without a name",
                    &format!("remove the name '{given}', and begin with the bracket"),
                )),
            },
            Body::Leaf | Body::List(_) => None,
        };
        let due = due.unwrap_or_else(|| match (self.word, fields.first()) {
            (Some(word), Some(field)) => {
                let value = self.cx.text_of(node).trim_start_matches(word);
                let value = value.trim_matches(['(', ')', ' ']);
                let how = format!("write {word}({field}: {value}, ...)");
                Due::new(&format!("named fields in {word}(...)"), &how)
            }
            _ => Due::new("fields in round brackets", "write it as (name: value, name: value)"),
        });
        self.wrong(node, &due.by(visitor));
        None
    }

    /// The variant that is written, and what is written for it.
    fn variant<'de>(
        self,
        variants: &'static [&'static str],
        visitor: &impl Visitor<'de>,
    ) -> Option<Variant<'a>> {
        let node = self.written()?;
        let text = self.cx.text_of(node);
        let word = node.name.clone().map_or(text, |name| &self.cx.text[name]);
        let is_word = node.name.is_some() || node.body == Body::Leaf && is_word(text);
        let sign = self.sign(node);
        let find = |wanted: &str| variants.iter().copied().find(|v| *v == wanted);
        if is_word && let Some(name) = find(word) {
            let content = if node.name.is_some() { Content::Brackets } else { Content::None };
            return Some(Variant { value: Value { word: Some(name), ..self }, name, content });
        }
        let by_sign = if is_word { None } else { find(sign) };
        if let Some(name) = by_sign.or_else(|| find("_").filter(|_| sign == "(")) {
            return Some(Variant { value: self, name, content: Content::Itself });
        }
        let words: Vec<&str> =
            variants.iter().copied().filter(|v| v.starts_with(char::is_alphabetic)).collect();
        if is_word && (node.name.is_some() || words.len() == variants.len()) {
            self.cx.unknown_word(self.holder, node, &words);
            return None;
        }
        let meant = unquoted(text).ok().filter(|word| words.contains(&word.as_str()));
        let how = match meant {
            Some(word) => format!("write {word} without quotes"),
            None => choice(text, &words, "values"),
        };
        self.wrong(node, &Due::new("a word without quotes", &how).by(visitor));
        None
    }
}

macro_rules! whole_numbers {
    ($($method:ident $visit:ident)*) => {
        $(fn $method<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
            visitor.$visit(self.whole())
        })*
    };
}

impl<'de> Deserializer<'de> for Value<'_> {
    type Error = Error;

    whole_numbers! {
        deserialize_i8 visit_i8 deserialize_i16 visit_i16 deserialize_i32 visit_i32 deserialize_i64 visit_i64
        deserialize_u8 visit_u8 deserialize_u16 visit_u16 deserialize_u32 visit_u32 deserialize_u64 visit_u64
    }

    fn deserialize_f32<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_f64(self.number())
    }

    fn deserialize_f64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_f64(self.number())
    }

    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        let due = ("true or false", "write true or false, without quotes");
        visitor.visit_bool(self.leaf(due, |text| text.parse().ok()).unwrap_or_default())
    }

    fn deserialize_str<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_string(self.text())
    }

    fn deserialize_string<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_string(self.text())
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        let At::Written(node) = self.at else { return visitor.visit_none() };
        match (&node.body, node.name.clone().map(|name| &self.cx.text[name])) {
            (Body::Leaf, _) if self.cx.text_of(node) == "None" => visitor.visit_none(),
            (Body::Tuple(list), Some("Some")) if list.len() == 1 => {
                visitor.visit_some(self.node(&list[0]))
            }
            _ => visitor.visit_some(self),
        }
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        let items = match self.written() {
            None => self.blanks(0),
            Some(node) => match &node.body {
                Body::List(list) => self.items(node, list),
                _ => {
                    let due = Due::new("a list", "write it in square brackets: [..., ...]");
                    self.wrong(node, &due.by(&visitor));
                    self.blanks(0)
                }
            },
        };
        visitor.visit_seq(items)
    }

    fn deserialize_tuple<V: Visitor<'de>>(
        self,
        count: usize,
        visitor: V,
    ) -> Result<V::Value, Error> {
        let how =
            "write as many values between the brackets as the guide shows, separated by commas";
        let due = Due::new(&format!("{count} values in round brackets"), how).by(&visitor);
        self.round_values(count, &due, visitor)
    }

    fn deserialize_tuple_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        count: usize,
        visitor: V,
    ) -> Result<V::Value, Error> {
        self.deserialize_tuple(count, visitor)
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        let due = || {
            let how = "write it as {\"key\": ..., \"key\": ...}";
            Due::new("pairs in curly brackets", how).by(&visitor)
        };
        let node = self.written().filter(|node| {
            let is_map = self.cx.text_of(node).starts_with('{')
                && !entries(node).iter().any(Entry::is_nameless);
            if !is_map {
                self.wrong(node, &due());
            }
            is_map
        });
        let pairs = node.map_or(&[][..], entries).iter();
        visitor.visit_map(Pairs { value: self, node, pairs, current: None })
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        self.fields(name, fields, visitor)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _name: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        let first = variants.first().copied().unwrap_or_default();
        let blank = Variant { value: self.blank(), name: first, content: Content::Itself };
        let variant = self.variant(variants, &visitor).unwrap_or(blank);
        visitor.visit_enum(variant)
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        visitor: V,
    ) -> Result<V::Value, Error> {
        if name != SPANNED {
            return visitor.visit_newtype_struct(self);
        }
        let range = match self.at {
            At::Written(node) => node.span.clone(),
            At::Missing(from, _) => head(self.cx.text, from),
            At::Blank => 0..0,
        };
        visitor.visit_seq(Placed { bounds: vec![range.end, range.start], value: Some(self) })
    }

    fn deserialize_ignored_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_unit()
    }

    fn deserialize_any<V: Visitor<'de>>(self, _: V) -> Result<V::Value, Error> {
        Err(Error::custom("this type does not say what it takes"))
    }

    forward_to_deserialize_any! { i128 u128 char bytes byte_buf unit unit_struct identifier }
}
