//! JPEG files.

use zune_core::bytestream::ZCursor;
use zune_core::colorspace::ColorSpace;
use zune_core::options::DecoderOptions;
use zune_jpeg::JpegDecoder;
use zune_jpeg::errors::DecodeErrors;

use super::decoded::{Decoded, Limits};
use super::orientation;
use crate::capture::fault::Fault;
use crate::capture::picture::Samples;

pub(super) fn decode(bytes: &[u8], limits: Limits) -> Result<Decoded, Fault> {
    let options = DecoderOptions::new_safe()
        .set_max_width(65_535)
        .set_max_height(65_535)
        .jpeg_set_out_colorspace(ColorSpace::RGB);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    decoder.decode_headers().map_err(fault)?;
    let (width, height) = decoder.dimensions().ok_or(Fault::CutShort)?;
    limits.check(width as u64, height as u64)?;
    match decoder.input_colorspace() {
        Some(ColorSpace::YCbCr | ColorSpace::RGB) => {}
        Some(ColorSpace::Luma) => return Err(Fault::Kind("a picture in greys")),
        Some(ColorSpace::CMYK | ColorSpace::YCCK) => return Err(Fault::Kind("a CMYK picture")),
        _ => return Err(Fault::Kind("a JPEG picture of this kind")),
    }
    if !is_whole(bytes) {
        return Err(Fault::CutShort);
    }
    let exif = decoder.exif().map(|raw| orientation::exif(raw)).unwrap_or_default();
    let icc = decoder.icc_profile();
    let size = decoder.output_buffer_size().ok_or(Fault::CutShort)?;
    let mut data = vec![0; size];
    decoder.decode_into(&mut data).map_err(fault)?;
    Ok(Decoded {
        size: (width, height),
        samples: Samples::Eight(data),
        icc,
        orientation: exif.orientation,
        wide: exif.wide,
    })
}

fn fault(error: DecodeErrors) -> Fault {
    match error {
        DecodeErrors::ExhaustedData | DecodeErrors::IoErrors(_) => Fault::CutShort,
        DecodeErrors::Unsupported(_) => Fault::Kind("a JPEG picture of this kind"),
        other => Fault::Damaged(format!("{other:?}").chars().take(120).collect()),
    }
}

/// Whether the picture's end (EOI) is there: the decoder fills up with grey what is missing. The file
/// is walked marker by marker (ITU-T T.81, annex B), since previews within it have ends of their own.
fn is_whole(bytes: &[u8]) -> bool {
    let mut at = 2;
    while let Some(pair) = bytes.get(at..at + 2) {
        match (pair[0], pair[1]) {
            (0xFF, 0xD9) => return true,
            (0xFF, 0x00 | 0xFF | 0x01 | 0xD0..=0xD7) => at += 1 + usize::from(pair[1] != 0xFF),
            (0xFF, marker) => {
                let Some(length) = bytes.get(at + 2..at + 4) else { return false };
                at += 2 + (usize::from(length[0]) << 8 | usize::from(length[1])).max(2);
                if marker == 0xDA {
                    at = entropy_end(bytes, at);
                }
            }
            _ => at += 1,
        }
    }
    false
}

/// Where coded data that begin at `at` end: at the next marker that is no restart.
fn entropy_end(bytes: &[u8], mut at: usize) -> usize {
    while let Some(pair) = bytes.get(at..at + 2) {
        if pair[0] == 0xFF && !matches!(pair[1], 0x00 | 0xFF | 0xD0..=0xD7) {
            return at;
        }
        at += 1;
    }
    bytes.len()
}
