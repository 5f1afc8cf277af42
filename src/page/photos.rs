//! The pictures of parts, as large as the page shows them.

use super::request::PageRequest;
use super::shown::Shown;
use crate::image::{Light, Resized, encode, resized};
use crate::parallel::in_parallel;
use crate::range::{ColourId, PartId};

/// The longest side, pixels: twice what a colour's card shows, for fine screens.
const LONGEST: u32 = 192;

/// A picture of a part in a colour.
#[derive(Debug, Clone, PartialEq)]
pub struct Photo {
    /// The keys of part and colour, such as `ring.gannet`.
    pub key: String,
    /// From the page's folder, such as `parts/ring.gannet.png`.
    pub file: String,
    pub bytes: Vec<u8>,
    /// Width and height at true size, mm.
    pub size: (f64, f64),
}

/// The pictures of what the page shows, by part and then by colour. Fewer where the person stopped it.
pub fn photos(request: &PageRequest<'_>, shown: &Shown) -> Vec<Photo> {
    let light = Light::default();
    let made = shown
        .of
        .iter()
        .flat_map(|(colour, (_, parts))| parts.iter().map(|place| (shown.parts[*place], *colour)));
    let mut made: Vec<(PartId, ColourId)> = made.collect();
    made.sort_unstable();
    let small = |of: &(PartId, ColourId)| {
        let going_on = !request.work.is_stopped();
        going_on.then(|| photo(request, *of, &light)).flatten()
    };
    in_parallel(&made, small).into_iter().flatten().collect()
}

fn photo(request: &PageRequest<'_>, of: (PartId, ColourId), light: &Light) -> Option<Photo> {
    let (part, colour) = of;
    let picture = request.workshop.picture(part, colour)?.picture;
    let pixels = picture.image().pixels()?;
    let share = f64::from(LONGEST) / f64::from(pixels.width.max(pixels.height).max(1));
    let less = |edge: u32| (f64::from(edge) * share.min(1.0)).round().max(1.0) as u32;
    let size = (less(pixels.width), less(pixels.height));
    let small = resized(&pixels, Resized::whole(&pixels, size), light)?;
    let range = request.spelled.first()?.facts.range;
    let key = format!("{}.{}", range.part(part).key(), range.colour(colour).key());
    let (file, frame) = (format!("parts/{key}.png"), picture.frame());
    Some(Photo { key, file, bytes: encode(&small), size: (frame.width(), frame.height()) })
}
