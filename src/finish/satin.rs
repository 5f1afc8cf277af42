//! Satin: the forms of opaque, softer, without the sharp light.

use crate::read::shapes::ShapeLayer;

use super::plain::{Plain, Side, offset};

/// Adds the relief of a plain outline; returns the lights that lie over its holes.
pub(super) fn layers(p: &Plain, out: &mut Vec<ShapeLayer>) -> Vec<ShapeLayer> {
    let r = p.rim;
    out.extend(p.shade(Side::Shaded, 0.0, 1.1 * r, &[-2.5, -5.0, -8.0, -11.5, -15.0].map(offset)));
    out.extend(p.shade(Side::Lit, 0.0, r, &[2.5, 5.0, 7.5, 10.0].map(offset)));
    out.extend(p.shade(Side::Lit, 1.05 * r, 0.25 * r, &[-3.0, -6.0].map(offset)));
    out.extend(p.shade(Side::Shaded, 1.05 * r, 0.25 * r, &[3.0, 6.0].map(offset)));
    Vec::new()
}
