//! A place as it is looked at.

use crate::capture::cut::Outline;
use crate::capture::cut::patch::Patch;
use crate::capture::cut::raster::moved;
use crate::capture::{Ground, PartPlace, Rect};

/// The difference of part and ground, in logarithms of light, under which edges are doubtful.
pub const FAINT: f64 = 0.25;

/// What is taken of a place: on the bare paper a little more, else not its frame's edges.
pub fn room(place: &PartPlace) -> Rect {
    let more = if place.ground == Ground::White { 0.4 } else { -0.3 };
    let f = place.frame;
    Rect {
        left: f.left - more,
        top: f.top - more,
        width: f.width + 2.0 * more,
        height: f.height + 2.0 * more,
    }
}

pub fn expected(patch: &Patch, outline: &Outline) -> Outline {
    moved(outline, |p| patch.to_pixel(p))
}

/// The drawing of the part on a place; nothing where there is only a box.
pub fn drawing(place: &PartPlace) -> &Outline {
    const NONE: &Outline = &Outline::new();
    if place.boxed { NONE } else { &place.outline }
}
