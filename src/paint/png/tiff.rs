//! TIFF: 8-bit RGB in strips of LZW with differences along the rows, with its resolution and the
//! sRGB profile (tag 34675).
//!
//! The directory is written here: `write_strip` of tiff 0.11 names a compression in the file and
//! then does not apply it.

use std::borrow::Cow;
use std::io;
use std::sync::mpsc::Receiver;

use tiff::encoder::{Rational, TiffEncoder, TiffValue};
use tiff::tags::{
    CompressionMethod, PhotometricInterpretation, Predictor, ResolutionUnit, Tag, Type,
};
use tiff::{TiffError, TiffResult};
use weezl::{BitOrder, encode};

use super::coder::{self, Rows};
use super::frame::Frame;
use super::raster::Place;
use crate::paint::srgb;

/// Most bytes of pixels: offsets have 32 bits (TIFF 6.0, section 2), and what cannot be compressed
/// grows.
pub const MOST: u64 = 3_000_000_000;
/// Red, green, blue.
const SAMPLES: usize = 3;

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
    let mut directory = encoder.image_directory()?;
    let (mut offsets, mut counts) = (Vec::new(), Vec::new());
    for _ in 0..frame.height.div_ceil(rows) {
        let strip = packed(&coder::next(strips)?, frame.width as usize)?;
        offsets.push(u32::try_from(directory.write_data(strip.as_slice())?)?);
        counts.push(u32::try_from(strip.len())?);
    }
    // Baseline RGB (TIFF 6.0, section 6), with section 13's LZW and section 14's differences.
    directory.write_tag(Tag::ImageWidth, frame.width)?;
    directory.write_tag(Tag::ImageLength, frame.height)?;
    directory.write_tag(Tag::BitsPerSample, [8_u16; SAMPLES].as_slice())?;
    directory.write_tag(Tag::Compression, CompressionMethod::LZW)?;
    directory.write_tag(Tag::PhotometricInterpretation, PhotometricInterpretation::RGB)?;
    directory.write_tag(Tag::StripOffsets, offsets.as_slice())?;
    directory.write_tag(Tag::SamplesPerPixel, SAMPLES as u16)?;
    directory.write_tag(Tag::RowsPerStrip, rows)?;
    directory.write_tag(Tag::StripByteCounts, counts.as_slice())?;
    let dpi = || Rational { n: frame.dpi.get(), d: 1 };
    directory.write_tag(Tag::XResolution, dpi())?;
    directory.write_tag(Tag::YResolution, dpi())?;
    directory.write_tag(Tag::ResolutionUnit, ResolutionUnit::Inch)?;
    directory.write_tag(Tag::Predictor, Predictor::Horizontal)?;
    if let Some(profile) = srgb::profile(2.1) {
        directory.write_tag(Tag::IccProfile, Undefined(&profile))?;
    }
    directory.finish()
}

/// A strip with each pixel less the one to the left of it, compressed.
fn packed(rows: &[u8], width: usize) -> io::Result<Vec<u8>> {
    let mut differences = rows.to_vec();
    for row in differences.chunks_exact_mut(width * SAMPLES) {
        for n in (SAMPLES..row.len()).rev() {
            row[n] = row[n].wrapping_sub(row[n - SAMPLES]);
        }
    }
    let mut packer = encode::Encoder::with_tiff_size_switch(BitOrder::Msb, 8);
    packer.encode(&differences).map_err(io::Error::other)
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
