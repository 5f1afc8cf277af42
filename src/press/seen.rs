//! What somebody saw who laid a part among nine patches of a print.

use crate::colour::Lab50;

/// Patches around a part: the middle, and eight.
pub const PATCHES: usize = 9;

/// An answer of a form.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// What the part shows: CIELAB D50.
    pub aim: Lab50,
    /// The values of the middle and of the patches 1 to 8: sRGB and a 0, or ink, a byte a channel.
    pub values: [[u8; 4]; PATCHES],
    /// What was named as nearest: a patch, two that the part is between, or none.
    pub nearest: Vec<usize>,
    /// Whether the part is like it.
    pub like: bool,
}
