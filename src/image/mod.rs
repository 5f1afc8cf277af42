//! Images: pictures of parts as PNG files, their pixels, and how they are made smaller and coloured.
//!
//! A picture has straight alpha and sRGB values, and shows a part whose flat face is the published value
//! of its colour. Nothing here knows a page.

mod decode;
mod encode;
mod light;
mod resize;
mod seen;
mod tints;

use std::sync::Arc;

use sha2::{Digest as _, Sha256};

pub use decode::{Fault, decode};
pub use encode::encode;
pub use light::Light;
pub use resize::{Resized, resized};
pub use tints::{Tints, nodes};

/// Pixels with straight alpha: sRGB, four bytes each, from the top.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pixels {
    pub width: u32,
    pub height: u32,
    pub rgba: Vec<u8>,
}

/// A picture as its file has it; copies share the bytes.
#[derive(Debug, Clone)]
pub struct Image {
    /// A whole PNG file.
    pub bytes: Arc<[u8]>,
    /// The first half of the SHA-256 of the bytes.
    pub digest: [u8; 16],
    /// Pixels.
    pub width: u32,
    pub height: u32,
}

impl Image {
    /// Of a file whose pixels are known to be these.
    pub fn new(bytes: Arc<[u8]>, pixels: &Pixels) -> Image {
        let mut digest = [0; 16];
        digest.copy_from_slice(&Sha256::digest(&bytes)[..16]);
        Image { bytes, digest, width: pixels.width, height: pixels.height }
    }

    /// Its pixels, decoded anew each time: a sheet has thousands of images.
    pub fn pixels(&self) -> Option<Pixels> {
        decode(&self.bytes, usize::MAX).ok()
    }
}
