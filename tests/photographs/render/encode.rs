//! The picture as a file: JPEG, PNG or TIFF of 16 bits, turned as its EXIF orientation says, with a profile if it needs one.

use crate::render::params::{File, Format};
use crate::render::profile::wide_profile;
use std::io::Cursor;
use tiff::encoder::{TiffEncoder, colortype::RGB16};
use tiff::tags::Tag;

/// The bytes of a file of an upright picture.
pub fn encoded(upright: &[u16], size: (usize, usize), file: &File) -> Vec<u8> {
    if file.format == Format::Tiff16 {
        let (pixels, size) = turned(upright, size, file.orientation);
        return tiff(&pixels, size, file);
    }
    let bytes: Vec<u8> = upright.iter().map(|&v| ((u32::from(v) + 128) / 257) as u8).collect();
    let (pixels, size) = turned(&bytes, size, file.orientation);
    match file.format {
        Format::Jpeg { quality } => jpeg(&pixels, size, (quality, file)),
        _ => png(&pixels, size, file),
    }
}

/// The stored pixels of an upright picture: EXIF 2.32, tag 274.
fn turned<T: Copy + Default>(
    upright: &[T],
    size: (usize, usize),
    orientation: u8,
) -> (Vec<T>, (usize, usize)) {
    let (w, h) = size;
    let stored = if orientation > 4 { (h, w) } else { (w, h) };
    let mut out = vec![T::default(); upright.len()];
    // Square by square, so that what is read lies together too.
    const SIDE: usize = 32;
    for (top, left) in (0..stored.1)
        .step_by(SIDE)
        .flat_map(|top| (0..stored.0).step_by(SIDE).map(move |left| (top, left)))
    {
        for v in top..(top + SIDE).min(stored.1) {
            for u in left..(left + SIDE).min(stored.0) {
                let (x, y) = match orientation {
                    2 => (w - 1 - u, v),
                    3 => (w - 1 - u, h - 1 - v),
                    4 => (u, h - 1 - v),
                    5 => (v, u),
                    6 => (w - 1 - v, u),
                    7 => (w - 1 - v, h - 1 - u),
                    8 => (v, h - 1 - u),
                    _ => (u, v),
                };
                out[(v * stored.0 + u) * 3..][..3]
                    .copy_from_slice(&upright[(y * w + x) * 3..][..3]);
            }
        }
    }
    (out, stored)
}

fn jpeg(pixels: &[u8], size: (usize, usize), how: (u8, &File)) -> Vec<u8> {
    let (quality, file) = how;
    let mut out = Vec::new();
    let mut encoder = jpeg_encoder::Encoder::new(&mut out, quality);
    encoder.add_exif_metadata(&exif(file.orientation)).expect("a short segment");
    if file.wide {
        encoder.add_icc_profile(&wide_profile()).expect("a short segment");
    }
    encoder
        .encode(pixels, size.0 as u16, size.1 as u16, jpeg_encoder::ColorType::Rgb)
        .expect("a picture of a usual size");
    out
}

fn png(pixels: &[u8], size: (usize, usize), file: &File) -> Vec<u8> {
    let mut info = png::Info::with_size(size.0 as u32, size.1 as u32);
    info.color_type = png::ColorType::Rgb;
    info.bit_depth = png::BitDepth::Eight;
    info.exif_metadata = (file.orientation != 1).then(|| exif(file.orientation).into());
    info.icc_profile = file.wide.then(|| wide_profile().into());
    let mut out = Vec::new();
    let mut encoder = png::Encoder::with_info(&mut out, info).expect("a plain picture");
    encoder.set_compression(png::Compression::Fast);
    let mut writer = encoder.write_header().expect("memory");
    writer.write_image_data(pixels).expect("memory");
    writer.finish().expect("memory");
    out
}

fn tiff(pixels: &[u16], size: (usize, usize), file: &File) -> Vec<u8> {
    let mut out = Cursor::new(Vec::new());
    let mut encoder = TiffEncoder::new(&mut out).expect("memory");
    let mut image =
        encoder.new_image::<RGB16>(size.0 as u32, size.1 as u32).expect("a plain picture");
    image.encoder().write_tag(Tag::Orientation, u16::from(file.orientation)).expect("memory");
    if file.wide {
        image.encoder().write_tag(Tag::IccProfile, wide_profile().as_slice()).expect("memory");
    }
    image.write_data(pixels).expect("memory");
    out.into_inner()
}

/// An EXIF block with the orientation only, most significant byte first.
fn exif(orientation: u8) -> Vec<u8> {
    let mut out = b"MM\0\x2a\0\0\0\x08".to_vec();
    out.extend([0, 1]);
    out.extend([0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, orientation, 0, 0]);
    out.extend([0, 0, 0, 0]);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The first pixel of the stored picture is the corner that EXIF's table names for each orientation.
    #[test]
    fn the_first_stored_pixel_is_the_corner_of_the_orientation() {
        let upright: Vec<u16> = (0..6).flat_map(|i| [i, i, i]).collect();
        let corners = [0, 2, 5, 3, 0, 2, 5, 3];
        for (corner, orientation) in corners.into_iter().zip(1..) {
            let (stored, size) = turned(&upright, (3, 2), orientation);
            assert_eq!(stored[0], corner, "{orientation}");
            assert_eq!(size, if orientation > 4 { (2, 3) } else { (3, 2) });
        }
    }
}
