//! What was understood of a drawing: sizes, holes, shading, the flat share.

use std::sync::Arc;

use crate::finish::Drawing;
use crate::graphic::{Paint, Rgb};
use crate::range::Finish;
use crate::read::region::Region;
use crate::read::shapes::{LayerRole, Shape};

/// The least share of a face that is to show exactly the colour: what every
/// shipped drawing keeps to.
pub const LEAST_FLAT: f64 = 0.4;
/// Most points of a drawing's layers, times its layers, that the flat share is worked out for.
const MOST_WORK: usize = 4_000_000;

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
    /// Of each finish, the share of the face in exactly the colour, 0 to 1: the lower of the two
    /// colours. Nothing where it would take too long to work out.
    pub flat: Vec<(Finish, Option<f64>)>,
}

impl Understood {
    /// Does anything reach over the body's box?
    pub fn reaches_over(&self) -> bool {
        self.size != self.body
    }

    /// The least flat share of all finishes.
    pub fn least_flat(&self) -> Option<f64> {
        self.flat.iter().filter_map(|(_, share)| *share).min_by(f64::total_cmp)
    }
}

/// Looks a drawing over, as it comes out in finishes and colours.
pub fn understood(
    shape: &Shape,
    finishes: &[Finish],
    drawings: &[Vec<Arc<Drawing>>],
    colours: &[Rgb],
) -> Understood {
    let region = Region::of(&shape.outline, shape.rule);
    let holes = shape.layers.iter().filter(|l| l.role == LayerRole::Hole);
    let open = holes.fold(region.clone(), |r, l| r.without(&Region::of(&l.path, l.rule)));
    let share = |drawn: &Vec<Arc<Drawing>>| {
        let shares: Option<Vec<f64>> =
            drawn.iter().zip(colours).map(|(d, c)| flat_share(&region, d, *c)).collect();
        shares?.into_iter().min_by(f64::total_cmp)
    };
    Understood {
        size: (shape.extent.width(), shape.extent.height()),
        body: (shape.bounds.width(), shape.bounds.height()),
        holes: open.openings().len(),
        shading: shape.layers.iter().filter(|l| l.role == LayerRole::Relief).count(),
        flat: finishes.iter().zip(drawings).map(|(f, drawn)| (*f, share(drawn))).collect(),
    }
}

/// The share of a face that a drawing leaves in exactly the colour.
fn flat_share(face: &Region, drawing: &Drawing, colour: Rgb) -> Option<f64> {
    let points: usize = drawing.layers.iter().map(|l| l.outline.elements().len()).sum();
    let area = face.area();
    if points.saturating_mul(drawing.layers.len()) > MOST_WORK || area <= 0.0 {
        return None;
    }
    let mut flat = Region::default();
    for layer in &drawing.layers {
        let exact = layer.paint == Paint::Solid(colour) && layer.opacity >= 1.0;
        let covered = Region::of(&layer.outline, layer.rule);
        flat = if exact { flat.and(&covered.within(face)) } else { flat.without(&covered) };
    }
    Some((flat.area() / area).clamp(0.0, 1.0))
}
