//! PNG files.

use std::io::Cursor;

use png::{BitDepth, ColorType, DecodingError, Transformations};

use super::decoded::{Decoded, Limits};
use super::orientation;
use crate::capture::fault::Fault;
use crate::capture::picture::Samples;

pub(super) fn decode(bytes: &[u8], limits: Limits) -> Result<Decoded, Fault> {
    // What is beside the pixels (profile, EXIF) may take 64 MB; the pixels have a limit of their own.
    let mut decoder =
        png::Decoder::new_with_limits(Cursor::new(bytes), png::Limits { bytes: 64 << 20 });
    decoder.set_transformations(Transformations::EXPAND);
    let head = decoder.read_header_info().map_err(fault)?;
    limits.check(u64::from(head.width), u64::from(head.height))?;
    let mut reader = decoder.read_info().map_err(fault)?;
    let (colour, depth) = reader.output_color_type();
    let channels = match colour {
        ColorType::Rgb => 3,
        ColorType::Rgba => 4,
        _ => return Err(Fault::Kind("a picture in greys")),
    };
    let size = (reader.info().width as usize, reader.info().height as usize);
    let length = reader.output_buffer_size().ok_or(Fault::CutShort)?;
    let mut data = vec![0; length];
    reader.next_frame(&mut data).map_err(fault)?;
    let info = reader.info();
    let icc = info.icc_profile.as_ref().map(|icc| icc.to_vec());
    let exif = info.exif_metadata.as_ref().map(|raw| orientation::exif(raw)).unwrap_or_default();
    if channels == 4 {
        drop_alpha(&mut data, depth);
    }
    let samples = match depth {
        BitDepth::Sixteen => Samples::Sixteen(
            data.chunks_exact(2).map(|p| u16::from_be_bytes([p[0], p[1]])).collect(),
        ),
        _ => Samples::Eight(data),
    };
    Ok(Decoded { size, samples, icc, orientation: exif.orientation, wide: exif.wide })
}

/// Leaves three of four samples a pixel.
fn drop_alpha(data: &mut Vec<u8>, depth: BitDepth) {
    let sample = if depth == BitDepth::Sixteen { 2 } else { 1 };
    let (pixel, kept) = (4 * sample, 3 * sample);
    let pixels = data.len() / pixel;
    for i in 0..pixels {
        data.copy_within(i * pixel..i * pixel + kept, i * kept);
    }
    data.truncate(pixels * kept);
}

fn fault(error: DecodingError) -> Fault {
    match error {
        DecodingError::IoError(e) if e.kind() == std::io::ErrorKind::UnexpectedEof => {
            Fault::CutShort
        }
        other => Fault::Damaged(other.to_string().chars().take(120).collect()),
    }
}
