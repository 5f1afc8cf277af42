//! PNG painter: a page drawn in strips and written as it goes.
//!
//! Strips keep the memory small however large the page is. Their heights
//! depend on the page alone, never on the number of threads, so the bytes are
//! the same for any number of jobs. 100 dpi is always the 3 x 3 mean of
//! 300 dpi, whether or not that file is asked for as well. A strip is
//! compressed where it is drawn and known by what it shows, so that a file
//! with the same strip can lend it. Pages that differ in their words alone are
//! drawn side by side: a strip that they share once, of others the columns
//! that differ.

mod blit;
mod cache;
mod differ;
mod draw;
mod file;
mod marks;
mod pass;
mod ramp;
mod reuse;
mod squeeze;
mod stamp;
mod strips;

use std::io::{self, Write};

use self::draw::Scene;
use self::pass::{Drawing, Pass};
pub use self::reuse::{Key, Shelf, Strip};
use crate::sheet::identity::Digest;
use crate::sheet::{Page, Sheet};
use crate::units::Dpi;

/// One file to be written: its resolution and where its bytes go.
pub struct Output<'a> {
    pub dpi: Dpi,
    pub out: &'a mut (dyn Write + Send),
}

/// A page of a sheet, and where its picture goes.
pub struct Picture<'a, 'b> {
    pub sheet: &'a Sheet,
    /// The digests of the page's items.
    pub items: &'a [Digest],
    pub outputs: &'a mut [Output<'b>],
}

/// The person at the keyboard wants to stop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cancelled;

/// Why a PNG was not finished.
#[derive(Debug)]
pub enum PngError {
    /// Writing failed.
    Io(io::Error),
    /// Stopped on request.
    Cancelled,
}

impl From<io::Error> for PngError {
    fn from(e: io::Error) -> PngError {
        PngError::Io(e)
    }
}

impl From<Cancelled> for PngError {
    fn from(_: Cancelled) -> PngError {
        PngError::Cancelled
    }
}

impl std::fmt::Display for PngError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            PngError::Io(e) => e.fmt(f),
            PngError::Cancelled => f.write_str("stopped"),
        }
    }
}

impl std::error::Error for PngError {}

/// The resolution at which a file of `dpi` is drawn.
fn drawn_at(dpi: Dpi) -> Dpi {
    if dpi == Dpi::PREVIEW { Dpi::PRINT } else { dpi }
}

/// Draws the trimmed page number `page` (from 0) into every output, using up
/// to `jobs` drawing threads. `on_strip` is told the finished share, 0 to 1.
///
/// # Errors
/// [`PngError::Io`] when an output cannot be written, [`PngError::Cancelled`]
/// when `on_strip` says so. The outputs then hold part of a file.
pub fn png(
    sheet: &Sheet,
    page: usize,
    outputs: &mut [Output<'_>],
    jobs: usize,
    on_strip: &(dyn Fn(f64) -> Result<(), Cancelled> + Sync),
) -> Result<(), PngError> {
    let picture = Picture { sheet, items: &[], outputs };
    paint(&mut [picture], page, None, jobs, on_strip).map(drop)
}

/// Like [`png`], for the pages of several sheets with the same parts and fonts (see
/// [`Identity::parts`](crate::sheet::identity::Identity::parts)), with strips that the shelf has
/// taken from it. The strips of each output of each picture are returned.
///
/// # Errors
/// As [`png`].
pub fn png_again(
    pictures: &mut [Picture<'_, '_>],
    page: usize,
    shelf: &dyn Shelf,
    jobs: usize,
    on_strip: &(dyn Fn(f64) -> Result<(), Cancelled> + Sync),
) -> Result<Vec<Vec<Vec<Strip>>>, PngError> {
    paint(pictures, page, Some(shelf), jobs, on_strip)
}

fn paint(
    pictures: &mut [Picture<'_, '_>],
    page: usize,
    shelf: Option<&dyn Shelf>,
    jobs: usize,
    on_strip: &(dyn Fn(f64) -> Result<(), Cancelled> + Sync),
) -> Result<Vec<Vec<Vec<Strip>>>, PngError> {
    let mut pages: Vec<(&Sheet, &Page)> = Vec::new();
    let mut items = Vec::new();
    let mut passes: Vec<Pass> = Vec::new();
    for (n, picture) in pictures.iter_mut().enumerate() {
        let Some(page) = picture.sheet.pages.get(page) else {
            return Err(io::Error::new(io::ErrorKind::InvalidInput, "no such page").into());
        };
        pages.push((picture.sheet, page));
        items.push(picture.items);
        for (index, output) in picture.outputs.iter_mut().enumerate() {
            let dpi = drawn_at(output.dpi);
            let at = passes.iter().position(|p| p.dpi == dpi).unwrap_or_else(|| {
                passes.push(Pass { dpi, outputs: Vec::new() });
                passes.len() - 1
            });
            passes[at].outputs.push(((n, index), output));
        }
    }
    let area = |dpi: Dpi| f64::from(dpi.get()).powi(2);
    let whole: f64 = passes.iter().map(|p| area(p.dpi)).sum();
    let mut made: Vec<Vec<Vec<Strip>>> = vec![Vec::new(); pages.len()];
    let mut done = 0.0;
    let mut files = Vec::new();
    for pass in passes {
        let share = area(pass.dpi) / whole;
        let scene = Scene::new(&pages, pass.dpi);
        let drawn = Drawing { scene, items: &items, shelf };
        files.extend(pass.run(&drawn, pages[0].0, jobs, &|part| on_strip(done + share * part))?);
        done += share;
    }
    files.sort_by_key(|(place, _)| *place);
    files.into_iter().for_each(|((n, _), strips)| made[n].push(strips));
    Ok(made)
}
