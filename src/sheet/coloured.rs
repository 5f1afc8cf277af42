//! A sheet with a mapping of its palette.

use super::item::Sheet;
use super::palette::PaletteMap;

/// A sheet in one mapping of its palette: what painters draw.
#[derive(Debug)]
pub struct Coloured<'a, C> {
    pub sheet: &'a Sheet,
    pub colours: &'a PaletteMap<C>,
}

impl<C> Clone for Coloured<'_, C> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<C> Copy for Coloured<'_, C> {}

impl Sheet {
    /// To be painted so.
    pub fn coloured<'a, C>(&'a self, colours: &'a PaletteMap<C>) -> Coloured<'a, C> {
        Coloured { sheet: self, colours }
    }
}
