//! The keys of a range, for what refers to them.

use super::keys::Keys;
use crate::range::ColourRange;
use crate::work::Work;

/// The keys of a range.
pub struct Index {
    pub listings: Keys,
    pub families: Keys,
    pub parts: Keys,
    pub colours: Keys,
}

/// The range that a sheet shows, and its keys.
#[derive(Clone, Copy)]
pub struct Known<'a> {
    pub range: &'a ColourRange,
    pub index: &'a Index,
    /// What finding an order counts.
    pub work: &'a Work,
}
