//! The PNG file itself: header, true size, colour space, one IDAT chunk a strip.

use std::fmt::Display;
use std::io::{self, Write};
use std::sync::{Arc, Mutex, PoisonError};

use png::chunk::IDAT;
use png::{BitDepth, ColorType, Encoder, PixelDimensions, SrgbRenderingIntent, Unit, Writer};

use super::frame::Frame;
use super::raster::Place;
use super::reuse::{Key, Strip};
use super::squeeze::{self, Squeezed};

/// Bytes after the data of a chunk: its checksum (PNG, third edition, 5.3).
const AFTER: u64 = 4;

/// What the png crate hides of its writer: why it failed, and how far it is.
#[derive(Default)]
struct Watch {
    fault: Option<io::Error>,
    written: u64,
}

type Shared = Arc<Mutex<Watch>>;

fn lock(watch: &Shared) -> std::sync::MutexGuard<'_, Watch> {
    watch.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A writer that is watched.
struct Watched<'a> {
    out: &'a mut dyn Place,
    watch: Shared,
}

impl Watched<'_> {
    fn note<T>(&self, result: io::Result<T>) -> io::Result<T> {
        result.map_err(|e| {
            let kind = e.kind();
            if kind != io::ErrorKind::Interrupted {
                lock(&self.watch).fault.get_or_insert(e);
            }
            kind.into()
        })
    }
}

impl Write for Watched<'_> {
    fn write(&mut self, buffer: &[u8]) -> io::Result<usize> {
        let result = self.out.write(buffer);
        let n = self.note(result)?;
        lock(&self.watch).written += n as u64;
        Ok(n)
    }
    fn flush(&mut self) -> io::Result<()> {
        let result = self.out.flush();
        self.note(result)
    }
}

fn cause(watch: &Shared, other: impl Display) -> io::Error {
    let kept = lock(watch).fault.take();
    kept.unwrap_or_else(|| io::Error::new(io::ErrorKind::InvalidInput, other.to_string()))
}

/// A PNG on its way.
pub struct PictureFile<'a> {
    writer: Writer<Watched<'a>>,
    watch: Shared,
    /// Bytes of a row as it is compressed: its filter and its pixels.
    row: u64,
    adler: u32,
    strips: Vec<Strip>,
}

impl<'a> PictureFile<'a> {
    /// Writes everything before the pixels: 8-bit RGB, sRGB, pixels a metre.
    ///
    /// # Errors
    /// Those of the writer, or a size that PNG does not allow.
    pub fn begin(out: &'a mut dyn Place, frame: &Frame) -> io::Result<PictureFile<'a>> {
        let Frame { width, height, dpi, .. } = *frame;
        let watch = Shared::default();
        let watched = Watched { out, watch: Arc::clone(&watch) };
        let mut encoder = Encoder::new(watched, width, height);
        encoder.set_color(ColorType::Rgb);
        encoder.set_depth(BitDepth::Eight);
        let ppm = dpi.px_per_metre();
        encoder.set_pixel_dims(Some(PixelDimensions { xppu: ppm, yppu: ppm, unit: Unit::Meter }));
        encoder.set_source_srgb(SrgbRenderingIntent::RelativeColorimetric);
        let writer = encoder.write_header().map_err(|e| cause(&watch, e))?;
        let row = u64::from(width) * 3 + 1;
        let mut file =
            PictureFile { writer, watch, row, adler: squeeze::EMPTY, strips: Vec::new() };
        file.chunk(&squeeze::HEADER)?;
        Ok(file)
    }

    /// Adds a strip of so many rows; without a key it cannot be lent.
    ///
    /// # Errors
    /// Those of the writer.
    pub fn add(&mut self, key: Option<Key>, strip: &Squeezed, rows: u32) -> io::Result<()> {
        let at = self.chunk(&strip.data)?;
        self.adler = squeeze::joined(self.adler, strip.adler, self.row * u64::from(rows));
        let (len, adler) = (strip.data.len() as u64, strip.adler);
        self.strips.extend(key.map(|key| Strip { key, at, len, adler }));
        Ok(())
    }

    /// Writes the end of the file and returns where its strips are.
    ///
    /// # Errors
    /// Those of the writer.
    pub fn finish(mut self) -> io::Result<Vec<Strip>> {
        self.chunk(&squeeze::end(self.adler))?;
        self.writer.finish().map_err(|e| cause(&self.watch, e))?;
        Ok(self.strips)
    }

    /// Writes a chunk of pixels; returns where its data is in the file.
    fn chunk(&mut self, data: &[u8]) -> io::Result<u64> {
        self.writer.write_chunk(IDAT, data).map_err(|e| cause(&self.watch, e))?;
        Ok(lock(&self.watch).written - AFTER - data.len() as u64)
    }
}
