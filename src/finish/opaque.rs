//! Opaque: a rounded body with one sharp light on it and one thrown back from below.

use super::light::AWAY;
use super::relief::{Relief, Veil, offset};
use super::ribbon::Ribbon;
use crate::read::shapes::{Tone, TonePaint};

/// Adds the relief of a plain outline.
pub(super) fn add(r: &mut Relief) {
    r.veil(Veil { width: 1.15, lean: 0.8, tone: offset(-38.0), strength: 0.76 });
    r.veil(Veil { width: 0.5, lean: -0.95, tone: offset(22.0), strength: 0.6 });
    let back = Ribbon { light: AWAY, width: 0.26, least: 0.45, from: 0.3 };
    r.add(r.ribbon(0.14, back), TonePaint::Flat(offset(16.0)), 0.55);
    r.edge(
        (0.1 * r.rim).clamp(0.04, 0.1),
        &[(0.0, offset(-4.0)), (0.45, offset(-16.0)), (1.0, offset(-28.0))],
    );
    let sickle = Ribbon { light: -AWAY, width: 0.62, least: 0.35, from: 0.22 };
    r.light(r.ribbon(0.42, sickle), Tone::Shine, 0.95);
}
