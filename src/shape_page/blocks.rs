//! The contents of the pages: a block for each part, its drawings in cells of one size.

use super::shapes::{DrawnPart, DrawnParts};
use super::understood::Understood;
use super::voices::Voices;
use crate::finish::LEAST_FLAT;
use crate::plan::Look;
use crate::sheet::list_page::ListPage;
use crate::sheet::paragraph::wrap;
use crate::supplies::Naming;

/// Between the two colours of a cell, between cells, and between lines, mm.
pub const PAIR_GAP: f64 = 2.5;
const CELL_GAP: f64 = 5.0;
/// Between cells that would not fit on one line otherwise, mm.
const CLOSE_GAP: f64 = 3.0;
pub const LINE_GAP: f64 = 3.5;
/// Cells of small parts are this far apart in all blocks, so that their finishes line up: at
/// least so that seven fill a line, at most as wide as looks like one line, mm.
const STEP: f64 = 26.0;
const WIDEST_STEP: f64 = 32.0;
/// Width of the words where the drawings are beside them, mm.
const WORDS: f64 = 52.0;
/// Most finishes for which they do.
const BESIDE: usize = 4;
/// From the rule over a block to the drawings beside its words, mm.
const DOWN: f64 = 4.0;
/// Under a drawing: its finish and its flat share, mm.
pub const CAPTION: f64 = 4.6;
/// From the rule to the first baseline, from line to line of the words, and under the last, mm.
pub const FIRST: f64 = 6.0;
pub const LEAD: f64 = 4.4;
pub const WORDS_LEAD: f64 = 3.3;
const UNDER: f64 = 3.6;
/// Height of the words where a block goes on, mm.
pub const AGAIN: f64 = 9.0;

/// Height that a block can have on every page but the first, mm.
pub fn page_room(page: &ListPage) -> f64 {
    page.bottom - page.start(1)
}

/// One drawing, or a pair of them, with the words under it.
#[derive(Debug, Clone)]
pub struct Cell {
    /// Index of the finish; colours by their index in the pair.
    pub finish: usize,
    pub colours: Vec<usize>,
    pub caption: String,
    /// Too little of it is flat.
    pub warns: bool,
}

/// One part.
#[derive(Debug, Clone)]
pub struct Block {
    /// Index of its entry.
    pub entry: usize,
    pub number: String,
    pub title: String,
    pub size: String,
    /// What was understood, in lines.
    pub facts: Vec<String>,
    /// The drawings are beside the words, not under them.
    pub beside: bool,
    /// Height of the words, mm.
    pub words: f64,
    /// 1, or less where a part is larger than the page.
    pub scale: f64,
    /// Width and height of a drawing as shown, mm.
    pub drawn: (f64, f64),
    pub cells: Vec<Cell>,
    pub per_line: usize,
    /// From cell to cell, mm.
    pub step: f64,
}

impl Block {
    /// Height of a line of drawings with their captions, mm.
    pub fn line(&self) -> f64 {
        self.drawn.1 + CAPTION
    }

    /// Lines of drawings.
    pub fn lines(&self) -> usize {
        self.cells.len().div_ceil(self.per_line.max(1))
    }

    /// From the block's top to that of its first line, mm.
    pub fn down(&self) -> f64 {
        if self.beside { DOWN } else { self.words }
    }

    /// Left edge of the drawings from that of the block, mm.
    pub fn right(&self) -> f64 {
        if self.beside { WORDS + CELL_GAP } else { 0.0 }
    }

    /// The words and the first line, which stay together.
    pub fn first(&self) -> f64 {
        match self.lines() {
            0 => self.words,
            _ => (self.down() + self.line()).max(self.words),
        }
    }
}

/// A block for every part.
pub fn blocks(
    shown: &DrawnParts,
    naming: &Naming<'_>,
    look: &Look,
    voices: &Voices,
    frame: &ListPage,
) -> Vec<Block> {
    let maker = Maker { shown, naming, look, voices, frame };
    shown.entries.iter().enumerate().map(|(i, entry)| maker.block(i, entry)).collect()
}

struct Maker<'a> {
    shown: &'a DrawnParts,
    naming: &'a Naming<'a>,
    look: &'a Look,
    voices: &'a Voices,
    frame: &'a ListPage,
}

impl Maker<'_> {
    fn block(&self, index: usize, entry: &DrawnPart) -> Block {
        let (w, h) = entry.understood.size;
        let pairs = self.cells(entry, true);
        let captions = |cells: &[Cell]| {
            let width = |c: &Cell| self.look.width(self.voices.caption(c.warns), &c.caption);
            cells.iter().map(width).fold(0.0, f64::max)
        };
        let colours = self.shown.pair.colours().count().max(1) as f64;
        let cell = (w * colours + PAIR_GAP * (colours - 1.0)).max(captions(&pairs));
        let body = self.frame.body();
        let beside = pairs.len() <= BESIDE
            && pairs.len() as f64 * (cell + CELL_GAP).max(STEP) <= body - WORDS;
        let room = if beside { body - WORDS - CELL_GAP } else { body };
        let together = cell <= room;
        let cells = if together { pairs } else { self.cells(entry, false) };
        let cell = if together { cell } else { w.max(captions(&cells)) };
        let (per_line, step) = grid(cells.len(), cell, room);
        let mut block = Block {
            entry: index,
            number: self.naming.part_number(entry.part).unwrap_or("").to_owned(),
            title: self.title(entry),
            size: size(entry.understood.size),
            facts: Vec::new(),
            beside,
            words: 0.0,
            scale: 1.0,
            drawn: (w, h),
            cells,
            per_line,
            step,
        };
        self.say(&mut block, entry);
        if self.scale(&block, room) < 1.0 {
            // Once for the room left when the scale is stated, once to state it.
            for _ in 0..2 {
                block.scale = self.scale(&block, room);
                self.say(&mut block, entry);
            }
            block.drawn = (w * block.scale, h * block.scale);
        }
        block
    }

    /// The largest scale up to 1 at which a drawing has room, in hundredths: the scale stated is the scale drawn.
    fn scale(&self, block: &Block, room: f64) -> f64 {
        let (w, h) = self.shown.entries[block.entry].understood.size;
        let again = page_room(self.frame) - AGAIN;
        let tall = (page_room(self.frame) - block.down()).min(again) - CAPTION;
        let scale = (room / w).min(tall / h);
        if scale < 1.0 { (scale * 100.0).floor() / 100.0 } else { 1.0 }
    }

    /// The part's title; its key where it has neither number nor title.
    fn title(&self, entry: &DrawnPart) -> String {
        let title = self.naming.part_title(entry.part);
        let number = self.naming.part_number(entry.part);
        match title.is_empty() && number.is_none() {
            true => self.naming.range.part(entry.part).key().clone(),
            false => title,
        }
    }

    /// Sets what was understood in lines.
    fn say(&self, block: &mut Block, entry: &DrawnPart) {
        let width = if block.beside { WORDS } else { self.frame.body() };
        let file = self.naming.range.part(entry.part).shape_file();
        let mut text = facts(&entry.understood, self.naming);
        if block.scale < 1.0 {
            let scale = format!("{:.2}", block.scale);
            text.push(self.naming.say("shapes_too_large", &[("scale", &scale)]));
        }
        let text = format!("{}; {file}", text.join("; "));
        block.facts = wrap(self.look, self.voices.quiet, &text, width);
        let heads = if block.beside { 2.0 } else { 0.0 };
        let lines = block.facts.len() as f64;
        block.words = FIRST + LEAD * (heads + 1.0) + WORDS_LEAD * (lines - 1.0) + UNDER;
    }

    /// A cell for every finish with both colours, or one for each colour.
    fn cells(&self, entry: &DrawnPart, together: bool) -> Vec<Cell> {
        let colours: Vec<usize> = (0..self.shown.pair.colours().count()).collect();
        let split: Vec<Vec<usize>> = match together {
            true => vec![colours],
            false => colours.into_iter().map(|c| vec![c]).collect(),
        };
        let mut out = Vec::new();
        for (finish, (word, share)) in entry.understood.flat.iter().enumerate() {
            for colours in &split {
                let warns = *share < LEAST_FLAT;
                let key = match (together, colours.first(), warns) {
                    (true, _, false) => "shapes_share",
                    (true, _, true) => "shapes_only",
                    (false, Some(0), false) => "shapes_pale",
                    (false, Some(0), true) => "shapes_pale_only",
                    (false, _, false) => "shapes_dark",
                    (false, _, true) => "shapes_dark_only",
                };
                let word = self.naming.say(&format!("kind_{}", word.word()), &[]);
                let fill = [("finish", word.as_str()), ("share", &percent(*share))];
                let caption = self.naming.say(key, &fill);
                out.push(Cell { finish, colours: colours.clone(), caption, warns });
            }
        }
        out
    }
}

/// Cells on a line, and from cell to cell, of `count` cells that are `cell` mm wide.
fn grid(count: usize, cell: f64, room: f64) -> (usize, f64) {
    let count = count.max(1);
    let shared = (room / count as f64).clamp(STEP, WIDEST_STEP);
    let step = if cell + CLOSE_GAP <= shared { shared } else { cell + CELL_GAP };
    let per_line = (((room + CELL_GAP) / step).floor() as usize).clamp(1, count);
    // One line, if it only wants a little less white.
    let close = (room - cell) / (count.max(2) - 1) as f64;
    if per_line < count && close >= cell + CLOSE_GAP {
        return (count, close);
    }
    // As even as they can be.
    (count.div_ceil(count.div_ceil(per_line)), step)
}

/// A share in whole percent, rounded down: never more than there is.
pub fn percent(share: f64) -> String {
    format!("{:.0} %", (share * 100.0 + 1e-9).floor())
}

/// '18 × 6 mm': whole millimetres where they are, else one decimal.
pub fn size((width, height): (f64, f64)) -> String {
    let one = |v: f64| {
        let tenths = (v * 10.0).round() / 10.0;
        if tenths.fract() == 0.0 { format!("{tenths:.0}") } else { format!("{tenths:.1}") }
    };
    format!("{} × {} mm", one(width), one(height))
}

/// What was understood, in words.
fn facts(understood: &Understood, naming: &Naming<'_>) -> Vec<String> {
    let mut out = Vec::new();
    if understood.reaches_over() {
        out.push(naming.say("shapes_body", &[("size", &size(understood.body))]));
    }
    let counted = |n: usize, none: &str, one: &str, more: &str| match n {
        0 => naming.say(none, &[]),
        1 => naming.say(one, &[]),
        n => naming.say(more, &[("n", &n.to_string())]),
    };
    out.push(counted(understood.holes, "shapes_no_hole", "shapes_one_hole", "shapes_holes"));
    out.push(counted(understood.shading, "shapes_plain", "shapes_one_layer", "shapes_layers"));
    out
}
