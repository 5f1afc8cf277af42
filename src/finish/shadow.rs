//! The shadow that every part throws on the paper, and the halo of one that
//! glows: outlines upon each other, no blur.

use std::sync::Arc;

use kurbo::{BezPath, Vec2};

use crate::read::Finish;

use super::tone::{Shade, rgb};
use crate::read::region::Region;

/// How much larger than the part, mm, and how light: from the outside in.
const STEPS: [(f64, f64); 6] =
    [(0.46, 98.2), (0.36, 96.2), (0.26, 93.4), (0.16, 90.0), (0.06, 85.5), (-0.06, 80.0)];
/// Away from the light, which comes from the upper left, mm.
const SHIFT: Vec2 = Vec2::new(0.3, 0.48);
/// The patch of light behind a see-through part: smaller by, and further away, mm.
const LIT: (f64, Vec2) = (-0.34, Vec2::new(0.4, 0.64));

/// A halo: how much larger than the part, mm, how light, and with which chroma:
/// from the outside in.
const HALO: [(f64, f64, f64); 6] = [
    (0.8, 98.8, 2.5),
    (0.66, 97.8, 5.0),
    (0.52, 96.6, 8.0),
    (0.38, 95.2, 11.5),
    (0.24, 93.6, 15.5),
    (0.1, 92.0, 20.0),
];

/// The outlines of a part's shadow, and of its halo.
#[derive(Debug, Clone)]
pub(super) struct Shadow {
    steps: Vec<(Arc<BezPath>, f64)>,
    halo: Vec<(Arc<BezPath>, f64, f64)>,
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
        let halo = HALO.iter().filter_map(|(by, l, c)| Some((outline(*by, Vec2::ZERO)?, *l, *c)));
        Shadow { steps, halo: halo.collect(), lit: outline(LIT.0, LIT.1) }
    }

    /// From the bottom up, in a finish.
    pub fn draw(&self, finish: Finish) -> Vec<(Arc<BezPath>, Shade)> {
        if finish == Finish::Glow {
            let shed = |l: f64, c: f64| Shade::Shed { l, c };
            return self.halo.iter().map(|(o, l, c)| (o.clone(), shed(*l, *c))).collect();
        }
        let see_through = matches!(finish, Finish::Clear | Finish::Flecked);
        let depth = match finish {
            Finish::Clear | Finish::Flecked => 0.78,
            Finish::Metal => 1.2,
            _ => 1.0,
        };
        let shade = |l: f64| {
            let l = 100.0 - (100.0 - l) * depth;
            match see_through {
                // Coloured light falls through the part.
                true => Shade::Tinted { l, share: 0.02 * (100.0 - l) },
                false => Shade::Fixed(rgb(l, 0.0, 0.8)),
            }
        };
        let mut layers: Vec<_> = self.steps.iter().map(|(o, l)| (o.clone(), shade(*l))).collect();
        if let (true, Some(lit)) = (see_through, &self.lit) {
            layers.push((lit.clone(), Shade::Through));
        }
        layers
    }
}

impl Shadow {
    /// The outlines of the halo, for measuring.
    pub fn halo(&self) -> impl Iterator<Item = &Arc<BezPath>> {
        self.halo.iter().map(|(o, ..)| o)
    }

    /// Every outline of the shadow, for measuring.
    pub fn outlines(&self) -> impl Iterator<Item = &Arc<BezPath>> {
        self.steps.iter().map(|(o, _)| o).chain(&self.lit)
    }
}
