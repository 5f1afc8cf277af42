//! TIFF: 8-bit RGB in strips, with its resolution and the sRGB profile (tag 34675).
//!
//! Strips are not compressed: `write_strip` of tiff 0.11 names a compression in the file and
//! then does not apply it.

use std::borrow::Cow;
use std::io;
use std::sync::mpsc::Receiver;

use tiff::encoder::colortype::RGB8;
use tiff::encoder::{Rational, TiffEncoder, TiffValue};
use tiff::tags::{ResolutionUnit, Tag, Type};
use tiff::{TiffError, TiffResult};

use super::Place;
use super::coder::{self, Rows};
use super::frame::Frame;
use crate::paint::srgb;

/// Most bytes of pixels: offsets have 32 bits (TIFF 6.0, section 2), and there is more than pixels.
pub const MOST: u64 = 3_000_000_000;

/// Writes a file of the strips that come, each of `rows` rows but the last.
///
/// # Errors
/// Those of the writer; or strips are missing.
pub fn write(
    out: &mut dyn Place,
    frame: &Frame,
    rows: u32,
    strips: Receiver<Rows>,
) -> io::Result<()> {
    encode(out, frame, rows, &strips).map_err(|e| match e {
        TiffError::IoError(e) => e,
        other => io::Error::other(other),
    })
}

fn encode(
    out: &mut dyn Place,
    frame: &Frame,
    rows: u32,
    strips: &Receiver<Rows>,
) -> TiffResult<()> {
    let mut encoder = TiffEncoder::new(out)?;
    let mut image = encoder.new_image::<RGB8>(frame.width, frame.height)?;
    image.rows_per_strip(rows)?;
    image.resolution(ResolutionUnit::Inch, Rational { n: frame.dpi.get(), d: 1 });
    if let Some(profile) = srgb::profile(2.1) {
        image.encoder().write_tag(Tag::IccProfile, Undefined(&profile))?;
    }
    while image.next_strip_sample_count() > 0 {
        image.write_strip(&coder::next(strips)?)?;
    }
    image.finish()
}

/// Bytes of the type that the ICC gives the tag (ICC.1:2004-10, B.4).
struct Undefined<'a>(&'a [u8]);

impl TiffValue for Undefined<'_> {
    const BYTE_LEN: u8 = 1;
    const FIELD_TYPE: Type = Type::UNDEFINED;

    fn count(&self) -> usize {
        self.0.len()
    }

    fn data(&self) -> Cow<'_, [u8]> {
        Cow::Borrowed(self.0)
    }
}
