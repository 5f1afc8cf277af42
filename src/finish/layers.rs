//! The layers of a plain outline in a finish: light and shade on what was measured.

use crate::read::Finish;
use crate::read::shapes::{ShapeLayer, Tone, TonePaint};

use super::plain::Plain;
use super::relief::{Piece, Relief};
use super::{clear, glow, holes, metal, opaque, pearl, satin};

/// More where flecks come upon it.
const SPECKS: f64 = 0.08;
/// How much smaller features become at a time until enough is flat, and how often.
const SHRINK: (f64, usize) = (0.86, 10);
const SHRINK_HEAVY: (f64, usize) = (0.5, 3);
/// Where each try takes long, features are made so small at once.
const SMALLEST: f64 = 0.125;

impl Plain {
    /// The layers of a finish, from the bottom up.
    pub fn layers(&self, finish: Finish) -> Vec<ShapeLayer> {
        let here = |l: &&ShapeLayer| l.finishes.contains(&finish);
        let [below, upon] = &self.details;
        let mut layers: Vec<ShapeLayer> = below.iter().filter(here).cloned().collect();
        layers.push(self.body.clone());
        let relief = self.relief(finish);
        layers.extend(relief.pieces.into_iter().map(Piece::layer));
        let mut lights: Vec<ShapeLayer> = relief.lights.into_iter().map(Piece::layer).collect();
        if !upon.is_empty() {
            // A drawing with lights of its own needs no others; details lie upon all.
            let own = upon.iter().any(|l| l.paint == TonePaint::Flat(Tone::Shine));
            layers.extend(lights.drain(..).filter(|_| !own));
            layers.extend(upon.iter().filter(here).cloned());
        }
        layers.extend(holes::pieces(&self.holes, finish).into_iter().map(Piece::layer));
        layers.extend(lights);
        layers.retain(|l| !l.path.elements().is_empty());
        layers
    }

    /// As large as leaves enough of the face flat.
    fn relief(&self, finish: Finish) -> Relief<'_> {
        let (by, times) = if self.heavy { SHRINK_HEAVY } else { SHRINK };
        let specks = if finish == Finish::Flecked { SPECKS } else { 0.0 };
        let mut size = 1.0;
        for _ in 0..times {
            let relief = self.relief_of(finish, size);
            if relief.flat() >= self.wanted + specks {
                return relief;
            }
            if relief.is_heavy() {
                size = size.min(SMALLEST);
                break;
            }
            size *= by;
        }
        self.relief_of(finish, size)
    }

    fn relief_of(&self, finish: Finish, size: f64) -> Relief<'_> {
        let mut relief = Relief::new(self, size);
        match finish {
            Finish::Opaque => opaque::add(&mut relief),
            Finish::Clear | Finish::Flecked => clear::add(&mut relief),
            Finish::Metal => metal::add(&mut relief),
            Finish::Pearl => pearl::add(&mut relief),
            Finish::Satin => satin::add(&mut relief),
            Finish::Glow => glow::add(&mut relief),
        }
        relief
    }
}
