//! TIFF files.

use std::io::Cursor;

use tiff::decoder::{Decoder, DecodingResult, Limits as TiffLimits};
use tiff::tags::Tag;
use tiff::{ColorType, TiffError};

use super::decoded::{Decoded, Limits};
use crate::capture::fault::Fault;
use crate::capture::picture::Samples;

pub(super) fn decode(bytes: &[u8], limits: Limits) -> Result<Decoded, Fault> {
    let mut decoder = Decoder::new(Cursor::new(bytes)).map_err(fault)?;
    let (width, height) = decoder.dimensions().map_err(fault)?;
    limits.check(u64::from(width), u64::from(height))?;
    let channels = match decoder.colortype().map_err(fault)? {
        ColorType::RGB(8 | 16) => 3,
        ColorType::RGBA(8 | 16) => 4,
        ColorType::Gray(_) | ColorType::GrayA(_) => return Err(Fault::Kind("a picture in greys")),
        ColorType::CMYK(_) | ColorType::CMYKA(_) => return Err(Fault::Kind("a CMYK picture")),
        _ => return Err(Fault::Kind("a TIFF picture of this kind")),
    };
    let planar = decoder.find_tag_unsigned::<u16>(Tag::PlanarConfiguration).map_err(fault)?;
    if planar.is_some_and(|p| p != 1) {
        return Err(Fault::Kind("a TIFF picture with its channels apart"));
    }
    let orientation = decoder.find_tag_unsigned::<u16>(Tag::Orientation).ok().flatten();
    let icc = decoder.get_tag_u8_vec(Tag::IccProfile).ok();
    let most = usize::try_from(limits.pixels.saturating_mul(8)).unwrap_or(usize::MAX);
    let mut room = TiffLimits::default();
    room.decoding_buffer_size = most;
    room.intermediate_buffer_size = most;
    let mut decoder = decoder.with_limits(room);
    let samples = match decoder.read_image().map_err(fault)? {
        DecodingResult::U8(data) => Samples::Eight(three(data, channels)),
        DecodingResult::U16(data) => Samples::Sixteen(three(data, channels)),
        _ => return Err(Fault::Kind("a TIFF picture of this kind")),
    };
    Ok(Decoded {
        size: (width as usize, height as usize),
        samples,
        icc,
        orientation: u32::from(orientation.unwrap_or(1)),
        wide: false,
    })
}

/// Leaves three samples a pixel.
fn three<T: Copy>(mut data: Vec<T>, channels: usize) -> Vec<T> {
    if channels == 4 {
        let pixels = data.len() / 4;
        for i in 0..pixels {
            data.copy_within(4 * i..4 * i + 3, 3 * i);
        }
        data.truncate(3 * pixels);
    }
    data
}

fn fault(error: TiffError) -> Fault {
    match error {
        TiffError::IoError(e) if e.kind() == std::io::ErrorKind::UnexpectedEof => Fault::CutShort,
        TiffError::UnsupportedError(_) => Fault::Kind("a TIFF picture of this kind"),
        other => Fault::Damaged(other.to_string().chars().take(120).collect()),
    }
}
