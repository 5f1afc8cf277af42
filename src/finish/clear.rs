//! Clear and flecked: dark where light enters, bright where it leaves.

use kurbo::Vec2;

use crate::read::shapes::{ShapeLayer, Tone};

use super::plain::{Plain, Side, flat, offset};

/// Adds the relief of a plain outline; returns the lights that lie over its holes.
pub(super) fn layers(p: &Plain, out: &mut Vec<ShapeLayer>) -> Vec<ShapeLayer> {
    let r = p.rim;
    // The edge of the far face, seen through the part.
    let far = p.ring(1.15 * r, 1.3 * r).moved(Vec2::new(0.14, 0.2) * r.min(1.0));
    out.push(flat(far.within(&p.solid.grown(-r)), offset(-9.0), 0.8));
    out.extend(p.shade(Side::Shaded, 0.0, 1.5 * r, &[4.0, 9.0, 15.0, 22.0, 29.0].map(offset)));
    out.extend(p.shade(Side::Lit, 0.0, 0.6 * r, &[-7.0, -13.0, -19.0].map(offset)));
    out.push(p.along_light(
        p.ring(0.0, (0.16 * r).clamp(0.06, 0.15)),
        &[(0.0, offset(-20.0)), (0.6, offset(-13.0)), (1.0, offset(-9.0))],
    ));
    let exit = p.crescent(Side::Shaded, 0.3 * r, 0.2 * r);
    vec![p.sickle(0.95), flat(exit, Tone::Shine, 0.55)]
}
