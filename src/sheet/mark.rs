//! The mark of a new colour: a small triangle in the white before the chip.
//!
//! It takes none of the room that is measured, so nothing moves for it.

use kurbo::{BezPath, Point};

use super::item::Rgb;
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

/// Its outline before what starts at `at`, level with it.
pub fn before(look: &Look, at: Point) -> BezPath {
    outline(look, Point::new(at.x - look.side_gap * (CLEAR + WIDTH), at.y))
}

/// Its outline from `at` on, which is the middle of its left edge.
pub fn outline(look: &Look, at: Point) -> BezPath {
    let Point { x, y } = at;
    let half = look.side_gap * HEIGHT / 2.0;
    let mut path = BezPath::new();
    path.move_to(Point::new(x, y - half));
    path.line_to(Point::new(x + width(look), y));
    path.line_to(Point::new(x, y + half));
    path.close_path();
    path
}

/// What fills it.
pub fn ink(look: &Look) -> Rgb {
    look.voices.other_number.ink
}
