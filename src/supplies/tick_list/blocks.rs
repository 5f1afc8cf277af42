//! The contents of the list, in reading order, each block with its height.

use super::super::count::{Supplies, SuppliesRequest, SupplyLine};
use super::super::markdown::{shelves, sum};
use super::super::naming::Naming;
use super::super::report::sheets_line;
use crate::plan::{Look, Voice};
use crate::range::{ColourId, PartId};
use crate::sheet::Sample;
use crate::sheet::paragraph::{shrink, wrap};

/// Row pitch, mm. All heights are multiples of its half, so that rows of
/// neighbouring columns line up or fall midway.
pub const PITCH: f64 = 5.5;
const HALF: f64 = PITCH / 2.0;
/// What every further line of a name or a note adds, mm.
pub const LEAD: f64 = 3.3;
/// Heights of headings, mm.
const PART: f64 = 5.0 * HALF;
const AGAIN: f64 = 3.0 * HALF;
const FAMILY: f64 = 3.0 * HALF;
const SECTION: f64 = 4.0 * HALF;
/// White above a heading inside a column, mm.
const PAD: f64 = 2.0 * HALF;
/// From a row's left edge: tick box, chip, number; all mm.
pub const BOX: f64 = 3.2;
pub const CHIP: (f64, f64) = (6.4, 3.7);
pub const CHIP_AT: f64 = 5.0;
pub const NUMBER_AT: f64 = 13.2;
pub const GAP: f64 = 2.0;
/// A name is cut after so many lines, so that no row is taller than a page.
const MOST_LINES: usize = 12;

/// The kinds of text, at the sizes of this list.
pub struct Voices {
    pub title: Voice,
    pub maker: Voice,
    pub lede: Voice,
    pub figure: Voice,
    pub part: Voice,
    pub part_title: Voice,
    pub quiet: Voice,
    pub family: Voice,
    pub section: Voice,
    pub number: Voice,
    pub name: Voice,
    pub count: Voice,
    pub foot: Voice,
}

impl Voices {
    pub fn new(look: &Look) -> Voices {
        let v = &look.voices;
        Voices {
            title: v.title.sized(8.6),
            maker: v.maker.sized(2.9),
            lede: v.subtitle.sized(3.5),
            figure: v.number.sized(7.0),
            part: v.number.sized(4.6),
            part_title: v.name.sized(3.2),
            quiet: v.ruler.sized(2.6).inked(v.imprint_more.ink),
            family: v.subtitle.sized(3.3),
            section: v.family.sized(5.0),
            number: v.other_number.sized(2.7).inked(v.number.ink),
            name: v.name.sized(3.0),
            count: v.number.sized(2.9),
            foot: v.imprint_more.sized(2.6),
        }
    }
}

/// One thing in a column.
#[derive(Debug, Clone)]
pub enum Block {
    /// A heading over rows that are not parts in colours.
    Section {
        title: String,
        count: Option<u64>,
    },
    /// A part's heading, the part drawn in one of its colours.
    Part {
        part: PartId,
        colour: ColourId,
        count: u64,
    },
    Family {
        title: String,
        count: u64,
    },
    Row {
        chip: Option<Sample>,
        number: String,
        name: Vec<String>,
        voice: Voice,
        count: u64,
        key: String,
    },
    /// Running text.
    Note(Vec<String>),
}

impl Block {
    /// Its height without white above, mm.
    pub fn height(&self) -> f64 {
        match self {
            Block::Section { .. } => SECTION,
            Block::Part { .. } => PART,
            Block::Family { .. } => FAMILY,
            Block::Row { name, .. } if name.len() < 2 => PITCH,
            // A line's own white takes 0.6 mm of the rounding.
            Block::Row { name, .. } => halves(PITCH + LEAD * (name.len() - 1) as f64 - 0.6),
            Block::Note(lines) => halves(LEAD * lines.len() as f64 + 1.5),
        }
    }

    /// Its height where it is repeated at the head of a column.
    pub fn again(&self) -> f64 {
        match self {
            Block::Part { .. } | Block::Section { .. } => AGAIN,
            _ => FAMILY,
        }
    }

    /// White above it inside a column.
    pub fn pad(&self) -> f64 {
        match self {
            Block::Part { .. } | Block::Section { .. } => PAD,
            _ => 0.0,
        }
    }
}

/// The next multiple of half the pitch.
fn halves(height: f64) -> f64 {
    (height / HALF).ceil() * HALF
}

/// The list.
pub struct Blocks {
    pub list: Vec<Block>,
    /// Width of the widest number, mm.
    pub number_width: f64,
}

/// In what names and type the list is set.
#[derive(Clone, Copy)]
pub struct ListWords<'a> {
    pub naming: &'a Naming<'a>,
    pub look: &'a Look,
    pub voices: &'a Voices,
    /// Width of a column, mm.
    pub column: f64,
}

impl Blocks {
    pub fn new(supplies: &Supplies, wish: &SuppliesRequest, words: ListWords<'_>) -> Blocks {
        let ListWords { naming, look, voices, column } = words;
        let shelves = shelves(supplies);
        let numbers = shelves.iter().flatten().filter_map(|l| naming.colour_number(l.colour));
        let widest = numbers.map(|n| look.width(voices.number, n)).fold(0.0, f64::max);
        let number_width = widest.min(column * 0.3);
        let maker = Maker { naming, look, voices, column, number_width };
        let mut list = Vec::new();
        maker.overview(&shelves, &mut list);
        maker.labels(supplies, wish, &mut list);
        shelves.iter().for_each(|shelf| maker.shelf(shelf, &mut list));
        Blocks { list, number_width }
    }
}

/// What a row says.
#[derive(Default)]
struct RowText<'a> {
    /// Of a colour.
    chip: Option<Sample>,
    number: &'a str,
    name: &'a str,
    count: u64,
    key: &'a str,
}

struct Maker<'a> {
    naming: &'a Naming<'a>,
    look: &'a Look,
    voices: &'a Voices,
    column: f64,
    number_width: f64,
}

impl Maker<'_> {
    fn say(&self, key: &str) -> String {
        self.naming.say(key, &[])
    }

    /// Every part with its sum, to be ticked when its group is done.
    fn overview(&self, shelves: &[Vec<&SupplyLine>], list: &mut Vec<Block>) {
        if shelves.is_empty() {
            list.push(Block::Section { title: self.say("buy_nothing"), count: None });
            return;
        }
        let total = shelves.iter().map(|s| sum(s.iter().copied())).sum();
        list.push(Block::Section { title: self.say("buy_parts"), count: Some(total) });
        for shelf in shelves {
            let part = shelf[0].part;
            let size = self.naming.part_size(part);
            let title = self.naming.part_title(part);
            let name = match title.is_empty() {
                true => size.clone(),
                false => format!("{title}, {size}"),
            };
            let number = self.naming.part_number(part).unwrap_or("—");
            let (count, key) = (sum(shelf.iter().copied()), self.naming.range.part(part).key());
            list.push(self.row(RowText { chip: None, number, name: &name, count, key }));
        }
    }

    fn labels(&self, supplies: &Supplies, wish: &SuppliesRequest, list: &mut Vec<Block>) {
        if supplies.sheets.labels == 0 {
            return;
        }
        list.push(Block::Section { title: self.say("buy_labels"), count: None });
        for (key, count) in
            [("buy_blanks", supplies.tiles.to_buy), ("buy_sheets", supplies.sheets.count.to_buy)]
        {
            let name = &self.say(key);
            list.push(self.row(RowText { name, count, key, ..RowText::default() }));
        }
        let note = sheets_line(supplies, self.naming, wish);
        list.push(Block::Note(wrap(self.look, self.voices.quiet, &note, self.column)));
    }

    fn shelf(&self, shelf: &[&SupplyLine], list: &mut Vec<Block>) {
        // A colour from the middle of the first family: the first ones are whites.
        let first = shelf.iter().filter(|l| l.family == shelf[0].family).count();
        let colour = shelf[first / 2].colour;
        let count = sum(shelf.iter().copied());
        list.push(Block::Part { part: shelf[0].part, colour, count });
        for family in shelf.chunk_by(|a, b| a.family == b.family) {
            let title = self.naming.family(family[0].family);
            list.push(Block::Family { title, count: sum(family.iter().copied()) });
            for line in family {
                let colour = self.naming.range.colour(line.colour);
                let number = self.naming.colour_number(line.colour).unwrap_or("—");
                let name = self.naming.colour_name(line.colour);
                let chip = Some(Sample::of(self.naming.range, line.colour));
                let count = line.count.to_buy;
                list.push(self.row(RowText {
                    chip,
                    number,
                    name: &name,
                    count,
                    key: colour.key(),
                }));
            }
        }
    }

    /// A row; its name shrinks a little, then goes on in further lines.
    fn row(&self, text: RowText<'_>) -> Block {
        let RowText { chip, number, name, count, key } = text;
        let start = name_at(chip.is_some(), number.is_empty(), self.own_number(chip, number));
        let counted = self.look.width(self.voices.count, &count.to_string());
        let room = (self.column - start - GAP - counted).max(10.0);
        let voice = shrink(self.look, self.voices.name, name, room, 0.86);
        let mut lines = Vec::new();
        for line in wrap(self.look, voice, name, room) {
            self.broken(voice, &line, room, &mut lines);
        }
        if lines.len() > MOST_LINES {
            lines.truncate(MOST_LINES);
            lines[MOST_LINES - 1] = "…".to_owned();
        }
        let (number, key) = (number.to_owned(), key.to_owned());
        Block::Row { chip, number, name: lines, voice, count, key }
    }

    /// Room for the number: one width for all colours, its own elsewhere.
    fn own_number(&self, chip: Option<Sample>, number: &str) -> f64 {
        match chip {
            Some(_) => self.number_width,
            None => self.look.width(self.voices.number, number),
        }
    }

    /// A word wider than the room is cut where it must.
    fn broken(&self, voice: Voice, line: &str, room: f64, lines: &mut Vec<String>) {
        let mut part = String::new();
        if self.look.width(voice, line) <= room {
            lines.push(line.to_owned());
            return;
        }
        for c in line.chars() {
            part.push(c);
            if self.look.width(voice, &part) > room && part.chars().count() > 1 {
                part.pop();
                lines.push(std::mem::replace(&mut part, c.to_string()));
                if lines.len() > MOST_LINES {
                    return;
                }
            }
        }
        lines.push(part);
    }
}

/// Where a row's name begins.
pub fn name_at(chip: bool, no_number: bool, number_width: f64) -> f64 {
    let start = if chip { NUMBER_AT } else { CHIP_AT };
    start + if no_number || number_width == 0.0 { 0.0 } else { number_width + GAP }
}
