//! Chips as small pictures beside a Markdown file, named by the colour's number.

use std::collections::BTreeMap;

use kurbo::Rect;

use super::content::{Entry, Note};
use crate::plan::Look;
use crate::sheet::canvas::Canvas;
use crate::sheet::spine::chip;
use crate::sheet::{About, Sample, Sheet, Workshop};

/// Names of chips by what they show.
#[derive(Debug, Clone, Default)]
pub struct Chips {
    /// In small letters, since some disks do not distinguish them from capitals.
    by_name: BTreeMap<String, Sample>,
}

impl Chips {
    /// Names every chip of a note; those of notes in other spellings may be in it already.
    pub fn add(&mut self, note: &Note) {
        for entry in note.sections.iter().flat_map(|s| &s.groups).flat_map(|g| &g.entries) {
            entry.chips.iter().for_each(|chip| drop(self.name(entry, *chip)));
        }
    }

    /// The name of an entry's chip, without its ending.
    pub fn name(&mut self, entry: &Entry, chip: Sample) -> String {
        let word = if entry.number.is_empty() { &entry.name } else { &entry.number };
        let stem = format!("chip-{}", plain(word));
        let mut name = stem.clone();
        let mut n = 1;
        while self.by_name.get(&name).is_some_and(|other| other.published != chip.published) {
            n += 1;
            name = format!("{stem}-{n}");
        }
        self.by_name.insert(name.clone(), chip);
        name
    }

    /// Every chip with its name.
    pub fn each(&self) -> impl Iterator<Item = (&String, Sample)> {
        self.by_name.iter().map(|(name, chip)| (name, *chip))
    }
}

/// Letters a to z, digits and hyphens, at most 40.
fn plain(word: &str) -> String {
    let ascii = deunicode::deunicode(word).to_lowercase();
    let signs = ascii.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' });
    let signs: String = signs.collect();
    let words: Vec<&str> = signs.split('-').filter(|w| !w.is_empty()).collect();
    words.join("-").chars().take(40).collect()
}

/// Width and height of a chip's picture, mm.
pub const SIZE: (f64, f64) = (13.0, 8.0);

/// A chip alone on a page of its size.
pub fn sheet(sample: Sample, look: &Look) -> Sheet {
    let workshop = Workshop::empty();
    let mut canvas = Canvas::new(look, &workshop);
    chip(&mut canvas, sample, Rect::new(0.0, 0.0, SIZE.0, SIZE.1));
    let about = About {
        title: sample.published.hex(),
        author: String::new(),
        language: String::new(),
        issue_date: None,
        year: None,
    };
    canvas.finish(SIZE.0, SIZE.1, 0.0, about)
}
