//! Pictures of parts as painters need them: at the resolution of the page, in the colours of its map.

use std::collections::BTreeMap;

use crate::graphic::Rgb;
use crate::image::{Light, Pixels, Resized, Tints, resized};
use crate::sheet::{ImageId, ItemKind, Page, SheetImage};
use crate::units::Dpi;

/// The images on some pages, each with the largest scale at which it is there.
pub fn scales<'a>(pages: impl IntoIterator<Item = &'a Page>) -> BTreeMap<ImageId, f64> {
    let mut scales = BTreeMap::new();
    for item in pages.into_iter().flat_map(|page| &page.items) {
        if let ItemKind::Image(used) = &item.kind {
            let scale = scales.entry(used.image).or_insert(used.scale);
            *scale = used.scale.max(*scale);
        }
    }
    scales
}

/// The pixels of an image for a page that shows it at a scale: as many as a print needs, and never more
/// than it has.
pub fn printed(image: &SheetImage, scale: f64, light: &Light) -> Option<Pixels> {
    let pixels = image.image.pixels()?;
    let needed = |mm: f64, there: u32| {
        let needed = (mm * scale * Dpi::PRINT.px_per_mm()).ceil();
        // A number that is too large becomes the largest.
        (needed as u32).clamp(1, there.max(1))
    };
    let size =
        (needed(image.frame.width(), pixels.width), needed(image.frame.height(), pixels.height));
    resized(&pixels, Resized::whole(&pixels, size), light)
}

/// Changes all colours.
pub fn recolour(pixels: &mut Pixels, changes: &Tints<3>) {
    for pixel in pixels.rgba.chunks_exact_mut(4).filter(|p| p[3] > 0) {
        let change = changes.of(Rgb(pixel[0], pixel[1], pixel[2]));
        for (byte, change) in pixel.iter_mut().zip(change) {
            *byte = (f32::from(*byte) + change).round().clamp(0.0, 255.0) as u8;
        }
    }
}
