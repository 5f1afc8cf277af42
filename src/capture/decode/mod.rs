//! From the bytes of a JPEG, PNG or TIFF file to a [`Picture`], upright.

mod jpeg;
mod orientation;
mod png;
mod profile;
mod tiff;

use crate::capture::fault::Fault;
use crate::capture::picture::{Picture, Samples};

/// How much is read.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// Pixels of a picture.
    pub pixels: u64,
}

impl Default for Limits {
    fn default() -> Limits {
        Limits { pixels: 100_000_000 }
    }
}

impl Limits {
    /// Whether a picture of this size may be decoded: asked before anything is.
    fn check(self, width: u64, height: u64) -> Result<(), Fault> {
        let pixels = width.saturating_mul(height);
        if pixels > self.pixels {
            let megapixels = pixels as f64 / 1e6;
            return Err(Fault::TooLarge { megapixels, most: self.pixels as f64 / 1e6 });
        }
        if width == 0 || height == 0 {
            return Err(Fault::Damaged("it has no pixels".into()));
        }
        Ok(())
    }
}

/// What a decoder makes of a file.
struct Decoded {
    size: (usize, usize),
    samples: Samples,
    /// The embedded ICC profile.
    icc: Option<Vec<u8>>,
    /// EXIF's orientation, 1 to 8.
    orientation: u32,
    /// EXIF says that the colours are Adobe RGB (DCF option file, interoperability R03).
    wide: bool,
}

/// Decodes a file: 8 or 16 bits, turned upright as its EXIF data say, with its embedded profile, or sRGB.
///
/// # Errors
/// What is no picture, too large, incomplete, damaged, or of a kind that is not read.
pub fn decode(bytes: &[u8], limits: &Limits) -> Result<Picture, Fault> {
    let decoded = match bytes {
        [0xFF, 0xD8, 0xFF, ..] => jpeg::decode(bytes, *limits)?,
        [0x89, b'P', b'N', b'G', ..] => png::decode(bytes, *limits)?,
        [b'I', b'I', 42 | 43, 0, ..] | [b'M', b'M', 0, 42 | 43, ..] => {
            tiff::decode(bytes, *limits)?
        }
        _ => return Err(Fault::NotAPicture),
    };
    let (size, orientation) = (decoded.size, decoded.orientation);
    let (samples, encoding) = profile::understand(decoded)?;
    let (size, samples) = orientation::upright(size, samples, orientation);
    let damaged = || Fault::Damaged("its size and its contents differ".into());
    Picture::new(size, samples, encoding).ok_or_else(damaged)
}
