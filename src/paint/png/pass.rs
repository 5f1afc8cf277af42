//! One run of strips over a page, or over a page of several sheets, into every file of a
//! resolution.

use std::io;
use std::sync::Arc;
use std::thread::Scope;

use super::blit::Band;
use super::coder::{self, Coder, Rows};
use super::draw::Scene;
use super::file::PictureFile;
use super::frame::{Canvas, Frame};
use super::raster::{Cancelled, Form, Place, PngError, Raster};
use super::reuse::{Key, Shelf, Strip};
use super::squeeze::{Squeezed, Squeezer};
use super::{jpeg, strips, tiff};
use crate::parallel::{self, Fed};
use crate::sheet::identity::{Digest, Digester};

/// How pages are drawn and compressed: another word, and no older strip is used.
const FORM: &str = "strip 1";

/// Files that are made from one run of strips.
pub struct Pass<'a, 'b> {
    pub canvas: Canvas,
    /// Each with its place: which picture, and which of its files.
    pub rasters: Vec<((usize, usize), &'a mut Raster<'b>)>,
}

/// Memory of a drawing thread.
#[derive(Default)]
struct Desk {
    pixels: Vec<u8>,
    squeezer: Squeezer,
}

/// What a file takes of a band.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Want {
    /// 1, or 3 for the 3 x 3 mean.
    by: u32,
    /// Pixels as they are; compressed for a PNG otherwise.
    plain: bool,
    /// Size of the file.
    width: u32,
    height: u32,
}

impl Want {
    fn of(raster: &Raster<'_>) -> Want {
        let Frame { width, height, by, .. } = raster.frame;
        Want { by, plain: raster.form != Form::Png, width, height }
    }

    /// Rows that the file has of a band.
    fn rows(&self, band: Band) -> u32 {
        let top = band.top / self.by;
        band.rows.div_ceil(self.by).min(self.height.saturating_sub(top))
    }
}

/// A strip as it goes into a file.
enum Ready {
    /// Without a key it cannot be lent.
    Squeezed(Option<Key>, Squeezed),
    Plain(Rows),
}

/// Strips of one band: of each picture what its files take.
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
    /// The band of every picture, as its files want it.
    fn band(&self, desk: &mut Desk, band: Band, wants: &[Vec<Want>]) -> io::Result<Drawn> {
        let mut drawn = Drawn::default();
        let mut seen: Vec<Vec<Key>> = Vec::new();
        let mut on_desk = None;
        for (n, wants) in wants.iter().enumerate() {
            if wants.is_empty() {
                drawn.of.push(0);
                continue;
            }
            let keys = self.keys(n, band, wants);
            if let Some(same) = seen.iter().position(|k| self.shelf.is_some() && *k == keys) {
                drawn.of.push(same);
                continue;
            }
            let lent = self.shelf.filter(|_| wants.iter().all(|w| !w.plain));
            let made = match lent.and_then(|shelf| fetched(shelf, &keys)) {
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
                    desk.made(band, wants, &keys)?
                }
            };
            drawn.of.push(drawn.made.len());
            drawn.made.push(made);
            seen.push(keys);
        }
        Ok(drawn)
    }

    /// What a picture's strips of a band are known by, one for each want.
    fn keys(&self, picture: usize, band: Band, wants: &[Want]) -> Vec<Key> {
        if self.shelf.is_none() {
            return Vec::new();
        }
        let items = self.items[picture];
        let touching = self.scene.touching(picture, band).map(|i| &items[i]);
        let shown = shown(self.scene.canvas(), band, touching);
        wants.iter().map(|want| key(&shown, want)).collect()
    }
}

impl Desk {
    /// What is on the desk, as it is wanted; keys may be missing.
    fn made(&mut self, band: Band, wants: &[Want], keys: &[Key]) -> io::Result<Vec<Ready>> {
        let mut out = Vec::with_capacity(wants.len());
        for (n, want) in wants.iter().enumerate() {
            let reduced;
            let (pixels, width) = match want.by {
                1 => (&self.pixels, band.width),
                _ => {
                    reduced = strips::third(&self.pixels, band.width);
                    (&reduced, band.width / 3)
                }
            };
            let pixels = strips::corner(pixels, width, want.width, want.rows(band));
            out.push(match want.plain {
                true => Ready::Plain(Arc::new(pixels.into_owned())),
                false => {
                    let squeezed = self.squeezer.squeeze(&pixels, want.width)?;
                    Ready::Squeezed(keys.get(n).copied(), squeezed)
                }
            });
        }
        Ok(out)
    }
}

/// A file among those of a pass.
struct Making<'scope> {
    /// Which picture, and which of its files.
    of: (usize, usize),
    want: Want,
    /// The place of the want among those of the picture.
    at: usize,
    file: FileForm<'scope>,
}

enum FileForm<'scope> {
    Png(PictureFile<'scope>),
    Other(Coder<'scope>),
}

impl Making<'_> {
    fn add(&mut self, ready: &Ready, band: Band) -> io::Result<()> {
        match (&mut self.file, ready) {
            (FileForm::Png(file), Ready::Squeezed(key, squeezed)) => {
                file.add(*key, squeezed, self.want.rows(band))
            }
            (FileForm::Other(coder), Ready::Plain(rows)) => coder.add(Arc::clone(rows)),
            _ => Err(io::Error::other("a strip of the wrong kind")),
        }
    }

    fn finish(self) -> io::Result<Made> {
        let strips = match self.file {
            FileForm::Png(file) => file.finish()?,
            FileForm::Other(coder) => coder.finish().map(|()| Vec::new())?,
        };
        Ok((self.of, strips))
    }
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
        jobs: usize,
        on_strip: &(dyn Fn(f64) -> Result<(), Cancelled> + Sync),
    ) -> Result<Vec<Made>, PngError> {
        let Canvas { width, height, .. } = self.canvas;
        let rows = strips::rows(width);
        let count = height.div_ceil(rows);
        let mut wants: Vec<Vec<Want>> = vec![Vec::new(); drawing.items.len()];
        for ((n, _), raster) in &self.rasters {
            wants[*n].push(Want::of(raster));
        }
        for wants in &mut wants {
            wants.sort_unstable();
            wants.dedup();
        }
        let band = |index: u32| {
            let top = index * rows;
            Band { width, top, rows: rows.min(height - top) }
        };
        let draw = |desk: &mut Desk, index: u32| drawing.band(desk, band(index), &wants);
        std::thread::scope(|scope| {
            let mut files = begun(scope, self.rasters, &wants, rows)?;
            let drawn = parallel::in_order(count, jobs, draw, |index, drawn: io::Result<Drawn>| {
                let drawn = drawn?;
                for file in &mut files {
                    file.add(&drawn.made[drawn.of[file.of.0]][file.at], band(index))?;
                }
                on_strip(f64::from(index + 1) / f64::from(count))?;
                Ok::<(), PngError>(())
            });
            match drawn {
                Ok(()) => files.into_iter().map(|file| Ok(file.finish()?)).collect(),
                Err(e) => Err(cause(e, files)),
            }
        })
    }
}

fn begun<'scope>(
    scope: &'scope Scope<'scope, '_>,
    rasters: Vec<((usize, usize), &'scope mut Raster<'_>)>,
    wants: &[Vec<Want>],
    rows: u32,
) -> io::Result<Vec<Making<'scope>>> {
    let mut files = Vec::new();
    for (of, raster) in rasters {
        let want = Want::of(raster);
        let at = wants[of.0].iter().position(|w| *w == want).unwrap_or(0);
        let (form, frame) = (raster.form, raster.frame);
        let file = match form {
            Form::Png => FileForm::Png(PictureFile::begin(&mut *raster.out, &frame)?),
            _ => {
                let rows = rows / frame.by;
                FileForm::Other(coder(scope, &mut *raster.out, form, frame, rows))
            }
        };
        files.push(Making { of, want, at, file });
    }
    Ok(files)
}

/// Starts a file whose strips have `rows` rows each, the last one perhaps fewer.
fn coder<'scope>(
    scope: &'scope Scope<'scope, '_>,
    out: &'scope mut dyn Place,
    form: Form,
    frame: Frame,
    rows: u32,
) -> Coder<'scope> {
    Fed::begin(scope, coder::WAITING, move |strips| match form {
        Form::Jpeg { quality } => jpeg::write(out, &frame, quality, strips),
        Form::Tiff | Form::Png => tiff::write(out, &frame, rows, strips),
    })
}

/// Why drawing stopped: where a coder took no more, what happened to it.
fn cause(error: PngError, files: Vec<Making<'_>>) -> PngError {
    let PngError::Io(broken) = &error else { return error };
    if broken.kind() != io::ErrorKind::BrokenPipe {
        return error;
    }
    let coders = files.into_iter().filter_map(|f| match f.file {
        FileForm::Other(coder) => coder.finish().err(),
        FileForm::Png(_) => None,
    });
    // A coder whose strips ended early has an error of its own, after that of the first.
    let reported = coders.fold(None, |known: Option<io::Error>, e| match &known {
        Some(k) if k.raw_os_error().is_some() || k.kind() != io::ErrorKind::Other => known,
        _ => Some(e),
    });
    reported.map_or(error, PngError::Io)
}

/// What a strip shows, besides the size it is shown at.
fn shown<'a>(canvas: &Canvas, band: Band, items: impl Iterator<Item = &'a Digest>) -> Digest {
    let mut digester = Digester::new(FORM);
    let Band { width, top, rows } = band;
    [width, top, rows].into_iter().for_each(|n| digester.number(n.into()));
    let (across, down) = canvas.scale;
    [across, down, canvas.bleed].into_iter().for_each(|v| digester.real(v));
    items.for_each(|item| digester.digest(item));
    digester.done()
}

fn key(shown: &Digest, want: &Want) -> Key {
    let mut digester = Digester::new(FORM);
    digester.digest(shown);
    let Want { by, plain, width, height } = *want;
    [by, plain.into(), width, height].into_iter().for_each(|n| digester.number(n.into()));
    Key(digester.done())
}

/// All of the strips, where all are there.
fn fetched(shelf: &dyn Shelf, keys: &[Key]) -> Option<Vec<Ready>> {
    if !keys.iter().all(|key| shelf.has(*key)) {
        return None;
    }
    let fetch = |key: &Key| {
        let (data, adler) = shelf.fetch(*key)?;
        Some(Ready::Squeezed(Some(*key), Squeezed { data, adler }))
    };
    keys.iter().map(fetch).collect()
}
