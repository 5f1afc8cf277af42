//! The parts drawn in their colours, each once for all editions of a run.

use std::collections::HashMap;
use std::sync::{Arc, Mutex};

use kurbo::{Point, Rect};

use crate::finish::{Drawer, Drawing};
use crate::range::{ColourId, PartId, Range};
use crate::work::Work;

/// Drawings that are kept, at most: 8 MB. Others are drawn again, the same.
const MOST_KEPT: usize = 6000;

/// Drawings on demand.
pub struct Workshop {
    drawers: Vec<Drawer>,
    /// Value, finish and seed of each colour; no value where there is none yet.
    colours: Vec<(Option<crate::sheet::Rgb>, crate::range::Finish, u64)>,
    made: Mutex<HashMap<(PartId, ColourId), Arc<Drawing>>>,
    /// By part, where boxes stand for drawings.
    boxes: Option<Vec<Arc<Drawing>>>,
}

impl Workshop {
    /// Prepares every shape of a range; `work` counts this and all that is drawn.
    pub fn new(range: &Range, work: &Work) -> Workshop {
        Workshop {
            drawers: range.parts().iter().map(|p| Drawer::new(p.shape(), work)).collect(),
            colours: range
                .colours()
                .iter()
                .map(|c| (c.value().is_known().then_some(c.rgb()), c.finish(), seed(c.key())))
                .collect(),
            made: Mutex::default(),
            boxes: None,
        }
    }

    /// Parts as empty boxes of their size: for measuring a page.
    pub fn boxes(range: &Range) -> Workshop {
        let boxes = range.parts().iter().map(|p| p.shape().extent).map(|e| {
            let extent = Rect::from_center_size(Point::ORIGIN, e.size());
            Arc::new(Drawing { layers: Vec::new(), bounds: extent, extent })
        });
        Workshop { boxes: Some(boxes.collect()), ..Workshop::empty() }
    }

    /// For pages without parts.
    pub fn empty() -> Workshop {
        Workshop { drawers: Vec::new(), colours: Vec::new(), made: Mutex::default(), boxes: None }
    }

    /// A part in a colour.
    pub fn drawing(&self, part: PartId, colour: ColourId) -> Arc<Drawing> {
        if let Some(boxes) = &self.boxes {
            return Arc::clone(&boxes[part.0]);
        }
        let mut made = self.made.lock().expect("no panic while held");
        if let Some(drawing) = made.get(&(part, colour)) {
            return Arc::clone(drawing);
        }
        let (rgb, finish, seed) = self.colours[colour.0];
        let seed = seed.wrapping_add((part.0 as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15));
        let drawer = &self.drawers[part.0];
        let drawing = Arc::new(match rgb {
            Some(rgb) => drawer.draw(rgb, finish, seed),
            None => drawer.outline(),
        });
        if made.len() < MOST_KEPT {
            made.insert((part, colour), Arc::clone(&drawing));
        }
        drawing
    }
}

/// FNV-1a (offset basis and prime of the 64-bit variant): the key of a colour
/// seeds its flecks, so that they stay when others come or go.
fn seed(key: &str) -> u64 {
    key.bytes().fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(b)).wrapping_mul(0x100_0000_01b3))
}
