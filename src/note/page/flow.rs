//! Blocks into columns and pages: no heading alone at the foot, headings repeated where a section goes on, the last
//! page's columns as even as they can be.

use super::blocks::Block;
use crate::plan::papers::Paper;
use crate::sheet::list_page::{ListGrid, ListPage, PlacedBlock};

/// Two columns; the title block is higher by its figures.
const GRID: ListGrid = ListGrid {
    side: 17.0,
    top: 15.0,
    foot: 20.0,
    columns: 2,
    gutter: 10.0,
    title: 34.0,
    head: 12.0,
};
/// Figures in the title block: so many side by side, in at most so many rows, each so high.
pub const FIGURES: (usize, usize) = (4, 3);
pub const FIGURE: f64 = 15.0;
/// By which columns of the last page are made shorter, mm.
const TRIED: f64 = 1.5;

/// A page of a note with so many figures in its title block.
pub fn page(paper: Paper, figures: usize) -> ListPage {
    let rows = figures.div_ceil(FIGURES.0).min(FIGURES.1);
    ListPage::new(paper, ListGrid { title: GRID.title + FIGURE * rows as f64, ..GRID })
}

/// Places every block, page by page.
pub fn flow(list: &[Block], frame: &ListPage) -> Vec<PlacedBlock> {
    let mut out = Vec::with_capacity(list.len());
    let (mut next, mut page) = (0, 0);
    while next < list.len() {
        let (mut placed, end) = fill(list, next, page, frame, frame.bottom);
        if end == list.len() {
            // The last page: as short as its columns can be.
            let mut bottom = frame.start(page) + TRIED;
            while bottom < frame.bottom {
                let (shorter, end) = fill(list, next, page, frame, bottom);
                if end == list.len() && shorter.iter().all(|p| ends(list, p) <= bottom) {
                    placed = shorter;
                    break;
                }
                bottom += TRIED;
            }
        }
        out.extend(placed);
        (next, page) = (end, page + 1);
    }
    out
}

fn ends(list: &[Block], p: &PlacedBlock) -> f64 {
    p.y + if p.again { list[p.block].again() } else { list[p.block].height() }
}

/// One page from block `first` on, its columns down to `bottom`; the first block that is left.
fn fill(
    list: &[Block],
    first: usize,
    page: usize,
    frame: &ListPage,
    bottom: f64,
) -> (Vec<PlacedBlock>, usize) {
    let top = frame.start(page);
    let mut out = Vec::new();
    let mut i = first;
    for column in 0..GRID.columns {
        let x = frame.left(column);
        let mut y = top;
        let put = |block: usize, again: bool, y: f64| PlacedBlock { block, again, page, x, y };
        for heading in over(list, i) {
            out.push(put(heading, true, y));
            y += list[heading].again();
        }
        let mut fresh = true;
        while i < list.len() {
            let pad = if fresh { 0.0 } else { list[i].pad() };
            if !fresh && y + pad + together(list, i) > bottom {
                break;
            }
            out.push(put(i, false, y + pad));
            y += pad + list[i].height();
            fresh = false;
            i += 1;
        }
    }
    (out, i)
}

/// The headings under which a row goes on in a new column.
fn over(list: &[Block], i: usize) -> Vec<usize> {
    let before = |test: &dyn Fn(&Block) -> bool| (0..i).rev().find(|k| test(&list[*k]));
    let section = before(&|b| matches!(b, Block::Section { .. }));
    let group = before(&|b| matches!(b, Block::Group { .. } | Block::Section { .. }))
        .filter(|k| matches!(list[*k], Block::Group { .. }));
    match list.get(i) {
        Some(Block::Row(_)) => section.into_iter().chain(group).collect(),
        Some(Block::Group { .. }) => section.into_iter().collect(),
        _ => Vec::new(),
    }
}

/// Height of a block with what must not be parted from it: headings keep the first row under them, and the remark
/// at the end the row before it.
fn together(list: &[Block], first: usize) -> f64 {
    let mut height = list[first].height();
    let mut i = first;
    while i + 1 < list.len() && keeps_next(&list[i], &list[i + 1]) {
        i += 1;
        height += list[i].height() + list[i].pad();
    }
    height
}

fn keeps_next(block: &Block, next: &Block) -> bool {
    matches!(block, Block::Section { .. } | Block::Group { .. }) || matches!(next, Block::Remark(_))
}
