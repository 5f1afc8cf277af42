//! The parts drawn in their colours, each once for all editions of a run.

use std::collections::HashMap;
use std::sync::{Arc, Mutex};

use kurbo::{Point, Rect};

use crate::finish::{Drawer, Drawing};
use crate::range::{ColourId, ColourRange, Finish, PartId};
use crate::work::Work;

use super::palette::Sample;

/// Drawings that are kept, at most: 8 MB. Others are drawn again, the same.
const MOST_KEPT: usize = 6000;

/// How the parts of a colour are drawn.
struct Dye {
    sample: Sample,
    /// There is a value; else parts are outlines.
    is_known: bool,
    finish: Finish,
    /// Strews flecks.
    seed: u64,
}

impl Dye {
    fn of(range: &ColourRange, id: ColourId) -> Dye {
        let colour = range.colour(id);
        Dye {
            sample: Sample::of(range, id),
            is_known: colour.value().is_known(),
            finish: colour.finish(),
            seed: seed(colour.key()),
        }
    }
}

/// Drawings on demand.
pub struct Workshop {
    drawers: Vec<Drawer>,
    colours: Vec<Dye>,
    made: Mutex<HashMap<(PartId, ColourId), Arc<Drawing>>>,
    /// By part, where boxes stand for drawings.
    boxes: Option<Vec<Arc<Drawing>>>,
}

impl Workshop {
    /// Prepares every shape of a range; `work` counts this and all that is drawn.
    pub fn new(range: &ColourRange, work: &Work) -> Workshop {
        Workshop {
            drawers: range.parts().iter().map(|p| Drawer::new(p.shape(), work)).collect(),
            colours: ids(range).map(|id| Dye::of(range, id)).collect(),
            made: Mutex::default(),
            boxes: None,
        }
    }

    /// Parts as empty boxes of their size: for measuring a page.
    pub fn boxes(range: &ColourRange) -> Workshop {
        let boxes = range.parts().iter().map(|p| p.shape().extent).map(|e| {
            let extent = Rect::from_center_size(Point::ORIGIN, e.size());
            Arc::new(Drawing { layers: Vec::new(), bounds: extent, extent })
        });
        let colours = ids(range).map(|id| Dye::of(range, id)).collect();
        Workshop { boxes: Some(boxes.collect()), colours, ..Workshop::empty() }
    }

    /// For pages without parts.
    pub fn empty() -> Workshop {
        Workshop { drawers: Vec::new(), colours: Vec::new(), made: Mutex::default(), boxes: None }
    }

    /// A part as it is drawn in a colour, and the sample that its shades are of.
    pub fn drawing(&self, part: PartId, colour: ColourId) -> (Arc<Drawing>, Sample) {
        let sample = self.colours[colour.0].sample;
        if let Some(boxes) = &self.boxes {
            return (Arc::clone(&boxes[part.0]), sample);
        }
        (self.drawn(part, colour), sample)
    }

    fn drawn(&self, part: PartId, colour: ColourId) -> Arc<Drawing> {
        let mut made = self.made.lock().expect("no panic while held");
        if let Some(drawing) = made.get(&(part, colour)) {
            return Arc::clone(drawing);
        }
        let Dye { sample, is_known, finish, seed } = &self.colours[colour.0];
        let seed = seed.wrapping_add((part.0 as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15));
        let drawer = &self.drawers[part.0];
        let drawing = Arc::new(match is_known {
            true => drawer.draw(sample.published, *finish, seed),
            false => drawer.outline(),
        });
        if made.len() < MOST_KEPT {
            made.insert((part, colour), Arc::clone(&drawing));
        }
        drawing
    }
}

fn ids(range: &ColourRange) -> impl Iterator<Item = ColourId> {
    (0..range.colours().len()).map(ColourId)
}

/// FNV-1a (offset basis and prime of the 64-bit variant): the key of a colour
/// seeds its flecks, so that they stay when others come or go.
fn seed(key: &str) -> u64 {
    key.bytes().fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(b)).wrapping_mul(0x100_0000_01b3))
}
