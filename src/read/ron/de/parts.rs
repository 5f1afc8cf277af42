//! What `serde` asks a value for one by one: items, fields, pairs, variants.

use serde::de::value::{StrDeserializer, StringDeserializer};
use serde::de::{
    DeserializeSeed, Deserializer, EnumAccess, IntoDeserializer, MapAccess, SeqAccess,
    VariantAccess, Visitor,
};

use super::value::{At, NoText, Value, entries, unquoted};
use crate::read::locate::{Body, Entry, Node};
use crate::read::ron::faults::{Due, Error, Holder};

/// The values of a list, or those in round brackets.
pub(super) struct Items<'a> {
    pub of: Value<'a>,
    /// None: values in round brackets.
    pub list: Option<&'a Node>,
    pub nodes: std::slice::Iter<'a, Node>,
    /// How many values are empty.
    pub blanks: usize,
}

impl<'de> SeqAccess<'de> for Items<'_> {
    type Error = Error;

    fn next_element_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Error> {
        let value = match (self.nodes.next(), self.list) {
            (Some(node), Some(list)) => self.of.item(list, node),
            (Some(node), None) => self.of.node(node),
            (None, _) if self.blanks == 0 => return Ok(None),
            (None, _) => {
                self.blanks -= 1;
                self.of
            }
        };
        value.decoded(seed).map(Some)
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.nodes.len() + self.blanks)
    }
}

/// The start and the end of a value, and the value.
pub(super) struct Placed<'a> {
    pub bounds: Vec<usize>,
    pub value: Option<Value<'a>>,
}

impl<'de> SeqAccess<'de> for Placed<'_> {
    type Error = Error;

    fn next_element_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Error> {
        match self.bounds.pop() {
            Some(bound) => seed.deserialize(bound.into_deserializer()).map(Some),
            None => self.value.take().map(|value| value.decoded(seed)).transpose(),
        }
    }
}

/// Every field of a struct, written or not.
pub(super) struct Fields<'a> {
    pub of: Value<'a>,
    /// None: all are empty.
    pub node: Option<&'a Node>,
    pub fields: std::slice::Iter<'static, &'static str>,
    pub current: Option<&'static str>,
}

impl<'de> MapAccess<'de> for Fields<'_> {
    type Error = Error;

    fn next_key_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Error> {
        self.current = self.fields.next().copied();
        self.current.map(|name| seed.deserialize(StrDeserializer::new(name))).transpose()
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, Error> {
        let field = self.current.take().ok_or(Error::Noted)?;
        let value = self.node.map_or(self.of.blank(), |node| {
            match entries(node).iter().find(|e| e.text == field) {
                Some(entry) => self.of.entry(node, entry),
                None => Value { at: At::Missing(node, field), ..self.of },
            }
        });
        value.decoded(seed)
    }
}

/// Pairs in curly brackets.
pub(super) struct Pairs<'a> {
    pub value: Value<'a>,
    pub node: Option<&'a Node>,
    pub pairs: std::slice::Iter<'a, Entry>,
    pub current: Option<Value<'a>>,
}

impl<'de> MapAccess<'de> for Pairs<'_> {
    type Error = Error;

    fn next_key_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Error> {
        let (Some(node), Some(entry)) = (self.node, self.pairs.next()) else { return Ok(None) };
        self.current = Some(self.value.entry(node, entry));
        let cx = self.value.cx;
        let holder = Holder { parent: node.span.start, entry: Some(entry), node: &entry.value };
        let key = unquoted(&cx.text[entry.key.clone()]).unwrap_or_else(|why| {
            match why {
                NoText::BadEscape => cx.bad_escape(Some(holder), entry.key.clone()),
                NoText::Other => cx.unquoted_key(holder, entry),
            }
            entry.text.clone()
        });
        seed.deserialize(StringDeserializer::new(key)).map(Some)
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, Error> {
        self.current.take().ok_or(Error::Noted)?.decoded(seed)
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.pairs.len())
    }
}

/// What is written for a variant.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Content {
    /// The word alone.
    None,
    /// What is in the brackets behind the word.
    Brackets,
    /// All of it: the sign that it starts with is the variant's name.
    Itself,
}

pub(super) struct Variant<'a> {
    pub value: Value<'a>,
    pub name: &'static str,
    pub content: Content,
}

impl<'a> Variant<'a> {
    /// What the variant holds; something empty where there is the word alone, which is noted.
    fn content(&self) -> Value<'a> {
        if let (Content::None, At::Written(node)) = (self.content, self.value.at) {
            let how = format!("write {}(...)", self.name);
            self.value.wrong(node, &Due::new("a word with its values in brackets", &how));
            return self.value.blank();
        }
        self.value
    }
}

impl<'de, 'a> EnumAccess<'de> for Variant<'a> {
    type Error = Error;
    type Variant = Variant<'a>;

    fn variant_seed<S: DeserializeSeed<'de>>(
        self,
        seed: S,
    ) -> Result<(S::Value, Variant<'a>), Error> {
        Ok((seed.deserialize(StrDeserializer::new(self.name))?, self))
    }
}

impl<'de> VariantAccess<'de> for Variant<'_> {
    type Error = Error;

    fn unit_variant(self) -> Result<(), Error> {
        if let (Content::Brackets, At::Written(node)) = (self.content, self.value.at) {
            let how = format!("write {}", self.name);
            self.value.wrong(node, &Due::new("a word without brackets", &how));
        }
        Ok(())
    }

    fn newtype_variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<S::Value, Error> {
        let content = self.content();
        match (content.at, self.content) {
            // One value in brackets is the value itself; several are what the value is made of.
            (At::Written(Node { body: Body::Tuple(list), .. }), Content::Brackets)
                if list.len() == 1 =>
            {
                content.node(&list[0]).decoded(seed)
            }
            _ => content.decoded(seed),
        }
    }

    fn tuple_variant<V: Visitor<'de>>(self, count: usize, visitor: V) -> Result<V::Value, Error> {
        self.content().deserialize_tuple(count, visitor)
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        self.content().fields(self.name, fields, visitor)
    }
}
