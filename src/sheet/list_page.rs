//! Pages of a list: margins, columns, the title block and the line over every further page.

use crate::plan::papers::Paper;

/// What the pages of a kind of list have in common, mm.
#[derive(Debug, Clone, Copy)]
pub struct ListGrid {
    /// Margins.
    pub side: f64,
    pub top: f64,
    pub foot: f64,
    pub columns: usize,
    pub gutter: f64,
    /// Height of the title block on the first page, and of the line over the others.
    pub title: f64,
    pub head: f64,
}

/// A page of it on some paper, mm.
#[derive(Debug, Clone, Copy)]
pub struct ListPage {
    pub width: f64,
    pub height: f64,
    pub grid: ListGrid,
    /// Width of a column, and from one to the next.
    pub column: f64,
    pub step: f64,
    pub bottom: f64,
}

/// A block of a list at its place, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlacedBlock {
    /// Index into the blocks.
    pub block: usize,
    /// Repeated at the head of a column.
    pub again: bool,
    pub page: usize,
    pub x: f64,
    pub y: f64,
}

impl ListPage {
    /// A page of this paper.
    pub fn new(paper: Paper, grid: ListGrid) -> ListPage {
        let body = paper.width - 2.0 * grid.side;
        let column = (body - grid.gutter * (grid.columns - 1) as f64) / grid.columns as f64;
        ListPage {
            width: paper.width,
            height: paper.height,
            grid,
            column,
            step: column + grid.gutter,
            bottom: paper.height - grid.foot,
        }
    }

    /// Width between the side margins.
    pub fn body(&self) -> f64 {
        self.width - 2.0 * self.grid.side
    }

    /// Where the columns of a page begin, from its top.
    pub fn start(&self, page: usize) -> f64 {
        self.grid.top + if page == 0 { self.grid.title } else { self.grid.head }
    }

    /// The left edge of a column.
    pub fn left(&self, column: usize) -> f64 {
        self.grid.side + self.step * column as f64
    }
}
