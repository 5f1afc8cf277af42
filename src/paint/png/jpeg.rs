//! JPEG: baseline, YCbCr without subsampling, so that thin coloured areas keep their colour,
//! with the resolution in its JFIF header and the sRGB profile in APP2 segments.

use std::cell::{Cell, RefCell};
use std::io;
use std::sync::Arc;
use std::sync::mpsc::Receiver;

use jpeg_encoder::{
    Encoder, EncodingError, ImageBuffer, JpegColorType, PixelDensity, SamplingFactor, rgb_to_ycbcr,
};

use super::coder::{self, Gated, Rows};
use super::frame::Frame;
use super::raster::Place;
use crate::paint::srgb;

/// Most pixels of a JPEG a side (ITU-T T.81, B.2.2: 16 bits).
pub const MOST: u32 = 65_535;

/// Writes a file of the strips that come.
///
/// # Errors
/// Those of the writer; or strips are missing.
pub fn write(
    out: &mut dyn Place,
    frame: &Frame,
    quality: u8,
    strips: Receiver<Rows>,
) -> io::Result<()> {
    let side = |n: u32| u16::try_from(n).map_err(io::Error::other);
    let (width, height) = (side(frame.width)?, side(frame.height)?);
    let given_up = Cell::new(false);
    let state = RefCell::new(State { strips, strip: Arc::default(), first: 0 });
    let picture = Pulled { width, height, state, given_up: &given_up };
    let mut encoder = Encoder::new(Gated { out, given_up: || given_up.get() }, quality);
    encoder.set_sampling_factor(SamplingFactor::R_4_4_4);
    encoder.set_density(PixelDensity::dpi(side(frame.dpi.get())?));
    let profile = srgb::profile(2.1).ok_or_else(|| io::Error::other("no sRGB profile"))?;
    encoder.add_icc_profile(&profile).map_err(reported)?;
    encoder.encode_image(&picture).map_err(reported)?;
    if given_up.get() { Err(io::Error::other("given up")) } else { Ok(()) }
}

fn reported(e: EncodingError) -> io::Error {
    match e {
        EncodingError::IoError(e) => e,
        other => io::Error::other(other),
    }
}

/// Rows are pulled from the strips as the encoder asks for them, from the top down.
struct Pulled<'a> {
    width: u16,
    height: u16,
    state: RefCell<State>,
    given_up: &'a Cell<bool>,
}

struct State {
    strips: Receiver<Rows>,
    strip: Rows,
    /// The first row of the strip.
    first: usize,
}

impl ImageBuffer for &Pulled<'_> {
    fn get_jpeg_color_type(&self) -> JpegColorType {
        JpegColorType::Ycbcr
    }

    fn width(&self) -> u16 {
        self.width
    }

    fn height(&self) -> u16 {
        self.height
    }

    fn fill_buffers(&self, y: u16, buffers: &mut [Vec<u8>; 4]) {
        let row = usize::from(self.width) * 3;
        let mut state = self.state.borrow_mut();
        while !self.given_up.get() && usize::from(y) >= state.first + state.strip.len() / row {
            state.first += state.strip.len() / row;
            match coder::next(&state.strips) {
                Ok(strip) => state.strip = strip,
                // The writer fails from now on, which ends the encoding.
                Err(_) => self.given_up.set(true),
            }
        }
        let [luma, blue, red, _] = buffers;
        if self.given_up.get() {
            for channel in [luma, blue, red] {
                channel.resize(channel.len() + usize::from(self.width), 128);
            }
            return;
        }
        let line = &state.strip[(usize::from(y) - state.first) * row..][..row];
        for pixel in line.chunks_exact(3) {
            let (y, cb, cr) = rgb_to_ycbcr(pixel[0], pixel[1], pixel[2]);
            luma.push(y);
            blue.push(cb);
            red.push(cr);
        }
    }
}
