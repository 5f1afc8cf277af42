//! Pearl: a soft rim whose hue turns between rose and sea green.

use crate::read::shapes::{ShapeLayer, Tone};

use super::plain::{Plain, Side, flat, tinted};

/// Adds the relief of a plain outline; returns the lights that lie over its holes.
pub(super) fn layers(p: &Plain, out: &mut Vec<ShapeLayer>) -> Vec<ShapeLayer> {
    let r = p.rim;
    let shade = [(0.0, 2.0, -1.0), (-2.0, 6.0, -3.0), (-5.0, 8.0, -5.0), (-11.0, 4.0, -3.0)];
    let light = [(2.0, -3.0, 1.0), (5.0, -7.0, 2.0), (9.0, -5.0, 2.0), (12.0, 2.0, 0.0)];
    let tones = |t: [(f64, f64, f64); 4]| t.map(|(l, a, b)| tinted(l, a, b));
    out.extend(p.shade(Side::Shaded, 0.0, 1.15 * r, &tones(shade)));
    out.extend(p.shade(Side::Lit, 0.0, 1.1 * r, &tones(light)));
    let rose = p.crescent(Side::Lit, 1.1 * r, 0.2 * r);
    let sea = p.crescent(Side::Shaded, 1.15 * r, 0.2 * r);
    out.push(flat(rose, tinted(3.0, 8.0, -3.0), 0.7));
    out.push(flat(sea, tinted(4.0, -8.0, 2.0), 0.7));
    let mut lamp = p.sickle(0.7);
    lamp.paint = crate::read::shapes::TonePaint::Flat(Tone::Shine);
    vec![lamp]
}
