//! The parts drawn in their colours, each once for all editions of a run.

use std::collections::HashMap;
use std::sync::{Arc, Mutex};

use kurbo::{Point, Rect};

use crate::finish::{Drawer, Drawing};
use crate::range::{ColourId, ColourRange, Finish, PartId, PartPicture, Pictures, Shape};
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

/// Drawings by part and colour.
type KeptDrawings = HashMap<(PartId, ColourId), Arc<Drawing>>;

/// Drawings on demand, and pictures in their place. Copies share what is drawn.
#[derive(Clone, Default)]
pub struct Workshop {
    drawers: Arc<Vec<Arc<Drawer>>>,
    /// What the drawers draw.
    shapes: Arc<Vec<Arc<Shape>>>,
    colours: Arc<Vec<Dye>>,
    made: Arc<Mutex<KeptDrawings>>,
    /// By part, where boxes stand for drawings.
    boxes: Option<Vec<Arc<Drawing>>>,
    pictures: Option<Arc<Pictures>>,
}

/// A picture of a part, and what lies under it.
pub struct Pictured<'a> {
    pub picture: &'a PartPicture,
    pub shadow: Drawing,
    pub sample: Sample,
}

impl Workshop {
    /// Prepares every shape of a range; `work` counts this and all that is drawn.
    pub fn new(range: &ColourRange, work: &Work) -> Workshop {
        Workshop::default().renewed(range, work)
    }

    /// For a range that was read again: shapes that are the same are not prepared again.
    pub fn renewed(&self, range: &ColourRange, work: &Work) -> Workshop {
        let drawer = |shape: &Arc<Shape>| {
            let known = self.shapes.iter().position(|known| Arc::ptr_eq(known, shape));
            match known {
                Some(place) => Arc::clone(&self.drawers[place]),
                None => Arc::new(Drawer::new(shape, work)),
            }
        };
        let shapes: Vec<Arc<Shape>> = range.parts().iter().map(|p| Arc::clone(p.shape())).collect();
        Workshop {
            drawers: Arc::new(shapes.iter().map(drawer).collect()),
            shapes: Arc::new(shapes),
            colours: dyes(range),
            ..Workshop::default()
        }
    }

    /// With pictures for some parts in some colours.
    pub fn with(self, pictures: Option<&Pictures>) -> Workshop {
        Workshop { pictures: pictures.cloned().map(Arc::new), ..self }
    }

    /// The same without pictures.
    pub fn only_drawings(&self) -> Workshop {
        Workshop { pictures: None, ..self.clone() }
    }

    /// Parts as empty boxes of their size: for measuring a page.
    pub fn boxes(range: &ColourRange) -> Workshop {
        let boxes = range.parts().iter().map(|p| p.shape().extent).map(|e| {
            let extent = Rect::from_center_size(Point::ORIGIN, e.size());
            Arc::new(Drawing { layers: Vec::new(), bounds: extent, extent })
        });
        Workshop { boxes: Some(boxes.collect()), colours: dyes(range), ..Workshop::default() }
    }

    /// For pages without parts.
    pub fn empty() -> Workshop {
        Workshop::default()
    }

    /// The picture of a part in a colour, where there is one.
    pub fn picture(&self, part: PartId, colour: ColourId) -> Option<Pictured<'_>> {
        let picture = self.pictures.as_ref()?.of(part, colour)?;
        let Dye { sample, finish, .. } = self.colours[colour.0];
        Some(Pictured { picture, shadow: self.drawers[part.0].shadow(finish), sample })
    }

    /// A part as it is drawn in a colour, its flecks where they are in every colour of its finish.
    pub fn plainly(&self, part: PartId, colour: ColourId) -> Arc<Drawing> {
        let Dye { sample, finish, .. } = &self.colours[colour.0];
        Arc::new(self.drawers[part.0].draw(sample.published, *finish, part.0 as u64))
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

fn dyes(range: &ColourRange) -> Arc<Vec<Dye>> {
    Arc::new((0..range.colours().len()).map(|n| Dye::of(range, ColourId(n))).collect())
}

/// FNV-1a (offset basis and prime of the 64-bit variant): the key of a colour
/// seeds its flecks, so that they stay when others come or go.
fn seed(key: &str) -> u64 {
    key.bytes().fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(b)).wrapping_mul(0x100_0000_01b3))
}
