//! A small working range and sheet to begin with, or one around a spreadsheet.

mod from_table;

pub use from_table::{PAPERS, Page, from_table};

/// A file to write: its path inside the folder, and its text.
pub type File = (String, String);

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
    with(vec![
        ("range.ron", RANGE.to_owned()),
        ("sheet.ron", SHEET.to_owned()),
        ("card.ron", CARD.to_owned()),
    ])
}

fn with(own: Vec<(&str, String)>) -> Vec<File> {
    own.into_iter()
        .chain(SHAPES.iter().map(|(name, text)| (*name, (*text).to_owned())))
        .map(|(name, text)| (name.to_owned(), text))
        .collect()
}
