//! Blocks into pages: the words of a part stay with its first line of drawings.

use super::blocks::{AGAIN, Block, LINE_GAP, page_room};
use crate::plan::papers::Paper;
use crate::sheet::list_page::{ListGrid, ListPage};

/// One column; the foot has a ruler.
const GRID: ListGrid =
    ListGrid { side: 14.0, top: 13.0, foot: 24.0, columns: 1, gutter: 0.0, title: 37.0, head: 9.0 };
/// Between blocks.
const BLOCK_GAP: f64 = 4.0;

/// A page of shapes.
pub fn page(paper: Paper) -> ListPage {
    ListPage::new(paper, GRID)
}

/// The words of a block, whole or where it goes on, or a line of its drawings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BlockPart {
    Words,
    Again,
    Line(usize),
}

/// One of them at its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlacedPart {
    pub page: usize,
    /// Its top, mm.
    pub y: f64,
    pub block: usize,
    pub what: BlockPart,
}

/// Places every block, in order.
pub fn flow(blocks: &[Block], frame: &ListPage) -> Vec<PlacedPart> {
    let mut out = Vec::new();
    let mut page = 0;
    let mut y = frame.start(0);
    let mut fresh = true;
    for (n, block) in blocks.iter().enumerate() {
        let mut put = |page, y, what| out.push(PlacedPart { page, y, block: n, what });
        let gap = if fresh { 0.0 } else { BLOCK_GAP };
        // A block that would have to be broken gets a new page, unless that would leave much of this one empty.
        let whole = whole(block);
        let fits = y + gap + whole <= frame.bottom + 1e-9;
        let first = y + gap + block.first() <= frame.bottom + 1e-9;
        let breaks = !fits && (!first || whole <= page_room(frame) * 0.3);
        if breaks {
            page += 1;
            y = frame.start(page);
        } else {
            y += gap;
        }
        put(page, y, BlockPart::Words);
        // Where the words end, if they are on this page.
        let mut words_end = y + block.words;
        y += block.down();
        for line in 0..block.lines() {
            if line > 0 && y + LINE_GAP + block.line() > frame.bottom + 1e-9 {
                page += 1;
                y = frame.start(page);
                words_end = y;
                put(page, y, BlockPart::Again);
                y += AGAIN;
            } else if line > 0 {
                y += LINE_GAP;
            }
            put(page, y, BlockPart::Line(line));
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
