//! Pictures: a page drawn in strips and written as it goes, as PNG, JPEG or TIFF. All of them
//! are made of the same strips, so that no two can differ in what they show.
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
mod coder;
mod differ;
mod draw;
mod file;
mod frame;
mod image;
mod jpeg;
mod marks;
mod pass;
mod ramp;
mod raster;
mod reuse;
mod squeeze;
mod stamp;
mod strips;
mod tiff;

use std::io::{self, Seek, Write};

use self::draw::Scene;
pub use self::frame::{Canvas, Frame};
pub use self::jpeg::MOST as JPEG_MOST;
use self::pass::{Drawing, Pass};
pub use self::raster::{Cancelled, Form, Place, PngError, Raster};
pub use self::reuse::{Key, Shelf, Strip};
pub use self::tiff::MOST as TIFF_MOST;
use crate::sheet::identity::Digest;
use crate::sheet::{Coloured, Page, Rgb};
use crate::units::Dpi;

/// One PNG of the trimmed page: its resolution and where its bytes go.
pub struct Output<'a> {
    pub dpi: Dpi,
    pub out: &'a mut (dyn Write + Send),
}

/// A page of a sheet, and where its pictures go.
pub struct Picture<'a, 'b> {
    pub painted: Coloured<'a, Rgb>,
    /// The digests of the page's items.
    pub items: &'a [Digest],
    pub rasters: &'a mut [Raster<'b>],
}

/// Draws the trimmed page number `page` (from 0) into every output, using up
/// to `jobs` drawing threads. `on_strip` gets the finished share, 0 to 1.
///
/// # Errors
/// [`PngError::Io`] when an output cannot be written, [`PngError::Cancelled`]
/// when `on_strip` returns so. The outputs then hold part of a file.
pub fn png(
    painted: Coloured<'_, Rgb>,
    page: usize,
    outputs: &mut [Output<'_>],
    jobs: usize,
    on_strip: &(dyn Fn(f64) -> Result<(), Cancelled> + Sync),
) -> Result<(), PngError> {
    let sizes: Vec<Dpi> = outputs.iter().map(|o| o.dpi).collect();
    let mut streams: Vec<Stream<'_>> =
        outputs.iter_mut().map(|o| Stream { out: &mut *o.out }).collect();
    let mut rasters: Vec<Raster<'_>> = Vec::new();
    for (out, dpi) in streams.iter_mut().zip(sizes) {
        let frame = Frame::at((painted.sheet.width, painted.sheet.height), 0.0, dpi);
        rasters.push(Raster { form: Form::Png, frame, out });
    }
    let picture = Picture { painted, items: &[], rasters: &mut rasters };
    paint(&mut [picture], page, None, jobs, on_strip).map(drop)
}

/// A page as the bytes of a PNG file.
///
/// # Errors
/// As [`png`].
pub fn in_memory(
    painted: Coloured<'_, Rgb>,
    page: usize,
    dpi: Dpi,
    jobs: usize,
    on_strip: &(dyn Fn(f64) -> Result<(), Cancelled> + Sync),
) -> Result<Vec<u8>, PngError> {
    let mut bytes = Vec::new();
    png(painted, page, &mut [Output { dpi, out: &mut bytes }], jobs, on_strip)?;
    Ok(bytes)
}

/// Like [`png`], for the pages of several sheets with the same parts and fonts (see
/// [`Identity::parts`](crate::sheet::identity::Identity::parts)), with strips that the shelf has
/// taken from it. The strips of each raster of each picture are returned; only a PNG has any.
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
    let mut pages: Vec<(Coloured<'_, Rgb>, &Page)> = Vec::new();
    let mut items = Vec::new();
    let mut passes: Vec<Pass> = Vec::new();
    for (n, picture) in pictures.iter_mut().enumerate() {
        let Some(page) = picture.painted.sheet.pages.get(page) else {
            return Err(io::Error::new(io::ErrorKind::InvalidInput, "no such page").into());
        };
        pages.push((picture.painted, page));
        items.push(picture.items);
        for (index, raster) in picture.rasters.iter_mut().enumerate() {
            let canvas = raster.frame.canvas;
            let at = passes.iter().position(|p| p.canvas == canvas).unwrap_or_else(|| {
                passes.push(Pass { canvas, rasters: Vec::new() });
                passes.len() - 1
            });
            passes[at].rasters.push(((n, index), raster));
        }
    }
    let area = |canvas: Canvas| f64::from(canvas.width) * f64::from(canvas.height);
    let whole: f64 = passes.iter().map(|p| area(p.canvas)).sum();
    let mut made: Vec<Vec<Vec<Strip>>> = vec![Vec::new(); pages.len()];
    let mut done = 0.0;
    let mut files = Vec::new();
    for pass in passes {
        let share = area(pass.canvas) / whole;
        let scene = Scene::new(&pages, pass.canvas);
        let drawn = Drawing { scene, items: &items, shelf };
        files.extend(pass.run(&drawn, jobs, &|part| on_strip(done + share * part))?);
        done += share;
    }
    files.sort_by_key(|(place, _)| *place);
    files.into_iter().for_each(|((n, _), strips)| made[n].push(strips));
    Ok(made)
}

/// A writer as a place; what is written there never goes back.
struct Stream<'a> {
    out: &'a mut (dyn Write + Send),
}

impl Write for Stream<'_> {
    fn write(&mut self, buffer: &[u8]) -> io::Result<usize> {
        self.out.write(buffer)
    }
    fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }
}

impl Seek for Stream<'_> {
    fn seek(&mut self, _: io::SeekFrom) -> io::Result<u64> {
        Err(io::ErrorKind::Unsupported.into())
    }
}
