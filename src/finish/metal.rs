//! Metal: a flat face in a bevelled rim that mirrors light and dark in turn.

use crate::read::shapes::ShapeLayer;

use super::plain::{Plain, flat, offset};

/// Adds the relief of a plain outline; returns the lights that lie over its holes.
pub(super) fn layers(p: &Plain, out: &mut Vec<ShapeLayer>) -> Vec<ShapeLayer> {
    let r = p.rim;
    let stops = [
        (0.0, 30.0),
        (0.14, 14.0),
        (0.26, -20.0),
        (0.38, 26.0),
        (0.5, -4.0),
        (0.62, -28.0),
        (0.74, 18.0),
        (0.86, -18.0),
        (1.0, -32.0),
    ];
    out.push(p.along_light(p.ring(0.0, r), &stops.map(|(o, d)| (o, offset(d)))));
    let edge = (0.14 * r).clamp(0.05, 0.15);
    let ends = [(0.0, offset(36.0)), (0.5, offset(-12.0)), (1.0, offset(-36.0))];
    out.push(p.along_light(p.ring(0.0, edge), &ends));
    let step =
        [(0.0, offset(-34.0)), (0.45, offset(-12.0)), (0.6, offset(16.0)), (1.0, offset(34.0))];
    out.push(p.along_light(p.ring(0.9 * r, 1.15 * r), &step));
    out.push(flat(p.glints(1.3 * r, &[(-0.52, -0.38), (-0.32, -0.27)]), offset(17.0), 0.75));
    Vec::new()
}
