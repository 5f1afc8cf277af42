//! A large page on desk paper: any display list cut into panels at true
//! size, to be printed, cut and glued together.
//!
//! ```text
//! Sheet + Split (paper, overlap, margin) -> Grid: seams in sheet coordinates, clear of what is drawn
//!     -> Sheet: for each page an overview, then its panels
//! ```
//!
//! Seams part the page into what counts of each panel. A panel shows half the
//! overlap beyond its seams: neighbours share it, so a cut that misses a seam
//! leaves no white. Marks are in that rim, where they are cut off or glued
//! over, at the same place of the page on every panel that shows them.

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

pub use grid::{Grid, Panel};
pub use paper::{Desk, Split};

/// Cuts every page of `sheet` into panels. The words on them are set in the
/// voices of `look`, whose faces must be those of the sheet.
pub fn split_up(
    sheet: &Sheet,
    (look, spelling): (&Look, &Spelling),
    split: &Split,
    grid: &Grid,
) -> Sheet {
    let look = Look { faces: Arc::clone(&sheet.faces), ..look.clone() };
    let workshop = Workshop::empty();
    let mut canvas = Canvas::over(&look, &workshop, sheet.palette.clone());
    let mut below: Vec<Page> = Vec::new();
    for number in 0..sheet.pages.len() {
        let about = foot::About { sheet, number, split, grid, spelling };
        next(&mut canvas, &below);
        below.push(overview::below(sheet, number, grid));
        overview::draw(&mut canvas, &about);
        for panel in grid.panels() {
            next(&mut canvas, &below);
            below.push(cut::below(sheet, number, grid, &panel));
            marks::draw(&mut canvas, grid, &panel, spelling);
            foot::draw(&mut canvas, &about, Some(&panel));
        }
    }
    let fill = [("title", sheet.about.title.as_str()), ("paper", split.desk().name())];
    let title = spelling.phrase("panels_title", &fill);
    let about = About { title, ..sheet.about.clone() };
    let (width, height) = grid.page();
    let mut out = canvas.finish(width, height, 0.0, about);
    out.outlines.clone_from(&sheet.outlines);
    out.symbols.clone_from(&sheet.symbols);
    out.images.clone_from(&sheet.images);
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
