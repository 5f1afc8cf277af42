//! From the bytes of a JPEG, PNG or TIFF file to a [`Picture`], upright.

mod decoded;
mod jpeg;
mod orientation;
mod png;
mod profile;
mod tiff;

pub use self::decoded::Limits;
use crate::capture::fault::Fault;
use crate::capture::picture::Picture;

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
