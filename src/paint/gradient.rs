//! What the painters must agree on about gradients.

use crate::graphic;
use crate::sheet::{Gradient, PaletteIndex, Ramp, Stop};

/// The one colour of a gradient that has no extent or no second colour; SVG
/// paints the last stop then (SVG 1.1, 13.2.2 and 13.2.3), and so do we everywhere.
/// `None` for a real gradient; the bare paper for one without stops.
pub fn flat(gradient: &Gradient) -> Option<PaletteIndex> {
    let last = gradient.stops.last().map_or(PaletteIndex::PAPER, |last| last.colour);
    is_flat(gradient).then_some(last)
}

/// Has a gradient one colour, whatever it is?
pub fn is_flat<C>(gradient: &graphic::Gradient<C>) -> bool {
    let extent = match gradient.ramp {
        Ramp::Linear { x1, y1, x2, y2 } => (x2 - x1).hypot(y2 - y1),
        Ramp::Radial { r, .. } => r,
    };
    let singular = gradient.transform.determinant().abs() < 1e-12;
    gradient.stops.len() < 2 || extent < 1e-6 || singular
}

/// Stops within 0 to 1, none before the one it follows.
pub fn stops(gradient: &Gradient) -> Vec<Stop> {
    let mut least = 0.0;
    let tidy = |stop: &Stop| {
        // Anything that is not a number counts as the end.
        least = stop.offset.min(1.0).max(least);
        Stop { offset: least, colour: stop.colour }
    };
    gradient.stops.iter().map(tidy).collect()
}
