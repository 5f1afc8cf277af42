//! Blocks into pages: the words of a part stay with its first line of drawings.

use super::blocks::{Block, LINE_GAP};
use crate::plan::papers::Paper;

/// Margins, mm.
const SIDE: f64 = 14.0;
const TOP: f64 = 13.0;
/// Height of the title block on the first page, and of the line over the others.
const TITLE: f64 = 37.0;
const HEAD: f64 = 9.0;
/// The foot with its ruler.
const FOOT: f64 = 24.0;
/// Between blocks, and the height of the words where a block goes on.
const BLOCK_GAP: f64 = 4.0;
pub const AGAIN: f64 = 9.0;

/// The page's measures, mm.
pub struct Frame {
    pub width: f64,
    pub height: f64,
    pub side: f64,
    pub top: f64,
    pub bottom: f64,
}

impl Frame {
    pub fn new(paper: Paper) -> Frame {
        let Paper { width, height, .. } = paper;
        Frame { width, height, side: SIDE, top: TOP, bottom: height - FOOT }
    }

    /// Width between the side margins.
    pub fn body(&self) -> f64 {
        self.width - 2.0 * self.side
    }

    fn start(&self, page: usize) -> f64 {
        self.top + if page == 0 { TITLE } else { HEAD }
    }

    /// Height that a block can have on every page but the first.
    pub fn room(&self) -> f64 {
        self.bottom - self.start(1)
    }
}

/// The words of a block, whole or where it goes on, or a line of its drawings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum What {
    Words,
    Again,
    Line(usize),
}

/// One of them at its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placed {
    pub page: usize,
    /// Its top, mm.
    pub y: f64,
    pub block: usize,
    pub what: What,
}

/// Places every block, in order.
pub fn flow(blocks: &[Block], frame: &Frame) -> Vec<Placed> {
    let mut out = Vec::new();
    let mut page = 0;
    let mut y = frame.start(0);
    let mut fresh = true;
    for (n, block) in blocks.iter().enumerate() {
        let mut put = |page, y, what| out.push(Placed { page, y, block: n, what });
        let gap = if fresh { 0.0 } else { BLOCK_GAP };
        // A block that would have to be broken gets a new page, unless that would leave much of this one empty.
        let whole = whole(block);
        let fits = y + gap + whole <= frame.bottom + 1e-9;
        let first = y + gap + block.first() <= frame.bottom + 1e-9;
        let breaks = !fits && (!first || whole <= frame.room() * 0.3);
        if breaks {
            page += 1;
            y = frame.start(page);
        } else {
            y += gap;
        }
        put(page, y, What::Words);
        // Where the words end, if they are on this page.
        let mut words_end = y + block.words;
        y += block.down();
        for line in 0..block.lines() {
            if line > 0 && y + LINE_GAP + block.line() > frame.bottom + 1e-9 {
                page += 1;
                y = frame.start(page);
                words_end = y;
                put(page, y, What::Again);
                y += AGAIN;
            } else if line > 0 {
                y += LINE_GAP;
            }
            put(page, y, What::Line(line));
            y += block.line();
        }
        y = y.max(words_end);
        fresh = false;
    }
    out
}

/// Height of a block in one piece, mm.
fn whole(block: &Block) -> f64 {
    let more = block.lines().saturating_sub(1) as f64;
    block.first() + more * (LINE_GAP + block.line())
}
