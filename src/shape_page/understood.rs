//! What was understood of a drawing: sizes, holes, shading, the flat share.

use std::sync::Arc;

use crate::finish::{Drawing, flat};
use crate::graphic::Rgb;
use crate::range::Finish;
use crate::read::region::Region;
use crate::read::shapes::{LayerRole, Shape};
use crate::work::Work;

/// What was understood of a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Understood {
    /// Width and height of everything that is drawn, mm.
    pub size: (f64, f64),
    /// Width and height of the body, mm.
    pub body: (f64, f64),
    /// Openings in the body.
    pub holes: usize,
    /// Layers of light and shade; none where the drawing is a plain outline, to which they are added.
    pub shading: usize,
    /// Of each finish, the share of the body in exactly the colour, 0 to 1: the lower of the two
    /// colours.
    pub flat: Vec<(Finish, f64)>,
}

impl Understood {
    /// Does anything reach over the body's box?
    pub fn reaches_over(&self) -> bool {
        self.size != self.body
    }

    /// The least flat share of all finishes; nothing in a range without colours.
    pub fn least_flat(&self) -> Option<f64> {
        self.flat.iter().map(|(_, share)| *share).min_by(f64::total_cmp)
    }
}

/// Examines a drawing as it is drawn in finishes and colours.
pub fn understood(
    shape: &Shape,
    finishes: &[Finish],
    drawings: &[Vec<Arc<Drawing>>],
    colours: &[Rgb],
    work: &Work,
) -> Understood {
    let region = Region::of(&shape.outline, shape.rule, work);
    let holes = shape.layers.iter().filter(|l| l.role == LayerRole::Hole);
    let open = holes.fold(region.clone(), |r, l| r.without(&Region::of(&l.path, l.rule, work)));
    let share = |drawn: &Vec<Arc<Drawing>>| {
        drawn.iter().zip(colours).map(|(d, c)| flat::share(shape, d, *c)).fold(1.0, f64::min)
    };
    Understood {
        size: (shape.extent.width(), shape.extent.height()),
        body: (shape.bounds.width(), shape.bounds.height()),
        holes: open.openings().len(),
        shading: shape.layers.iter().filter(|l| l.role == LayerRole::Relief).count(),
        flat: finishes.iter().zip(drawings).map(|(f, drawn)| (*f, share(drawn))).collect(),
    }
}
