//! The pictures of parts, as large as the page shows them.

use std::collections::BTreeMap;

use super::shown::Shown;
use crate::image::{Light, Resized, encode, resized};
use crate::range::{ColourId, ColourRange, PartId};
use crate::sheet::Workshop;

/// The longest side, pixels: twice what a colour's card shows, for fine screens.
const LONGEST: u32 = 192;

/// A picture of a part in a colour.
#[derive(Debug, Clone, PartialEq)]
pub struct Photo {
    /// From the page's folder, such as `parts/ring.gannet.png`.
    pub file: String,
    pub bytes: Vec<u8>,
    /// Width and height at true size, mm.
    pub size: (f64, f64),
}

/// By part and colour: the pictures of what the page shows.
pub fn photos(
    shown: &Shown,
    range: &ColourRange,
    workshop: &Workshop,
) -> BTreeMap<(PartId, ColourId), Photo> {
    let light = Light::default();
    let mut out = BTreeMap::new();
    for (colour, (_, parts)) in &shown.of {
        for part in parts.iter().map(|place| shown.parts[*place]) {
            let Some(pictured) = workshop.picture(part, *colour) else { continue };
            let Some(pixels) = pictured.picture.image().pixels() else { continue };
            let share = f64::from(LONGEST) / f64::from(pixels.width.max(pixels.height).max(1));
            let less = |edge: u32| (f64::from(edge) * share.min(1.0)).round().max(1.0) as u32;
            let size = (less(pixels.width), less(pixels.height));
            let Some(small) = resized(&pixels, Resized::whole(&pixels, size), &light) else {
                continue;
            };
            let (part_key, key) = (range.part(part).key(), range.colour(*colour).key());
            let file = format!("parts/{part_key}.{key}.png");
            let size = pictured.picture.frame().size();
            let photo = Photo { file, bytes: encode(&small), size: (size.width, size.height) };
            out.insert((part, *colour), photo);
        }
    }
    out
}
