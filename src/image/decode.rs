//! PNG files to pixels.

use std::io::Cursor;

use png::{ColorType, Decoder, Transformations};

use super::Pixels;

/// Why a file is not taken for a picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// It does not begin as a PNG file does.
    NotPng,
    /// It breaks off or contradicts itself; what the library says of it.
    Broken(String),
    /// It has this many pixels.
    TooLarge(u64),
}

/// The first bytes of every PNG file (PNG, third edition, 5.2).
const SIGNATURE: [u8; 8] = [0x89, b'P', b'N', b'G', 0x0d, 0x0a, 0x1a, 0x0a];

/// The pixels of a PNG file of at most `most` pixels: palettes, greys and 16 bits become RGBA of 8 bits,
/// what has no alpha is opaque. Of an animation, the first picture.
///
/// # Errors
/// See [`Fault`].
pub fn decode(bytes: &[u8], most: usize) -> Result<Pixels, Fault> {
    if !bytes.starts_with(&SIGNATURE) {
        return Err(Fault::NotPng);
    }
    let broken = |e: png::DecodingError| Fault::Broken(e.to_string());
    let mut decoder = Decoder::new(Cursor::new(bytes));
    // Neither is looked at, and either may unpack to more than there is memory.
    decoder.set_ignore_text_chunk(true);
    decoder.set_ignore_iccp_chunk(true);
    decoder.set_transformations(Transformations::normalize_to_color8() | Transformations::ALPHA);
    let (width, height) = {
        let head = decoder.read_header_info().map_err(broken)?;
        (head.width, head.height)
    };
    let count = u64::from(width) * u64::from(height);
    if usize::try_from(count).map_or(true, |count| count > most) {
        return Err(Fault::TooLarge(count));
    }
    let mut reader = decoder.read_info().map_err(broken)?;
    let size = reader.output_buffer_size().ok_or(Fault::TooLarge(count))?;
    let mut data = vec![0; size];
    let frame = reader.next_frame(&mut data).map_err(broken)?;
    data.truncate(frame.buffer_size());
    let rgba = match frame.color_type {
        ColorType::Rgba => data,
        ColorType::GrayscaleAlpha => {
            data.chunks_exact(2).flat_map(|p| [p[0], p[0], p[0], p[1]]).collect()
        }
        // With the transformations above there is no other.
        other => return Err(Fault::Broken(format!("{other:?}"))),
    };
    let whole = usize::try_from(count).ok().and_then(|n| n.checked_mul(4)) == Some(rgba.len());
    let (width, height) = (frame.width, frame.height);
    if whole { Ok(Pixels { width, height, rgba }) } else { Err(Fault::TooLarge(count)) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use png::{BitDepth, Encoder};

    fn png(colour: ColorType, depth: BitDepth, size: (u32, u32), data: &[u8]) -> Vec<u8> {
        let mut bytes = Vec::new();
        let mut encoder = Encoder::new(&mut bytes, size.0, size.1);
        encoder.set_color(colour);
        encoder.set_depth(depth);
        encoder.write_header().expect("head").write_image_data(data).expect("data");
        bytes
    }

    #[test]
    fn every_kind_of_png_comes_to_the_same_pixels() {
        let eight = BitDepth::Eight;
        let straight = [200, 100, 50, 255, 200, 100, 50, 77];
        for (bytes, wanted) in [
            (png(ColorType::Rgba, eight, (2, 1), &straight), straight),
            (png(ColorType::Rgb, eight, (2, 1), &[1, 2, 3, 4, 5, 6]), [1, 2, 3, 255, 4, 5, 6, 255]),
            (png(ColorType::Grayscale, eight, (2, 1), &[9, 8]), [9, 9, 9, 255, 8, 8, 8, 255]),
            (
                png(ColorType::GrayscaleAlpha, eight, (2, 1), &[9, 8, 7, 6]),
                [9, 9, 9, 8, 7, 7, 7, 6],
            ),
            (
                png(
                    ColorType::GrayscaleAlpha,
                    BitDepth::Sixteen,
                    (2, 1),
                    &[9, 0, 8, 0, 7, 0, 6, 0],
                ),
                [9, 9, 9, 8, 7, 7, 7, 6],
            ),
        ] {
            assert_eq!(decode(&bytes, 2).expect("pixels").rgba, wanted);
        }
    }

    #[test]
    fn what_is_no_picture_is_refused() {
        let bytes = png(ColorType::Rgba, BitDepth::Eight, (2, 1), &[0; 8]);
        assert_eq!(decode(b"GIF89a", 9), Err(Fault::NotPng));
        assert_eq!(decode(&bytes, 1), Err(Fault::TooLarge(2)));
        for cut in [8, 20, bytes.len() - 20] {
            assert!(matches!(decode(&bytes[..cut], 9), Err(Fault::Broken(_))), "{cut}");
        }
    }
}
