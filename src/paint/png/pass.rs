//! One run of strips over a page, or over a page of several sheets, into every file of a
//! resolution.

use std::io;

use super::blit::Band;
use super::draw::Scene;
use super::file::File;
use super::reuse::{Key, Shelf, Strip};
use super::squeeze::{Squeezed, Squeezer};
use super::{Cancelled, Output, PngError, strips};
use crate::sheet::Sheet;
use crate::sheet::identity::{Digest, Digester};
use crate::units::Dpi;

/// How pages are drawn and compressed: another word, and no older strip is used.
const FORM: &str = "strip 1";

/// Outputs that are made from one run of strips.
pub struct Pass<'a, 'b> {
    pub dpi: Dpi,
    /// Each with its place: which picture, and which of its outputs.
    pub outputs: Vec<((usize, usize), &'a mut Output<'b>)>,
}

/// Memory of a drawing thread.
#[derive(Default)]
struct Desk {
    pixels: Vec<u8>,
    squeezer: Squeezer,
}

/// A strip as it goes into a file; without a key it cannot be lent.
type Ready = (Option<Key>, Squeezed);

/// Strips of one band: of each picture those of each size that it has, smallest reduction first.
#[derive(Default)]
struct Drawn {
    /// Pictures that show the same share them.
    made: Vec<Vec<Ready>>,
    /// Which of these is a picture's.
    of: Vec<usize>,
}

/// What strips are made from.
pub struct Drawing<'a> {
    pub scene: Scene<'a>,
    /// The digests of each picture's items.
    pub items: &'a [&'a [Digest]],
    /// None: strips are not known by what they show.
    pub shelf: Option<&'a dyn Shelf>,
}

impl Drawing<'_> {
    /// The band of every picture; `sizes` are the reductions that each is wanted at.
    fn band(&self, desk: &mut Desk, band: Band, dpi: Dpi, sizes: &[Vec<u32>]) -> io::Result<Drawn> {
        let mut drawn = Drawn::default();
        let mut seen: Vec<Vec<Key>> = Vec::new();
        let mut on_desk = None;
        for (n, sizes) in sizes.iter().enumerate() {
            if sizes.is_empty() {
                drawn.of.push(0);
                continue;
            }
            let keys = self.keys(n, band, dpi, sizes);
            if let Some(same) = seen.iter().position(|k| self.shelf.is_some() && *k == keys) {
                drawn.of.push(same);
                continue;
            }
            let made = match self.shelf.and_then(|shelf| fetched(shelf, &keys)) {
                Some(found) => found,
                None => {
                    let memory = std::mem::take(&mut desk.pixels);
                    desk.pixels = match on_desk {
                        Some(m) => {
                            let (from, to) = ((m, self.items[m]), (n, self.items[n]));
                            self.scene.turned(memory, from, to, band)
                        }
                        None => self.scene.strip(memory, n, band),
                    };
                    on_desk = self.shelf.map(|_| n);
                    desk.squeezed(band.width, sizes, &keys)?
                }
            };
            drawn.of.push(drawn.made.len());
            drawn.made.push(made);
            seen.push(keys);
        }
        Ok(drawn)
    }

    /// What a picture's strips of a band are known by, one for each size.
    fn keys(&self, picture: usize, band: Band, dpi: Dpi, sizes: &[u32]) -> Vec<Key> {
        if self.shelf.is_none() {
            return Vec::new();
        }
        let items = self.items[picture];
        let touching = self.scene.touching(picture, band).map(|i| &items[i]);
        let shown = shown(dpi, band, touching);
        sizes.iter().map(|by| key(&shown, *by)).collect()
    }
}

impl Desk {
    /// What is on the desk, in each size; keys may be missing.
    fn squeezed(&mut self, width: u32, sizes: &[u32], keys: &[Key]) -> io::Result<Vec<Ready>> {
        let mut out = Vec::with_capacity(sizes.len());
        for (n, by) in sizes.iter().enumerate() {
            let squeezed = match by {
                1 => self.squeezer.squeeze(&self.pixels, width)?,
                _ => self.squeezer.squeeze(&strips::third(&self.pixels, width), width / 3)?,
            };
            out.push((keys.get(n).copied(), squeezed));
        }
        Ok(out)
    }
}

/// A file among those of a pass.
struct Place<'a> {
    /// Which picture, and which of its outputs.
    of: (usize, usize),
    /// Its place among the sizes of the picture, and the reduction that this is.
    size: usize,
    by: u32,
    file: File<'a>,
}

/// The strips of a file, by the place of the file.
pub type Made = ((usize, usize), Vec<Strip>);

impl Pass<'_, '_> {
    /// Draws and writes all of it.
    ///
    /// # Errors
    /// As [`png`](super::png).
    pub fn run(
        self,
        drawing: &Drawing<'_>,
        sheet: &Sheet,
        jobs: usize,
        on_strip: &(dyn Fn(f64) -> Result<(), Cancelled> + Sync),
    ) -> Result<Vec<Made>, PngError> {
        let dpi = self.dpi;
        let width = dpi.pixels(sheet.width).max(3);
        let height = dpi.pixels(sheet.height).max(3);
        let rows = strips::rows(width);
        let count = height.div_ceil(rows);
        // Of one pass, files are as large as drawn or a third of that.
        let reduction = |output: &Output<'_>| if output.dpi == dpi { 1 } else { 3 };
        let mut sizes: Vec<Vec<u32>> = vec![Vec::new(); drawing.items.len()];
        for ((n, _), output) in &self.outputs {
            sizes[*n].push(reduction(output));
        }
        for sizes in &mut sizes {
            sizes.sort_unstable();
            sizes.dedup();
        }
        let mut files = Vec::new();
        for (of, output) in self.outputs {
            let by = reduction(output);
            let size = sizes[of.0].iter().position(|s| *s == by).unwrap_or(0);
            let file = File::begin(&mut *output.out, width / by, height / by, output.dpi)?;
            files.push(Place { of, size, by, file });
        }
        let band = |index: u32| {
            let top = index * rows;
            Band { width, top, rows: rows.min(height - top) }
        };
        let draw = |desk: &mut Desk, index: u32| drawing.band(desk, band(index), dpi, &sizes);
        strips::in_order(count, jobs, draw, |index, drawn: io::Result<Drawn>| {
            let drawn = drawn?;
            for Place { of, size, by, file } in &mut files {
                let (key, squeezed) = &drawn.made[drawn.of[of.0]][*size];
                file.add(*key, squeezed, band(index).rows / *by)?;
            }
            on_strip(f64::from(index + 1) / f64::from(count))?;
            Ok::<(), PngError>(())
        })?;
        files.into_iter().map(|place| Ok((place.of, place.file.finish()?))).collect()
    }
}

/// What a strip shows, besides the size it is shown at.
fn shown<'a>(dpi: Dpi, band: Band, items: impl Iterator<Item = &'a Digest>) -> Digest {
    let mut digester = Digester::new(FORM);
    let Band { width, top, rows } = band;
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
fn fetched(shelf: &dyn Shelf, keys: &[Key]) -> Option<Vec<Ready>> {
    if !keys.iter().all(|key| shelf.has(*key)) {
        return None;
    }
    let fetch = |key: &Key| {
        let (data, adler) = shelf.fetch(*key)?;
        Some((Some(*key), Squeezed { data, adler }))
    };
    keys.iter().map(fetch).collect()
}
