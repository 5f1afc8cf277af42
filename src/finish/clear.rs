//! Clear and flecked: dark where light enters, bright where it leaves; the
//! edge of the far face shows.

use kurbo::Vec2;

use super::light::AWAY;
use super::relief::{Relief, Veil, offset};
use super::ribbon::Ribbon;
use crate::read::shapes::{Tone, TonePaint};

/// Adds the relief of a plain outline.
pub(super) fn add(r: &mut Relief) {
    // Light that went through is gathered where it leaves.
    r.veil(Veil { width: 1.25, lean: 0.85, tone: offset(25.0), strength: 0.72 });
    r.veil(Veil { width: 0.75, lean: -0.9, tone: offset(-30.0), strength: 0.66 });
    back_edge(r);
    r.edge(
        (0.15 * r.rim).clamp(0.05, 0.14),
        &[(0.0, offset(-24.0)), (0.6, offset(-16.0)), (1.0, offset(-12.0))],
    );
    let sickle = Ribbon { light: -AWAY, width: 0.46, least: 0.55, from: 0.36 };
    r.light(r.ribbon(0.36, sickle), Tone::Shine, 0.95);
}

/// The far face's edge, moved by the way through: a dark line near the light,
/// a bright one opposite.
fn back_edge(r: &mut Relief) {
    let by = Vec2::new(0.16, 0.22) * r.rim;
    let line = |light: Vec2| Ribbon { light, width: 0.2, least: -0.1, from: -0.2 };
    let dark = r.ribbon(1.2, line(-AWAY)).moved(by);
    let bright = r.ribbon(1.2, line(AWAY)).moved(by);
    r.add(dark.within(&r.p.solid), TonePaint::Flat(offset(-16.0)), 0.8);
    r.add(bright.within(&r.p.solid), TonePaint::Flat(offset(30.0)), 0.6);
}
