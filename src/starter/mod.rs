//! A small working range and sheet to begin with, or one around a spreadsheet.

mod begin;
mod colours;
mod columns;
mod draft;
mod forms;
mod headings;
mod made;
mod parts;
mod plain;
mod tell;
mod texts;
mod write;

pub use begin::{Begun, Given, begin};
pub use draft::Draft;
pub use parts::Folder;

/// A file to write: its path inside the folder, and its text.
pub type File = (String, String);

/// What a sheet from a table is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Page {
    /// One page of this standard size.
    One(&'static str),
    /// As many A4 pages as it takes.
    Many,
}

/// Sizes to try, from the smallest, each with the most colours that can fit: the first that a sheet
/// fits on is the one to take.
pub const PAPERS: [(&str, usize); 4] = [("A6", 80), ("A5", 160), ("A4", 400), ("A3", 800)];

const RANGE: &str = include_str!("range.ron");
const SHEET: &str = include_str!("sheet.ron");
const CARD: &str = include_str!("card.ron");
const SHAPES: [(&str, &str); 3] = [
    ("shapes/button.svg", include_str!("../../demo/haberdashery/shapes/button-2-9.svg")),
    ("shapes/toggle.svg", include_str!("../../demo/haberdashery/shapes/toggle-15.svg")),
    ("shapes/bead.svg", include_str!("../../demo/haberdashery/shapes/bead-6.svg")),
];

/// The sheet, the range, and three shapes.
pub fn files() -> Vec<File> {
    let own = [("range.ron", RANGE), ("sheet.ron", SHEET), ("card.ron", CARD)];
    own.iter().chain(&SHAPES).map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect()
}
