//! Blocks into columns and pages: no heading alone at the foot, headings
//! repeated where a group goes on.

use super::blocks::{Block, Blocks};
use crate::plan::papers::Paper;
use crate::sheet::list_page::{ListGrid, ListPage, PlacedBlock};

/// Three columns.
const GRID: ListGrid =
    ListGrid { side: 14.0, top: 13.0, foot: 18.0, columns: 3, gutter: 8.0, title: 48.0, head: 9.0 };
/// A heading has at least so many rows under it.
const ROWS_UNDER: usize = 2;

/// A page of the list.
pub fn page(paper: Paper) -> ListPage {
    ListPage::new(paper, GRID)
}

/// Places every block, column by column.
pub fn flow(blocks: &Blocks, frame: &ListPage) -> Vec<PlacedBlock> {
    let list = &blocks.list;
    let mut out: Vec<PlacedBlock> = Vec::with_capacity(list.len());
    let mut column = 0;
    let mut y = frame.start(0);
    let mut fresh = true;
    // The headings above the next row.
    let (mut part, mut family) = (None, None);
    for (i, block) in list.iter().enumerate() {
        let pad = if fresh { 0.0 } else { block.pad() };
        if !fresh && y + pad + together(list, i) > frame.bottom {
            column += 1;
            y = frame.start(column / GRID.columns);
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

fn at(block: usize, again: bool, column: usize, y: f64, frame: &ListPage) -> PlacedBlock {
    let x = frame.left(column % GRID.columns);
    PlacedBlock { block, again, page: column / GRID.columns, x, y }
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
