//! What decoders read at most, and what they make of a file.

use crate::capture::fault::Fault;
use crate::capture::picture::Samples;

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
    pub(super) fn check(self, width: u64, height: u64) -> Result<(), Fault> {
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
pub(super) struct Decoded {
    pub(super) size: (usize, usize),
    pub(super) samples: Samples,
    /// The embedded ICC profile.
    pub(super) icc: Option<Vec<u8>>,
    /// EXIF's orientation, 1 to 8.
    pub(super) orientation: u32,
    /// EXIF says that the colours are Adobe RGB (DCF option file, interoperability R03).
    pub(super) wide: bool,
}
