//! The contents of the pages, in reading order, each block with its height.

use kurbo::Size;

use super::super::content::{Entry, Group, Note, Picture};
use crate::plan::{Look, Voice};
use crate::range::ColourRange;
use crate::sheet::Sample;
use crate::sheet::paragraph::{Breaker, shrink, within, wrap};

/// All heights are multiples of it, so that rows of neighbouring columns line up, mm.
const STEP: f64 = 1.5;
/// From line to line, mm.
pub const LEAD: f64 = 4.0;
/// A chip, and half of two chips edge to edge; from the row's left edge to its words, mm.
pub const CHIP: Size = Size::new(13.0, 8.0);
pub const WORDS_AT: f64 = 16.5;
/// The largest that a new part is drawn, and one in a heading; true size where it is smaller, mm.
pub const DRAWN: Size = Size::new(22.0, 18.0);
pub const DRAWN_SMALL: Size = Size::new(13.0, 9.0);
pub const PICTURE_WORDS_AT: f64 = 25.5;
/// Between a number and its name, mm.
pub const GAP: f64 = 2.4;
/// White under a row's chip or last line, mm.
const UNDER: f64 = 2.6;
/// Heights of headings, mm.
const SECTION: f64 = 11.0;
const NOTE: f64 = 4.5;
const GROUP: f64 = 8.5;
const PART: f64 = 12.5;
/// More lines than these are cut: no row is taller than a column.
const MOST_NAME_LINES: usize = 8;
const MOST_LINES: usize = 24;

/// The kinds of text, at the sizes of a note.
pub struct Voices {
    pub title: Voice,
    pub maker: Voice,
    pub lede: Voice,
    pub figure: Voice,
    pub label: Voice,
    pub section: Voice,
    pub group: Voice,
    pub part: Voice,
    pub number: Voice,
    pub name: Voice,
    pub line: Voice,
    pub foot: Voice,
}

impl Voices {
    pub fn new(look: &Look) -> Voices {
        let v = &look.voices;
        Voices {
            title: v.title.sized(12.0),
            maker: v.maker.sized(3.1),
            lede: v.subtitle.sized(4.4),
            figure: v.number.sized(7.0),
            label: v.body.sized(3.3),
            section: v.family.sized(5.8),
            group: v.subtitle.sized(3.9),
            part: v.name.sized(3.6),
            number: v.number.sized(3.3),
            name: v.name.sized(3.8),
            line: v.other_name.sized(3.2),
            foot: v.imprint_more.sized(2.8),
        }
    }
}

/// One thing in a column.
#[derive(Debug, Clone)]
pub enum Block {
    Section { title: String, note: String, count: usize },
    Group { title: String, picture: Option<Picture> },
    Row(Row),
    Remark(Vec<String>),
}

/// A colour or part in lines that fit the column.
#[derive(Debug, Clone)]
pub struct Row {
    pub chips: Vec<Sample>,
    pub picture: Option<Picture>,
    /// The part's size as drawn, mm.
    pub drawn: Size,
    pub number: String,
    pub number_width: f64,
    pub name: Vec<String>,
    pub voice: Voice,
    pub lines: Vec<String>,
}

impl Row {
    /// Where its words begin, from the column's left edge.
    pub fn words_at(&self) -> f64 {
        words_at(!self.chips.is_empty(), self.picture.is_some())
    }
}

fn words_at(chips: bool, picture: bool) -> f64 {
    match (picture, chips) {
        (true, _) => PICTURE_WORDS_AT,
        (_, true) => WORDS_AT,
        _ => 0.0,
    }
}

impl Block {
    /// Its height without white above, mm.
    pub fn height(&self) -> f64 {
        let height = match self {
            Block::Section { note, .. } => SECTION + if note.is_empty() { 0.0 } else { NOTE },
            Block::Group { picture: Some(_), .. } => PART,
            Block::Group { .. } => GROUP,
            Block::Row(row) => {
                let words = LEAD * (row.name.len() + row.lines.len()) as f64;
                let shown = if row.chips.is_empty() { row.drawn.height } else { CHIP.height };
                words.max(shown) + UNDER
            }
            Block::Remark(lines) => LEAD * lines.len() as f64 + UNDER,
        };
        (height / STEP - 1e-9).ceil() * STEP
    }

    /// Its height where it is repeated at the head of a column.
    pub fn again(&self) -> f64 {
        match self {
            Block::Section { .. } => STEP * 5.0,
            _ => self.height(),
        }
    }

    /// White above it inside a column.
    pub fn pad(&self) -> f64 {
        match self {
            Block::Section { .. } | Block::Remark(_) => STEP * 4.0,
            Block::Group { .. } => STEP,
            Block::Row(_) => 0.0,
        }
    }
}

/// The size of a part in a box, and the scale to which it is drawn: 1 where it fits.
pub fn fitted(range: &ColourRange, picture: Picture, most: Size) -> (Size, f64) {
    let body = range.part(picture.part).shape().bounds;
    let scale = (most.width / body.width()).min(most.height / body.height()).min(1.0);
    (body.size() * scale, scale)
}

/// All of a note.
pub fn blocks(
    note: &Note,
    range: &ColourRange,
    look: &Look,
    voices: &Voices,
    column: f64,
) -> Vec<Block> {
    let entries = || note.sections.iter().flat_map(|s| &s.groups).flat_map(|g| &g.entries);
    let widths = entries().map(|e| look.width(voices.number, &e.number));
    let number_width = widths.fold(0.0, f64::max).min(column * 0.3);
    let maker = Maker { range, look, voices, column, number_width };
    let mut out = Vec::new();
    for section in &note.sections {
        let (title, note) = (section.title.clone(), section.note.clone());
        out.push(Block::Section { title, note, count: section.count() });
        section.groups.iter().for_each(|group| maker.group(group, &mut out));
    }
    out.push(Block::Remark(wrap(look, voices.line, &note.remark, column)));
    out
}

struct Maker<'a> {
    range: &'a ColourRange,
    look: &'a Look,
    voices: &'a Voices,
    column: f64,
    number_width: f64,
}

impl Maker<'_> {
    fn group(&self, group: &Group, out: &mut Vec<Block>) {
        if !group.title.is_empty() {
            out.push(Block::Group { title: group.title.clone(), picture: group.picture });
        }
        out.extend(group.entries.iter().map(|entry| Block::Row(self.row(entry))));
    }

    fn row(&self, entry: &Entry) -> Row {
        let start = words_at(!entry.chips.is_empty(), entry.picture.is_some());
        let taken = if self.number_width > 0.0 { self.number_width + GAP } else { 0.0 };
        let room = self.column - start - taken;
        let look = self.look;
        // A name shrinks a little before it is broken.
        let voice = shrink(look, self.voices.name, &entry.name, room, 0.9);
        let mut lines: Vec<String> = Vec::new();
        for line in &entry.lines {
            lines.extend(within(Breaker::Full, look, self.voices.line, line, room));
        }
        if lines.len() > MOST_LINES {
            lines.truncate(MOST_LINES);
            lines[MOST_LINES - 1].push('…');
        }
        let mut name = within(Breaker::Full, look, voice, &entry.name, room);
        if name.len() > MOST_NAME_LINES {
            name.truncate(MOST_NAME_LINES);
            name[MOST_NAME_LINES - 1].push('…');
        }
        let drawn = entry.picture.map_or(Size::ZERO, |p| fitted(self.range, p, DRAWN).0);
        Row {
            chips: entry.chips.clone(),
            picture: entry.picture,
            drawn,
            number: entry.number.clone(),
            number_width: self.number_width,
            name,
            voice,
            lines,
        }
    }
}
