//! Blocks into columns and pages: no heading alone at the foot, headings
//! repeated where a group goes on.

use super::blocks::{Block, Blocks};
use crate::plan::papers::Paper;

/// Margins, mm.
const SIDE: f64 = 14.0;
const TOP: f64 = 13.0;
const FOOT: f64 = 18.0;
const GUTTER: f64 = 8.0;
const COLUMNS: usize = 3;
/// Height of the title block on the first page, and of the line over the others.
const TITLE: f64 = 48.0;
const HEAD: f64 = 9.0;
/// A heading has at least so many rows under it.
const ROWS_UNDER: usize = 2;

/// The page's grid, mm.
pub struct Frame {
    pub width: f64,
    pub height: f64,
    pub side: f64,
    pub top: f64,
    /// Width of a column, and from one to the next.
    pub column: f64,
    pub step: f64,
    pub bottom: f64,
}

impl Frame {
    pub fn new(paper: Paper) -> Frame {
        let body = paper.width - 2.0 * SIDE;
        let column = (body - GUTTER * (COLUMNS - 1) as f64) / COLUMNS as f64;
        Frame {
            width: paper.width,
            height: paper.height,
            side: SIDE,
            top: TOP,
            column,
            step: column + GUTTER,
            bottom: paper.height - FOOT,
        }
    }

    /// Width between the side margins.
    pub fn body(&self) -> f64 {
        self.width - 2.0 * self.side
    }

    fn start(&self, page: usize) -> f64 {
        self.top + if page == 0 { TITLE } else { HEAD }
    }
}

/// A block with its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placed {
    /// Index into the blocks.
    pub block: usize,
    /// Repeated at the head of a column.
    pub again: bool,
    pub page: usize,
    pub x: f64,
    pub y: f64,
}

/// Places every block, column by column.
pub fn flow(blocks: &Blocks, frame: &Frame) -> Vec<Placed> {
    let list = &blocks.list;
    let mut out: Vec<Placed> = Vec::with_capacity(list.len());
    let mut column = 0;
    let mut y = frame.start(0);
    let mut fresh = true;
    // The headings above the next row.
    let (mut part, mut family) = (None, None);
    for (i, block) in list.iter().enumerate() {
        let pad = if fresh { 0.0 } else { block.pad() };
        if !fresh && y + pad + together(list, i) > frame.bottom {
            column += 1;
            y = frame.start(column / COLUMNS);
            fresh = true;
            let over = match block {
                Block::Part { .. } | Block::Section { .. } => [None, None],
                Block::Family { .. } => [part, None],
                Block::Row { .. } | Block::Note(_) => [part, family],
            };
            for heading in over.into_iter().flatten() {
                out.push(at(heading, true, column, y, frame));
                y += list[heading].again();
            }
        }
        if !fresh {
            y += block.pad();
        }
        match block {
            Block::Part { .. } | Block::Section { .. } => (part, family) = (Some(i), None),
            Block::Family { .. } => family = Some(i),
            Block::Row { .. } | Block::Note(_) => {}
        }
        out.push(at(i, false, column, y, frame));
        y += block.height();
        fresh = false;
    }
    out
}

fn at(block: usize, again: bool, column: usize, y: f64, frame: &Frame) -> Placed {
    let x = frame.side + frame.step * (column % COLUMNS) as f64;
    Placed { block, again, page: column / COLUMNS, x, y }
}

/// Height of a block with what must not be parted from it.
fn together(list: &[Block], first: usize) -> f64 {
    let (mut end, mut i) = (first, first);
    while i <= end {
        end = end.max(kept(list, i));
        i += 1;
    }
    list[first..=end].iter().map(Block::height).sum()
}

/// The last block that must be in the same column as block `i`.
fn kept(list: &[Block], i: usize) -> usize {
    let row = |k: usize| matches!(list.get(k), Some(Block::Row { .. } | Block::Note(_)));
    let rows_after = (i + 1..).take_while(|k| row(*k)).take(ROWS_UNDER).count();
    match &list[i] {
        Block::Part { .. } => (i + 1).min(list.len() - 1),
        Block::Section { .. } | Block::Family { .. } => i + rows_after,
        // The last row of a group is not left alone.
        Block::Row { .. } | Block::Note(_) => i + usize::from(rows_after == 1),
    }
}
