//! Pictures of parts as image objects (ISO 32000-1, 8.9.5) with soft masks (11.6.5.3).
//!
//! On screens they are JPEGs; for a press every pixel has its ink, without loss, so that a flat face is
//! exactly the ink of its colour.

use std::io;

use jpeg_encoder::{ColorType, Encoder, SamplingFactor};

use super::file::PdfFile;
use super::inks::Inks;
use super::object::Ref;
use crate::graphic::Rgb;
use crate::image::{Light, Pixels};
use crate::paint::images;
use crate::parallel::in_parallel;
use crate::sheet::{ImageId, Sheet, SheetImage};

/// The quality of JPEGs: flat faces come back within a byte.
const QUALITY: u8 = 95;
/// Images that are in memory at one time.
const AT_ONCE: usize = 32;
/// Pixels of a block of a JPEG, each way.
const BLOCK: usize = 8;

/// The images on the pages of a sheet.
pub type ImageObjects = Vec<(ImageId, Ref)>;

/// The name of an image.
pub fn name(id: ImageId) -> String {
    format!("I{}", id.0)
}

/// Writes the images on a sheet's pages, each once, at the largest scale at which it is there.
///
/// # Errors
/// Those of the file.
pub fn write(sheet: &Sheet, inks: Inks<'_>, file: &mut PdfFile<'_>) -> io::Result<ImageObjects> {
    let light = Light::default();
    let wanted: Vec<(ImageId, f64)> = images::scales(&sheet.pages).into_iter().collect();
    let mut out = ImageObjects::new();
    for some in wanted.chunks(AT_ONCE) {
        let made = in_parallel(some, |(id, scale)| {
            let image = sheet.images.get(id.0)?;
            Some(Encoded::new(image, images::printed(image, *scale, &light)?, inks))
        });
        for ((id, _), encoded) in some.iter().zip(made) {
            if let Some(encoded) = encoded {
                out.push((*id, encoded.write(file)?));
            }
        }
    }
    Ok(out)
}

/// An image on its way into the file.
struct Encoded {
    width: u32,
    height: u32,
    colour: Colour,
    /// Of each pixel; none where all are opaque.
    alpha: Option<Vec<u8>>,
}

enum Colour {
    /// A whole JPEG file.
    Jpeg(Vec<u8>),
    /// Three or four bytes a pixel.
    Plain(Vec<u8>, &'static str),
}

impl Encoded {
    fn new(image: &SheetImage, mut pixels: Pixels, inks: Inks<'_>) -> Encoded {
        let alpha: Vec<u8> = pixels.rgba.iter().skip(3).step_by(4).copied().collect();
        if let Inks::Screen(map) = inks
            && let Some(changes) = image.changes(map)
        {
            images::recolour(&mut pixels, &changes);
        }
        let rgb = filled(&pixels);
        let colour = match inks {
            Inks::Press(press) => {
                let tints = image.inks(&press.inks);
                let ink = |p: &[u8]| tints.of(Rgb(p[0], p[1], p[2])).map(|v| v.round() as u8);
                Colour::Plain(rgb.chunks_exact(3).flat_map(ink).collect(), inks.space())
            }
            Inks::Screen(_) => match jpeg(&rgb, pixels.width, pixels.height) {
                Some(bytes) => Colour::Jpeg(bytes),
                None => Colour::Plain(rgb, inks.space()),
            },
        };
        let alpha = alpha.iter().any(|a| *a < 255).then_some(alpha);
        Encoded { width: pixels.width, height: pixels.height, colour, alpha }
    }

    fn write(self, file: &mut PdfFile<'_>) -> io::Result<Ref> {
        let Encoded { width, height, colour, alpha } = self;
        let entries = |space: &str, more: &str| {
            format!(
                "/Type/XObject/Subtype/Image/Width {width}/Height {height}/ColorSpace/{space}\
                 /BitsPerComponent 8{more}"
            )
        };
        let mask = match alpha {
            Some(alpha) => {
                let mask = file.add_stream(entries("DeviceGray", ""), alpha)?;
                format!("/SMask {mask}")
            }
            None => String::new(),
        };
        match colour {
            Colour::Jpeg(bytes) => {
                let more = format!("{mask}/Filter/DCTDecode");
                file.add_packed(entries("DeviceRGB", &more), bytes)
            }
            Colour::Plain(bytes, space) => file.add_stream(entries(space, &mask), bytes),
        }
    }
}

/// The colours alone. What is transparent gets a colour of what is near: readers that smooth an image would
/// else mix the edge with white, and a JPEG would have waves along it.
fn filled(pixels: &Pixels) -> Vec<u8> {
    let (width, height) = (pixels.width as usize, pixels.height as usize);
    let mut rgb: Vec<u8> = pixels.rgba.chunks_exact(4).flat_map(|p| [p[0], p[1], p[2]]).collect();
    let mut mean = overall(pixels);
    for top in (0..height).step_by(BLOCK) {
        for left in (0..width).step_by(BLOCK) {
            let rows = top..(top + BLOCK).min(height);
            let places = || {
                let columns = left..(left + BLOCK).min(width);
                rows.clone().flat_map(move |y| columns.clone().map(move |x| y * width + x))
            };
            let opaque = places().map(|n| &pixels.rgba[n * 4..n * 4 + 4]);
            mean = weighed(opaque).unwrap_or(mean);
            for n in places().filter(|n| pixels.rgba[n * 4 + 3] == 0) {
                rgb[n * 3..n * 3 + 3].copy_from_slice(&mean);
            }
        }
    }
    rgb
}

fn overall(pixels: &Pixels) -> [u8; 3] {
    weighed(pixels.rgba.chunks_exact(4)).unwrap_or([255; 3])
}

/// The mean colour of pixels by their alpha; none where nothing is seen.
fn weighed<'a>(pixels: impl Iterator<Item = &'a [u8]>) -> Option<[u8; 3]> {
    let (mut sum, mut all) = ([0u64; 3], 0);
    for p in pixels {
        let alpha = u64::from(p[3]);
        all += alpha;
        sum.iter_mut().zip(p).for_each(|(s, v)| *s += alpha * u64::from(*v));
    }
    (all > 0).then(|| sum.map(|s| ((s + all / 2) / all) as u8))
}

/// None where a side is longer than a JPEG's may be.
fn jpeg(rgb: &[u8], width: u32, height: u32) -> Option<Vec<u8>> {
    let side = |n: u32| u16::try_from(n).ok();
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, QUALITY);
    encoder.set_sampling_factor(SamplingFactor::R_4_4_4);
    encoder.set_optimized_huffman_tables(true);
    encoder.encode(rgb, side(width)?, side(height)?, ColorType::Rgb).ok()?;
    Some(bytes)
}
