//! A sheet, as it is compared.

use std::collections::BTreeMap;

use crate::range::{ColourRange, SheetSpec};
use crate::spelling::Spelling;
use crate::work::Work;

/// A sheet with what it is made of besides its range.
pub struct ComparedSheet<'a> {
    pub range: &'a ColourRange,
    pub sheet: &'a SheetSpec,
    /// Its spellings, by BCP 47 tag. Without one its words count as written.
    pub spellings: BTreeMap<String, Spelling>,
    /// The texts of its own layout, style and spelling files, by the name that the sheet gives them.
    pub texts: BTreeMap<String, String>,
    /// What finding look-alikes counts and asks.
    pub work: Work,
}
