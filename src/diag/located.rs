//! A value with where it is written.

use std::fmt;
use std::ops::Deref;

use super::Span;

/// A value with where it is written, for messages that come later. Equality is that of the values.
#[derive(Debug, Clone, Default)]
pub struct Located<T> {
    pub value: T,
    /// Of a value that is left out, where it belongs.
    pub span: Option<Span>,
}

impl<T> Located<T> {
    pub fn new(value: T, span: Option<Span>) -> Located<T> {
        Located { value, span }
    }
}

impl<T: PartialEq> PartialEq for Located<T> {
    fn eq(&self, other: &Located<T>) -> bool {
        self.value == other.value
    }
}

impl<T: Eq> Eq for Located<T> {}

impl<T> Deref for Located<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.value
    }
}

impl<'a, T> IntoIterator for &'a Located<T>
where
    &'a T: IntoIterator,
{
    type Item = <&'a T as IntoIterator>::Item;
    type IntoIter = <&'a T as IntoIterator>::IntoIter;

    fn into_iter(self) -> Self::IntoIter {
        self.value.into_iter()
    }
}

impl<T: fmt::Display> fmt::Display for Located<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.value.fmt(f)
    }
}
