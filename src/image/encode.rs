//! Pixels to PNG files.

use png::{BitDepth, ColorType, Compression, Encoder, Filter, SrgbRenderingIntent};

use super::Pixels;

/// A PNG file of pixels: sRGB, straight alpha. Memory is all that writing it can fail by.
pub fn encode(pixels: &Pixels) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, pixels.width, pixels.height);
    encoder.set_color(ColorType::Rgba);
    encoder.set_depth(BitDepth::Eight);
    encoder.set_source_srgb(SrgbRenderingIntent::RelativeColorimetric);
    encoder.set_compression(Compression::Fast);
    encoder.set_filter(Filter::Adaptive);
    let written = encoder.write_header().and_then(|mut writer| {
        writer.write_image_data(&pixels.rgba)?;
        writer.finish()
    });
    written.map_or_else(|_| Vec::new(), |()| bytes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::image::decode;

    #[test]
    fn what_is_written_is_read() {
        let rgba = (0..5 * 4 * 4).map(|n| (n * 37 % 251) as u8).collect();
        let pixels = Pixels { width: 5, height: 4, rgba };
        assert_eq!(decode(&encode(&pixels), 20), Ok(pixels));
    }
}
