//! Where the legend and the notes are, and in which pieces they are measured and drawn.

use super::facts::Facts;

/// Where the legend and the notes are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Furniture {
    /// At the foot of one page column.
    Column,
    /// Across the page under all columns.
    Band,
    /// At the foot of one page column, but the list of parts across the page under all columns.
    Split,
}

/// What is measured and drawn in one place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Piece {
    /// All of it, at the foot of a page column.
    Column,
    /// All of it, across the page.
    Band,
    /// All but the list of parts, at the foot of a page column.
    Key,
    /// The list of parts, across the page.
    Parts,
}

/// Height in mm of a piece of the furniture for a width in mm and a part scale.
pub type FurnitureHeight<'a> = &'a dyn Fn(&Facts<'_>, f64, f64, Piece) -> f64;

/// Price of a list of parts apart from the key.
const APART: f64 = 0.02;

impl Furniture {
    /// All places, the plainest first.
    pub const ALL: [Furniture; 3] = [Furniture::Column, Furniture::Band, Furniture::Split];

    /// The pieces at the foot of a page column.
    pub fn in_column(self) -> Option<Piece> {
        match self {
            Furniture::Column => Some(Piece::Column),
            Furniture::Band => None,
            Furniture::Split => Some(Piece::Key),
        }
    }

    /// The pieces across the page.
    pub fn across(self) -> Option<Piece> {
        match self {
            Furniture::Column => None,
            Furniture::Band => Some(Piece::Band),
            Furniture::Split => Some(Piece::Parts),
        }
    }

    /// Its price.
    pub fn cost(self) -> f64 {
        if self == Furniture::Split { APART } else { 0.0 }
    }
}
