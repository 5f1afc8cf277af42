//! Glow: a matt body whose edge shines of itself.

use crate::read::shapes::ShapeLayer;

use super::plain::{Plain, Side, flat, offset};

/// Adds the relief of a plain outline; returns the lights that lie over its holes.
pub(super) fn layers(p: &Plain, out: &mut Vec<ShapeLayer>) -> Vec<ShapeLayer> {
    let r = p.rim;
    for (from, dl) in [(1.0, 1.2), (0.78, 2.4), (0.56, 3.8), (0.36, 5.2)] {
        out.push(flat(p.ring(0.0, from * r), offset(dl), 1.0));
    }
    out.push(flat(p.ring(0.0, (0.12 * r).clamp(0.05, 0.12)), offset(-11.0), 1.0));
    out.extend(p.shade(Side::Lit, 1.1 * r, 0.22 * r, &[-3.0, -6.0].map(offset)));
    Vec::new()
}
