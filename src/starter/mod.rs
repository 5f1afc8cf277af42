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
pub type StarterFile = (String, String);

/// What a sheet from a table is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Page {
    /// One page of this standard size.
    One(&'static str),
    /// As many A4 pages as needed.
    Many,
}

/// Pages to try in this order for so many colours, each with the least scale of the parts: the first
/// that the sheet fits on is the one to take.
pub fn pages(colours: usize) -> Vec<(Page, f64)> {
    /// Least scale at which parts are still worth looking at.
    const LEAST: f64 = 0.6;
    /// With the most colours that can fit.
    const SMALL: [(&str, usize); 4] = [("A6", 80), ("A5", 160), ("A4", 400), ("A3", 800)];
    /// For parts that are too large for pages of A4.
    const LARGE: [&str; 4] = ["A3", "A2", "A1", "A0"];
    let small = SMALL.iter().filter(|(_, most)| colours <= *most);
    let small = small.map(|(paper, _)| (Page::One(paper), LEAST));
    small
        .chain([(Page::Many, 0.0)])
        .chain(LARGE.iter().map(|paper| (Page::One(paper), 0.0)))
        .collect()
}

const RANGE: &str = include_str!("range.ron");
const SHEET: &str = include_str!("sheet.ron");
const CARD: &str = include_str!("card.ron");
const SHAPES: [(&str, &str); 3] = [
    ("shapes/button.svg", include_str!("../../demo/haberdashery/shapes/button-2-9.svg")),
    ("shapes/toggle.svg", include_str!("../../demo/haberdashery/shapes/toggle-15.svg")),
    ("shapes/bead.svg", include_str!("../../demo/haberdashery/shapes/bead-6.svg")),
];

/// The sheet, the range, and three shapes.
pub fn files() -> Vec<StarterFile> {
    let own = [("range.ron", RANGE), ("sheet.ron", SHEET), ("card.ron", CARD)];
    own.iter().chain(&SHAPES).map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect()
}
