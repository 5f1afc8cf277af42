//! PNG painter: a page drawn in strips and written as it goes.
//!
//! Strips keep the memory small however large the page is. Their heights
//! depend on the page alone, never on the number of threads, so the bytes are
//! the same for any number of jobs. 100 dpi is always the 3 x 3 mean of
//! 300 dpi, whether or not that file is asked for as well.

mod draw;
mod file;
mod strips;

use std::io::{self, Write};

use self::draw::Scene;
use self::file::{File, Rows};
use crate::sheet::Sheet;
use crate::units::Dpi;

/// One file to be written: its resolution and where its bytes go.
pub struct Output<'a> {
    pub dpi: Dpi,
    pub out: &'a mut (dyn Write + Send),
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

/// Outputs that are made from one run of strips.
struct Pass<'a, 'b> {
    dpi: Dpi,
    full: Vec<&'a mut Output<'b>>,
    third: Vec<&'a mut Output<'b>>,
}

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
    let Some(page) = sheet.pages.get(page) else {
        return Err(io::Error::new(io::ErrorKind::InvalidInput, "no such page").into());
    };
    let scene = Scene::new(sheet, page);
    let mut passes: Vec<Pass> = Vec::new();
    for output in outputs {
        let dpi = drawn_at(output.dpi);
        let index = passes.iter().position(|p| p.dpi == dpi).unwrap_or_else(|| {
            passes.push(Pass { dpi, full: Vec::new(), third: Vec::new() });
            passes.len() - 1
        });
        let pass = &mut passes[index];
        if output.dpi == dpi { &mut pass.full } else { &mut pass.third }.push(output);
    }
    let area = |dpi: Dpi| f64::from(dpi.get()).powi(2);
    let whole: f64 = passes.iter().map(|p| area(p.dpi)).sum();
    let mut done = 0.0;
    for pass in &mut passes {
        let share = area(pass.dpi) / whole;
        run(&scene, sheet, pass, jobs, &|part| on_strip(done + share * part))?;
        done += share;
    }
    Ok(())
}

fn run(
    scene: &Scene,
    sheet: &Sheet,
    pass: &mut Pass<'_, '_>,
    jobs: usize,
    on_strip: &(dyn Fn(f64) -> Result<(), Cancelled> + Sync),
) -> Result<(), PngError> {
    let width = pass.dpi.pixels(sheet.width).max(3);
    let height = pass.dpi.pixels(sheet.height).max(3);
    let rows = strips::rows(width);
    let count = height.div_ceil(rows);
    let reduced = !pass.third.is_empty();
    let whole = pass.full.len();
    // Files of full size first, then the reduced ones.
    let mut files: Vec<File> = Vec::new();
    for output in &mut pass.full {
        files.push(File::begin(&mut *output.out, width, height, output.dpi)?);
    }
    for output in &mut pass.third {
        files.push(File::begin(&mut *output.out, width / 3, height / 3, output.dpi)?);
    }
    let mut full: Vec<_> = files.iter_mut().map(File::rows).collect::<io::Result<_>>()?;
    let mut third = full.split_off(whole);
    let draw = |index: u32| {
        let top = index * rows;
        let strip = scene.strip(pass.dpi, width, top, rows.min(height - top));
        let small = if reduced { strips::third(&strip, width) } else { Vec::new() };
        (strip, small)
    };
    strips::in_order(count, jobs, draw, |index, (strip, small)| {
        full.iter_mut().try_for_each(|f| f.add(&strip))?;
        third.iter_mut().try_for_each(|f| f.add(&small))?;
        on_strip(f64::from(index + 1) / f64::from(count))?;
        Ok::<(), PngError>(())
    })?;
    full.into_iter().chain(third).try_for_each(Rows::finish)?;
    files.into_iter().try_for_each(File::finish)?;
    Ok(())
}
