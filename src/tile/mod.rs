//! A large page on the paper at hand: any display list cut into tiles at true
//! size, to be printed, cut and glued together.
//!
//! ```text
//! Sheet + Tiling (paper, overlap, margin) -> Grid: seams in sheet coordinates, clear of what is drawn
//!     -> Sheet: for each page an overview, then its tiles
//! ```
//!
//! Seams part the page into what counts of each tile. A tile shows half the
//! overlap beyond its seams: neighbours share it, so a cut that misses a seam
//! leaves no white. Marks stand in that rim, where they are cut off or glued
//! over, at the same place of the page on every tile that shows them.

pub mod cut;
pub mod foot;
pub mod grid;
pub mod marks;
pub mod overview;
pub mod paper;
pub mod seams;

use std::sync::Arc;

use crate::plan::Look;
use crate::sheet::canvas::Canvas;
use crate::sheet::{About, Page, Sheet, Workshop};
use crate::spelling::Spelling;

pub use grid::{Grid, Tile};
pub use paper::{Desk, Tiling};

/// Cuts every page of `sheet` into tiles. The words on them are set in the
/// voices of `look`, whose faces must be those of the sheet.
pub fn tiled(
    sheet: &Sheet,
    (look, spelling): (&Look, &Spelling),
    tiling: &Tiling,
    grid: &Grid,
) -> Sheet {
    let look = Look { faces: Arc::clone(&sheet.faces), ..look.clone() };
    let workshop = Workshop::empty();
    let mut canvas = Canvas::new(&look, &workshop);
    let mut below: Vec<Page> = Vec::new();
    for number in 0..sheet.pages.len() {
        let about = foot::About { sheet, number, tiling, grid, spelling };
        next(&mut canvas, &below);
        below.push(overview::below(sheet, number, grid));
        overview::draw(&mut canvas, &about);
        for tile in grid.tiles() {
            next(&mut canvas, &below);
            below.push(cut::below(sheet, number, grid, &tile));
            marks::draw(&mut canvas, grid, &tile, spelling);
            foot::draw(&mut canvas, &about, Some(&tile));
        }
    }
    let fill = [("title", sheet.about.title.as_str()), ("paper", tiling.desk().name())];
    let title = spelling.phrase("tiles_title", &fill);
    let about = About { title, ..sheet.about.clone() };
    let (width, height) = grid.page();
    let mut out = canvas.finish(width, height, 0.0, about);
    out.outlines.clone_from(&sheet.outlines);
    out.symbols.clone_from(&sheet.symbols);
    for (page, below) in out.pages.iter_mut().zip(below) {
        let marks = std::mem::replace(&mut page.items, below.items);
        page.items.extend(marks);
    }
    out
}

/// A canvas begins with a page.
fn next(canvas: &mut Canvas<'_>, done: &[Page]) {
    if !done.is_empty() {
        canvas.next_page();
    }
}
