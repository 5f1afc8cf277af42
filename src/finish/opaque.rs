//! Opaque: a rounded rim, a dished face and one sharp light.

use crate::read::shapes::ShapeLayer;

use super::plain::{Plain, Side, flat, offset};

/// Adds the relief of a plain outline; returns the lights that lie over its holes.
pub(super) fn layers(p: &Plain, out: &mut Vec<ShapeLayer>) -> Vec<ShapeLayer> {
    let r = p.rim;
    let edge = (0.1 * r).clamp(0.05, 0.1);
    out.extend(p.shade(Side::Shaded, 0.0, r, &[-3.0, -7.0, -12.0, -18.0, -24.0].map(offset)));
    out.extend(p.shade(Side::Lit, 0.0, 0.8 * r, &[4.0, 9.0, 15.0].map(offset)));
    out.push(p.along_light(
        p.ring(0.0, edge),
        &[(0.0, offset(2.0)), (0.45, offset(-14.0)), (1.0, offset(-27.0))],
    ));
    out.extend(p.shade(Side::Lit, r, 0.3 * r, &[-8.0, -16.0].map(offset)));
    out.extend(p.shade(Side::Shaded, r, 0.3 * r, &[7.0, 14.0].map(offset)));
    vec![p.sickle(0.92), flat(p.crescent(Side::Shaded, 0.92 * r, 0.1 * r), offset(22.0), 0.7)]
}
