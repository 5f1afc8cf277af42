//! Satin: a broad soft sheen on a softly rounded body, nothing sharp.

use super::relief::{Relief, Veil, offset};

/// Adds the relief of a plain outline.
pub(super) fn add(r: &mut Relief) {
    let sheen = [(0.0, 17.0), (0.3, 13.0), (0.6, 6.0), (0.85, 1.4), (1.0, 0.0)];
    r.lamp(0.9, 0.46, 0.3, &sheen.map(|(o, d)| (o, offset(d))));
    r.veil(Veil { width: 1.0, lean: 0.6, tone: offset(-24.0), strength: 0.72 });
    r.veil(Veil { width: 0.6, lean: -0.9, tone: offset(12.0), strength: 0.6 });
}
