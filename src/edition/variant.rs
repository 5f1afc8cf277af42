//! An edition and the variants that it comes out as.

use super::filter::Filter;
use crate::plan::Layout;
use crate::range::{EditionSpec, Format, Only, SheetSpec};

/// One edition: a layout, planned once for all its spellings.
#[derive(Debug, Clone)]
pub struct Edition {
    pub name: String,
    /// All spellings that the sheet gives it, BCP 47: its plan has room for each of them.
    pub spellings: Vec<String>,
    /// Those of them that are asked for, in the sheet's order; at least one.
    pub wanted: Vec<String>,
    pub layout: Layout,
    pub formats: Vec<Format>,
    /// Indices into the sheet's families.
    pub shown: Vec<usize>,
    /// What it leaves everything else out for.
    pub only: Option<Only>,
}

impl Edition {
    pub(super) fn new(
        sheet: &SheetSpec,
        spec: &EditionSpec,
        layout: Layout,
        filter: &Filter,
    ) -> Edition {
        let families = sheet.families();
        let is_shown = |i: &usize| {
            spec.families().is_empty() || spec.families().contains(&families[*i].family())
        };
        let wanted = spec.spellings().iter().filter(|tag| filter.spelling(tag));
        Edition {
            name: spec.name().clone(),
            spellings: spec.spellings().value.clone(),
            wanted: wanted.cloned().collect(),
            layout,
            formats: filter.of(spec.formats()),
            shown: (0..families.len()).filter(is_shown).collect(),
            only: *spec.only(),
        }
    }

    /// What comes out of it.
    pub fn variants(&self) -> impl Iterator<Item = Variant<'_>> {
        self.wanted.iter().map(|tag| Variant { edition: self, tag })
    }
}

/// An edition in one spelling.
#[derive(Debug, Clone, Copy)]
pub struct Variant<'a> {
    pub edition: &'a Edition,
    /// Its spelling, BCP 47.
    pub tag: &'a str,
}

impl<'a> Variant<'a> {
    /// The edition's name.
    pub fn name(&self) -> &'a str {
        &self.edition.name
    }

    /// `a4.en-GB`: how its files begin.
    pub fn stem(&self) -> String {
        format!("{}.{}", self.edition.name, self.tag)
    }
}
