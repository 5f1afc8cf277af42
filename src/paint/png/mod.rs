//! PNG painter: a page drawn in strips and written as it goes.
//!
//! Strips keep the memory small however large the page is. Their heights
//! depend on the page alone, never on the number of threads, so the bytes are
//! the same for any number of jobs. 100 dpi is always the 3 x 3 mean of
//! 300 dpi, whether or not that file is asked for as well. A strip is
//! compressed where it is drawn and known by what it shows, so that a file
//! with the same strip can lend it.

mod blit;
mod cache;
mod draw;
mod file;
mod ramp;
mod reuse;
mod squeeze;
mod stamp;
mod strips;

use std::io::{self, Write};

use self::draw::Scene;
use self::file::File;
pub use self::reuse::{Key, Known, Shelf, Strip};
use self::squeeze::{Squeezed, Squeezer};
use crate::sheet::Sheet;
use crate::sheet::identity::{Digest, Digester};
use crate::units::Dpi;

/// How pages are drawn and compressed: another word, and no older strip is used.
const FORM: &str = "strip 1";

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
    /// Each with its place among all that were asked for.
    outputs: Vec<(usize, &'a mut Output<'b>)>,
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
    paint(sheet, page, None, outputs, jobs, on_strip).map(drop)
}

/// Like [`png`], but takes strips that show the same from the shelf. The strips
/// of each output are returned.
///
/// # Errors
/// As [`png`].
pub fn png_again(
    sheet: &Sheet,
    page: usize,
    known: Known<'_>,
    outputs: &mut [Output<'_>],
    jobs: usize,
    on_strip: &(dyn Fn(f64) -> Result<(), Cancelled> + Sync),
) -> Result<Vec<Vec<Strip>>, PngError> {
    paint(sheet, page, Some(known), outputs, jobs, on_strip)
}

fn paint(
    sheet: &Sheet,
    page: usize,
    known: Option<Known<'_>>,
    outputs: &mut [Output<'_>],
    jobs: usize,
    on_strip: &(dyn Fn(f64) -> Result<(), Cancelled> + Sync),
) -> Result<Vec<Vec<Strip>>, PngError> {
    let Some(page) = sheet.pages.get(page) else {
        return Err(io::Error::new(io::ErrorKind::InvalidInput, "no such page").into());
    };
    let mut passes: Vec<Pass> = Vec::new();
    for (index, output) in outputs.iter_mut().enumerate() {
        let dpi = drawn_at(output.dpi);
        let at = passes.iter().position(|p| p.dpi == dpi).unwrap_or_else(|| {
            passes.push(Pass { dpi, outputs: Vec::new() });
            passes.len() - 1
        });
        passes[at].outputs.push((index, output));
    }
    let area = |dpi: Dpi| f64::from(dpi.get()).powi(2);
    let whole: f64 = passes.iter().map(|p| area(p.dpi)).sum();
    let mut done = 0.0;
    let mut made = Vec::new();
    for pass in passes {
        let share = area(pass.dpi) / whole;
        let scene = Scene::new(sheet, page, pass.dpi);
        made.extend(pass.run(&scene, sheet, known, jobs, &|part| on_strip(done + share * part))?);
        done += share;
    }
    made.sort_by_key(|(index, _)| *index);
    Ok(made.into_iter().map(|(_, strips)| strips).collect())
}

/// Memory of a drawing thread.
#[derive(Default)]
struct Desk {
    pixels: Vec<u8>,
    squeezer: Squeezer,
}

/// Strips of one height of the page, one for each size that is asked for.
type Drawn = io::Result<Vec<(Option<Key>, Squeezed)>>;

impl Pass<'_, '_> {
    fn run(
        self,
        scene: &Scene,
        sheet: &Sheet,
        known: Option<Known<'_>>,
        jobs: usize,
        on_strip: &(dyn Fn(f64) -> Result<(), Cancelled> + Sync),
    ) -> Result<Vec<(usize, Vec<Strip>)>, PngError> {
        let dpi = self.dpi;
        let width = dpi.pixels(sheet.width).max(3);
        let height = dpi.pixels(sheet.height).max(3);
        let rows = strips::rows(width);
        let count = height.div_ceil(rows);
        // Of one pass, files are as large as drawn or a third of that.
        let reduction = |output: &Output<'_>| if output.dpi == dpi { 1 } else { 3 };
        let mut sizes: Vec<u32> = self.outputs.iter().map(|(_, o)| reduction(o)).collect();
        sizes.sort_unstable();
        sizes.dedup();
        let mut files = Vec::new();
        for (index, output) in self.outputs {
            let by = reduction(output);
            let file = File::begin(&mut *output.out, width / by, height / by, output.dpi)?;
            files.push((index, by, file));
        }
        let draw = |desk: &mut Desk, index: u32| -> Drawn {
            let (top, rows) = (index * rows, rows.min(height - index * rows));
            let keys: Option<Vec<Key>> = known.map(|known| {
                let touching = scene.touching(top, rows).map(|i| &known.items[i]);
                let shown = shown(dpi, width, top, rows, touching);
                sizes.iter().map(|by| key(&shown, *by)).collect()
            });
            if let (Some(known), Some(keys)) = (known, &keys)
                && let Some(found) = fetched(known.shelf, keys)
            {
                return Ok(found);
            }
            desk.pixels = scene.strip(std::mem::take(&mut desk.pixels), width, top, rows);
            let mut out = Vec::with_capacity(sizes.len());
            for (n, by) in sizes.iter().enumerate() {
                let squeezed = match by {
                    1 => desk.squeezer.squeeze(&desk.pixels, width)?,
                    _ => desk.squeezer.squeeze(&strips::third(&desk.pixels, width), width / 3)?,
                };
                out.push((keys.as_ref().map(|keys| keys[n]), squeezed));
            }
            Ok(out)
        };
        strips::in_order(count, jobs, draw, |index, drawn: Drawn| {
            let drawn = drawn?;
            let high = rows.min(height - index * rows);
            for (_, by, file) in &mut files {
                let at = sizes.iter().position(|s| s == by).unwrap_or(0);
                let (key, squeezed) = &drawn[at];
                file.add(*key, squeezed, high / *by)?;
            }
            on_strip(f64::from(index + 1) / f64::from(count))?;
            Ok::<(), PngError>(())
        })?;
        let ended = files.into_iter().map(|(index, _, file)| Ok((index, file.finish()?)));
        ended.collect()
    }
}

/// What a strip shows, besides the size it is shown at.
fn shown<'a>(
    dpi: Dpi,
    width: u32,
    top: u32,
    rows: u32,
    items: impl Iterator<Item = &'a Digest>,
) -> Digest {
    let mut digester = Digester::new(FORM);
    [dpi.get(), width, top, rows].into_iter().for_each(|n| digester.number(n.into()));
    items.for_each(|item| digester.digest(item));
    digester.done()
}

fn key(shown: &Digest, by: u32) -> Key {
    let mut digester = Digester::new(FORM);
    digester.digest(shown);
    digester.number(by.into());
    Key(digester.done())
}

/// All of the strips, where all are there.
fn fetched(shelf: &dyn Shelf, keys: &[Key]) -> Option<Vec<(Option<Key>, Squeezed)>> {
    if !keys.iter().all(|key| shelf.has(*key)) {
        return None;
    }
    let fetch = |key: &Key| {
        let (data, adler) = shelf.fetch(*key)?;
        Some((Some(*key), Squeezed { data, adler }))
    };
    keys.iter().map(fetch).collect()
}
