//! Pearl: a soft lamp, and a rose and a sea-green band across the face.

use super::relief::{Relief, Veil, offset, tinted};

/// Adds the relief of a plain outline.
pub(super) fn add(r: &mut Relief) {
    let lamp = [
        (0.0, offset(50.0)),
        (0.2, offset(38.0)),
        (0.45, offset(18.0)),
        (0.75, offset(5.0)),
        (1.0, offset(0.0)),
    ];
    r.lamp(0.62, 0.46, 0.3, &lamp);
    // The wider veil shows on the face, the narrower one over it towards the edge.
    r.veil(Veil { width: 1.55, lean: 0.75, tone: tinted(3.0, -17.0, 5.0), strength: 0.8 });
    r.veil(Veil { width: 0.8, lean: 0.75, tone: tinted(-3.0, 18.0, -8.0), strength: 0.8 });
    r.veil(Veil { width: 0.7, lean: -0.9, tone: tinted(6.0, 14.0, -7.0), strength: 0.7 });
    r.edge(
        (0.12 * r.rim).clamp(0.04, 0.1),
        &[
            (0.0, tinted(6.0, -6.0, 2.0)),
            (0.5, tinted(-6.0, 5.0, -3.0)),
            (1.0, tinted(-16.0, 2.0, -3.0)),
        ],
    );
}
