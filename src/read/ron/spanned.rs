//! A value that knows where it is written.

use std::fmt;
use std::marker::PhantomData;
use std::ops::{Deref, Range};

use serde::de::{Deserialize, Deserializer, Error, SeqAccess, Visitor};

/// A value with its place in the text, for messages that come after decoding; of a field that may be left out, and
/// is, the opening bracket where it belongs. Equality is that of the values.
#[derive(Debug, Clone, Default)]
pub struct Spanned<T> {
    pub value: T,
    pub range: Range<usize>,
}

impl<T: PartialEq> PartialEq for Spanned<T> {
    fn eq(&self, other: &Spanned<T>) -> bool {
        self.value == other.value
    }
}

impl<T> Deref for Spanned<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.value
    }
}

/// The name by which the decoder knows that the place is wanted too.
pub(super) const SPANNED: &str = "$Spanned";

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Spanned<T> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Spanned<T>, D::Error> {
        struct In<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for In<T> {
            type Value = Spanned<T>;

            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("a value with its place")
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut parts: A) -> Result<Spanned<T>, A::Error> {
                let none = || A::Error::custom("only this program's decoder knows places");
                let start = parts.next_element()?.ok_or_else(none)?;
                let end = parts.next_element()?.ok_or_else(none)?;
                let value = parts.next_element()?.ok_or_else(none)?;
                Ok(Spanned { value, range: start..end })
            }
        }
        from.deserialize_newtype_struct(SPANNED, In(PhantomData))
    }
}
