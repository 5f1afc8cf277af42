//! The mark of a new colour: a small triangle in the white before the chip.
//!
//! It takes none of the room that is measured, so nothing moves for it.

use kurbo::{BezPath, Point};

use super::canvas::Canvas;
use super::item::Role;
use crate::plan::style::Look;

/// Width and height in shares of the white between parts and spine: the
/// mark keeps clear of the part before it and of the chip after it.
const WIDTH: f64 = 0.46;
const HEIGHT: f64 = 0.82;
/// White between the mark and the chip, likewise.
const CLEAR: f64 = 0.18;

/// Width of the mark, mm.
pub fn width(look: &Look) -> f64 {
    look.side_gap * WIDTH
}

/// Draws it before what starts at `x`, level with `y`.
pub fn before(canvas: &mut Canvas<'_>, x: f64, y: f64) {
    let look = canvas.look;
    at(canvas, x - look.side_gap * (CLEAR + WIDTH), y);
}

/// Draws it from `x` on, its middle at `y`.
pub fn at(canvas: &mut Canvas<'_>, x: f64, y: f64) {
    let look = canvas.look;
    let half = look.side_gap * HEIGHT / 2.0;
    let mut path = BezPath::new();
    path.move_to(Point::new(x, y - half));
    path.line_to(Point::new(x + width(look), y));
    path.line_to(Point::new(x, y + half));
    path.close_path();
    canvas.fill(Role::Furniture, path, look.voices.other_number.ink);
}
