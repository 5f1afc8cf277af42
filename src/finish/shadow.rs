//! The shadow that every part throws on the paper: six outlines, no blur.

use std::sync::Arc;

use kurbo::{BezPath, Vec2};

use crate::graphic::Rgb;
use crate::read::Finish;

use super::tone::{Ink, rgb};
use crate::read::region::Region;

/// How much larger than the part, mm, and how light: from the outside in.
const STEPS: [(f64, f64); 6] =
    [(0.46, 98.2), (0.36, 96.2), (0.26, 93.4), (0.16, 90.0), (0.06, 85.5), (-0.06, 80.0)];
/// Away from the light, which comes from the upper left, mm.
const SHIFT: Vec2 = Vec2::new(0.3, 0.48);
/// The patch of light behind a see-through part: smaller by, and further away, mm.
const LIT: (f64, Vec2) = (-0.34, Vec2::new(0.4, 0.64));

/// The outlines of a part's shadow.
#[derive(Debug, Clone)]
pub(super) struct Shadow {
    steps: Vec<(Arc<BezPath>, f64)>,
    lit: Option<Arc<BezPath>>,
}

impl Shadow {
    /// Offsets of a body; a small part throws a narrower shadow.
    pub fn new(body: &Region, inradius: f64) -> Shadow {
        let k = (0.55 + 0.45 * inradius / 2.5).min(1.0);
        let outline = |by: f64, shift: Vec2| {
            let grown = body.grown(by * k).moved(shift * k);
            (!grown.is_empty()).then(|| Arc::new(grown.smooth()))
        };
        let steps = STEPS.iter().filter_map(|(by, l)| Some((outline(*by, SHIFT)?, *l))).collect();
        Shadow { steps, lit: outline(LIT.0, LIT.1) }
    }

    /// From the bottom up, for a colour in a finish.
    pub fn draw(&self, ink: &Ink, finish: Finish) -> Vec<(Arc<BezPath>, Rgb)> {
        let see_through = matches!(finish, Finish::Clear | Finish::Flecked);
        let depth = match finish {
            Finish::Clear | Finish::Flecked => 0.78,
            Finish::Glow => 0.62,
            Finish::Metal => 1.2,
            _ => 1.0,
        };
        let paint = |l: f64| {
            let l = 100.0 - (100.0 - l) * depth;
            match finish {
                // Coloured light falls through the part or comes out of it.
                Finish::Clear | Finish::Flecked => ink.tinted(l, 0.02 * (100.0 - l)),
                Finish::Glow => ink.tinted(l + 2.0, 0.05 * (100.0 - l)),
                _ => rgb(l, 0.0, 0.8),
            }
        };
        let mut layers: Vec<_> = self.steps.iter().map(|(o, l)| (o.clone(), paint(*l))).collect();
        if let (true, Some(lit)) = (see_through, &self.lit) {
            let l = 93.0 - (90.0 - ink.lightness()).max(0.0) * 0.12;
            layers.push((lit.clone(), ink.tinted(l, 0.42)));
        }
        layers
    }
}

impl Shadow {
    /// Every outline, for measuring.
    pub fn outlines(&self) -> impl Iterator<Item = &Arc<BezPath>> {
        self.steps.iter().map(|(o, _)| o).chain(&self.lit)
    }
}
