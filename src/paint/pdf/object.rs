//! Objects: how they are referred to, and as text.

use std::fmt;
use std::io;

use lopdf::Object;
use lopdf::content::{Content, Operation};

/// An indirect object of generation 0; it displays as a reference
/// (ISO 32000-1, 7.3.10).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Ref(pub u32);

impl fmt::Display for Ref {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} 0 R", self.0)
    }
}

impl From<Ref> for Object {
    fn from(object: Ref) -> Object {
        Object::Reference((object.0, 0))
    }
}

/// An object as lopdf writes it: as an operand of a content stream, with a space after it; lopdf
/// shows no other way to write just one.
///
/// # Errors
/// Those of lopdf, which has none for an object in memory.
pub fn text(object: Object) -> io::Result<Vec<u8>> {
    let operation = Operation::new("", vec![object]);
    let mut text = Content { operations: [operation] }.encode().map_err(io::Error::other)?;
    if text.ends_with(b" ") {
        text.pop();
    }
    Ok(text)
}
