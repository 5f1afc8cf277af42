//! The parts of a range, drawn and measured.

use std::sync::Arc;

use super::colours::{self, Pair};
use super::understood::{Understood, understood};
use crate::finish::{Drawer, Drawing};
use crate::range::{ColourRange, Finish, PartId};
use crate::work::Work;

/// A part, drawn and measured.
#[derive(Debug, Clone)]
pub struct DrawnPart {
    pub part: PartId,
    pub understood: Understood,
    /// A drawing of each finish in each colour, finish by finish.
    pub drawings: Vec<Vec<Arc<Drawing>>>,
}

/// What the page shows: the finishes, the colours, the parts.
#[derive(Debug, Clone)]
pub struct DrawnParts {
    pub finishes: Vec<Finish>,
    pub pair: Pair,
    pub entries: Vec<DrawnPart>,
}

impl DrawnParts {
    /// Draws and measures every part of a range.
    pub fn new(range: &ColourRange, work: &Work) -> DrawnParts {
        let finishes = colours::finishes(range);
        let pair = Pair::of(range);
        let mut entries = Vec::with_capacity(range.parts().len());
        for (i, part) in range.parts().iter().enumerate() {
            let drawer = Drawer::new(part.shape(), work);
            let seed = i as u64;
            let drawn = |finish: &Finish| -> Vec<Arc<Drawing>> {
                let colours = pair.colours().map(|c| range.colour(c).rgb());
                colours.map(|rgb| Arc::new(drawer.draw(rgb, *finish, seed))).collect()
            };
            let drawings: Vec<Vec<Arc<Drawing>>> = finishes.iter().map(drawn).collect();
            let rgbs: Vec<_> = pair.colours().map(|c| range.colour(c).rgb()).collect();
            let understood = understood(part.shape(), &finishes, &drawings, &rgbs, work);
            entries.push(DrawnPart { part: PartId(i), understood, drawings });
        }
        DrawnParts { finishes, pair, entries }
    }
}
