//! The PNG file itself: header, true size, colour space, rows.

use std::fmt::Display;
use std::io::{self, Write};
use std::sync::{Arc, Mutex, PoisonError};

use png::{
    BitDepth, ColorType, DeflateCompression, Encoder, Filter, PixelDimensions, SrgbRenderingIntent,
    StreamWriter, Unit, Writer,
};

use crate::units::Dpi;

/// Bytes of one IDAT chunk.
const CHUNK: usize = 1 << 18;

/// The png crate turns errors of the writer into text; the first is kept here.
type Fault = Arc<Mutex<Option<io::Error>>>;

/// A writer that remembers why it failed.
struct Watched<'a> {
    out: &'a mut (dyn Write + Send),
    fault: Fault,
}

impl Watched<'_> {
    fn note<T>(&self, result: io::Result<T>) -> io::Result<T> {
        result.map_err(|e| {
            let kind = e.kind();
            if kind != io::ErrorKind::Interrupted {
                self.fault.lock().unwrap_or_else(PoisonError::into_inner).get_or_insert(e);
            }
            kind.into()
        })
    }
}

impl Write for Watched<'_> {
    fn write(&mut self, buffer: &[u8]) -> io::Result<usize> {
        let result = self.out.write(buffer);
        self.note(result)
    }
    fn flush(&mut self) -> io::Result<()> {
        let result = self.out.flush();
        self.note(result)
    }
}

fn cause(fault: &Fault, other: impl Display) -> io::Error {
    let kept = fault.lock().unwrap_or_else(PoisonError::into_inner).take();
    kept.unwrap_or_else(|| io::Error::new(io::ErrorKind::InvalidInput, other.to_string()))
}

/// A PNG with its header written.
pub struct File<'a> {
    writer: Writer<Watched<'a>>,
    fault: Fault,
}

/// The pixels of a PNG, row by row.
pub struct Rows<'f, 'a> {
    rows: StreamWriter<'f, Watched<'a>>,
    fault: Fault,
}

impl<'a> File<'a> {
    /// Writes everything before the pixels: 8-bit RGB, sRGB, pixels a metre.
    ///
    /// # Errors
    /// Those of the writer, or a size that PNG does not allow.
    pub fn begin(
        out: &'a mut (dyn Write + Send),
        width: u32,
        height: u32,
        dpi: Dpi,
    ) -> io::Result<File<'a>> {
        let fault = Fault::default();
        let watched = Watched { out, fault: Arc::clone(&fault) };
        let mut encoder = Encoder::new(watched, width, height);
        encoder.set_color(ColorType::Rgb);
        encoder.set_depth(BitDepth::Eight);
        let ppm = dpi.px_per_metre();
        encoder.set_pixel_dims(Some(PixelDimensions { xppu: ppm, yppu: ppm, unit: Unit::Meter }));
        encoder.set_source_srgb(SrgbRenderingIntent::RelativeColorimetric);
        encoder.set_deflate_compression(DeflateCompression::Level(2));
        encoder.set_filter(Filter::Sub);
        let writer = encoder.write_header().map_err(|e| cause(&fault, e))?;
        Ok(File { writer, fault })
    }

    /// Begins the pixels.
    ///
    /// # Errors
    /// Those of the writer.
    pub fn rows(&mut self) -> io::Result<Rows<'_, 'a>> {
        let fault = Arc::clone(&self.fault);
        let rows = self.writer.stream_writer_with_size(CHUNK).map_err(|e| cause(&fault, e))?;
        Ok(Rows { rows, fault })
    }

    /// Writes the end of the file.
    ///
    /// # Errors
    /// Those of the writer.
    pub fn finish(self) -> io::Result<()> {
        self.writer.finish().map_err(|e| cause(&self.fault, e))
    }
}

impl Rows<'_, '_> {
    /// Adds rows of RGB bytes.
    ///
    /// # Errors
    /// Those of the writer.
    pub fn add(&mut self, rgb: &[u8]) -> io::Result<()> {
        self.rows.write_all(rgb).map_err(|e| cause(&self.fault, e))
    }

    /// Writes what is left of the pixels.
    ///
    /// # Errors
    /// Those of the writer.
    pub fn finish(self) -> io::Result<()> {
        self.rows.finish().map_err(|e| cause(&self.fault, e))
    }
}
