//! Glow: a body whose own light is strongest along its edge, softly and all round.

use super::relief::{Relief, Veil, tinted};

/// Adds the relief of a plain outline.
pub(super) fn add(r: &mut Relief) {
    r.veil(Veil { width: 1.5, lean: 0.0, tone: tinted(9.0, -16.0, 13.0), strength: 0.66 });
    r.edge(
        (0.1 * r.rim).clamp(0.04, 0.09),
        &[(0.0, tinted(-6.0, -6.0, 5.0)), (1.0, tinted(-14.0, -6.0, 5.0))],
    );
}
