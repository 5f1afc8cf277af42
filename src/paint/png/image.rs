//! Images as pixels of the page: resampled once at their place, and kept while strips show them.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use kurbo::Rect;

use crate::image::{Light, Pixels, Resized, resized};
use crate::paint::images;
use crate::sheet::{Coloured, ImageId, ImageUse, Rgb};

/// Most that is kept, bytes; what was made first goes first. What is gone is made again, the same.
const MOST: usize = 16 << 20;

/// An image in pixels of the page.
#[derive(Debug)]
pub struct ImageStamp {
    /// Column and row of the page at its top left corner.
    pub left: i64,
    pub top: i64,
    pub pixels: Pixels,
}

/// What of the page an image covers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Covered {
    /// In pixels of the page, between them too.
    pub place: Rect,
    /// The rows that are wanted: from the first to before the second.
    pub rows: (f64, f64),
}

/// What a stamp was made of.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Key(ImageId, Covered);

/// Stamps for all threads.
#[derive(Default)]
pub struct ImageStamps {
    kept: Mutex<VecDeque<(Key, Arc<ImageStamp>)>>,
    light: Light,
}

impl ImageStamps {
    /// An image of a sheet where it is on the page; none where it has no pixel there.
    pub fn get(
        &self,
        painted: Coloured<'_, Rgb>,
        used: &ImageUse,
        covered: Covered,
    ) -> Option<Arc<ImageStamp>> {
        let key = Key(used.image, covered);
        let kept = || self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, stamp)) = kept().iter().find(|(known, _)| *known == key) {
            return Some(Arc::clone(stamp));
        }
        let stamp = Arc::new(self.made(painted, used, covered)?);
        let mut kept = kept();
        kept.push_back((key, Arc::clone(&stamp)));
        let mut bytes: usize = kept.iter().map(|(_, s)| s.pixels.rgba.len()).sum();
        while bytes > MOST {
            bytes -= kept.pop_front().map_or(bytes, |(_, s)| s.pixels.rgba.len());
        }
        Some(stamp)
    }

    fn made(
        &self,
        painted: Coloured<'_, Rgb>,
        used: &ImageUse,
        Covered { place, rows }: Covered,
    ) -> Option<ImageStamp> {
        let image = painted.sheet.images.get(used.image.0)?;
        let whole = Rect::new(place.x0.floor(), rows.0, place.x1.ceil(), rows.1);
        let size = (whole.width() as u32, whole.height() as u32);
        let pixels = image.image.pixels()?;
        let across = f64::from(pixels.width) / place.width();
        let down = f64::from(pixels.height) / place.height();
        let window = Rect {
            x0: (whole.x0 - place.x0) * across,
            y0: (whole.y0 - place.y0) * down,
            x1: (whole.x1 - place.x0) * across,
            y1: (whole.y1 - place.y0) * down,
        };
        let mut pixels = resized(&pixels, Resized { window, size }, &self.light)?;
        if let Some(changes) = image.changes(painted.colours) {
            images::recolour(&mut pixels, &changes);
        }
        Some(ImageStamp { left: whole.x0 as i64, top: whole.y0 as i64, pixels })
    }
}
