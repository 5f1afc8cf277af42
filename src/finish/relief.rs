//! What a finish is made of on a plain outline: veils, edges, lamps and ribbons.
//!
//! All of them are drawn around a face that keeps the exact colour.

use kurbo::{Affine, Ellipse, Point, Shape as _, Vec2};

use crate::graphic::{FillRule, Ramp};
use crate::read::Finish;
use crate::read::region::Region;
use crate::read::shapes::{LayerRole, ShapeLayer, Tone, TonePaint};

use super::light::AWAY;
use super::plain::Plain;
use super::ribbon::Ribbon;

/// A veil has a step for so much of its width, mm, so that none is seen: two
/// pixels at 300 dpi.
const STEP: f64 = 0.17;
/// Nor has it more steps than one for so much of its depth, CIELAB.
const DEPTH: f64 = 4.0;
/// How many steps there are, least and most.
const STEPS: (f64, f64) = (3.0, 7.0);
/// A round edge turns away faster and faster: towards it steps become narrower
/// and add more, by these powers.
const NARROWER: f64 = 1.2;
const DEEPER: f64 = 1.2;

/// Of reliefs with more corners than this each try takes long.
const HEAVY: usize = 12_000;

/// An area with its paint, not yet smoothed.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    pub area: Region,
    pub paint: TonePaint,
    pub opacity: f64,
    pub role: LayerRole,
}

/// Shade or light that fades from the edge inwards, in steps too small to see.
#[derive(Debug, Clone, Copy)]
pub(super) struct Veil {
    /// How far it reaches in, rims.
    pub width: f64,
    /// -1: all on the side that faces the light; 0: even; 1: all on the other.
    pub lean: f64,
    pub tone: Tone,
    /// The opacity at the edge, 0 to 1.
    pub strength: f64,
}

/// The relief of one finish on one outline.
#[derive(Debug)]
pub(super) struct Relief<'p> {
    pub p: &'p Plain,
    /// Width of the rim, mm: what all of it is measured in.
    pub rim: f64,
    /// How large features on the face may be, 0 to 1.
    pub size: f64,
    pub pieces: Vec<Piece>,
    /// What lies over the holes.
    pub lights: Vec<Piece>,
}

impl<'p> Relief<'p> {
    /// An empty relief, features and rim shrunk by a factor.
    pub fn new(p: &'p Plain, size: f64) -> Relief<'p> {
        Relief { p, rim: p.rim * size, size, pieces: Vec::new(), lights: Vec::new() }
    }

    /// Has it so many corners that another one takes long?
    pub fn is_heavy(&self) -> bool {
        let pieces = self.pieces.iter().chain(&self.lights);
        pieces.map(|piece| piece.area.corners()).sum::<usize>() > HEAVY
    }

    /// The share of the body that neither this nor details nor holes cover.
    pub fn flat(&self) -> f64 {
        let covered = self.pieces.iter().chain(&self.lights).map(|piece| &piece.area);
        let all = covered.fold(self.p.taken.clone(), |all, a| all.and(a));
        // Pixels that an edge crosses are of neither colour.
        self.p.solid.without(&all.grown(0.02)).area() / self.p.area
    }

    /// Nested rings, each a step of one veil.
    pub fn veil(&mut self, veil: Veil) {
        let width = (veil.width * self.rim).min(0.8 * self.p.inradius);
        let wide = width * (1.0 + veil.lean.abs());
        let depth = match veil.tone {
            Tone::Offset { dl, da, db } => veil.strength * dl.hypot(da).hypot(db),
            _ => f64::INFINITY,
        };
        let most = if self.p.heavy { STEPS.0 } else { STEPS.1 };
        let steps = (wide / STEP).min(depth / DEPTH).ceil().clamp(STEPS.0, most);
        // The innermost steps are the faintest, so that the face has no edge.
        let veiled = |k: usize| ((k as f64) / steps).powf(DEEPER);
        // Each face is shrunk from the one before: a small step is quick, a large one crosses itself everywhere.
        let insets: Vec<f64> =
            (1..=steps as usize).map(|k| width * (k as f64 / steps).powf(NARROWER)).collect();
        let faces = self.p.solid.shrunk(&insets);
        for (k, (face, inset)) in faces.into_iter().zip(&insets).enumerate().rev() {
            let face = face.moved(-AWAY * (veil.lean * inset));
            let from_face = insets.len() - (k + 1);
            let share = veiled(from_face + 1) - veiled(from_face);
            let opacity = 1.0 - (1.0 - veil.strength).powf(share);
            self.add(self.p.solid.without(&face), TonePaint::Flat(veil.tone), opacity);
        }
    }

    /// A line inside the edge, its tones running from the light to the shade.
    pub fn edge(&mut self, width: f64, stops: &[(f64, Tone)]) {
        let area = self.ring(0.0, width);
        let paint = self.along_light(stops);
        self.add(area, paint, 1.0);
    }

    /// The band between two insets, mm.
    pub fn ring(&self, from: f64, to: f64) -> Region {
        self.p.solid.grown(-from).without(&self.p.solid.grown(-to))
    }

    /// Tones from the lit corner of the box to the opposite one. On a long part
    /// they run across it, as they do on a short one.
    pub fn along_light(&self, stops: &[(f64, Tone)]) -> TonePaint {
        let b = self.p.bounds;
        let half = b.size() / 2.0;
        let way = Vec2::new(AWAY.x / half.width.max(1e-6), AWAY.y / half.height.max(1e-6));
        let reach = way / way.hypot2();
        linear(b.center() - reach, b.center() + reach, stops)
    }

    /// A soft light on the face, near the corner that faces the light; `long`
    /// and `wide` are half its size, in largest distances to an edge.
    pub fn lamp(&mut self, long: f64, wide: f64, off: f64, stops: &[(f64, Tone)]) {
        let seat = &self.p.seat;
        let r = self.p.inradius * self.size.sqrt();
        let centre = seat.at + seat.light * (off * self.p.inradius) - seat.axis * (0.3 * seat.half);
        let (a, b) = (long * r + 0.45 * seat.half * self.size, wide * r);
        let angle = seat.axis.atan2();
        let shape = Ellipse::new(centre, (a, b), angle).to_path(1e-3);
        let solid = &self.p.solid;
        let area = Region::of(&shape, FillRule::NonZero, &solid.work()).within(solid);
        let transform = Affine::translate(centre.to_vec2())
            * Affine::rotate(angle)
            * Affine::scale_non_uniform(a.max(1e-6), b.max(1e-6));
        let ramp = Ramp::Radial { cx: 0.0, cy: 0.0, r: 1.0, fx: 0.0, fy: 0.0 };
        let paint = TonePaint::Gradient { ramp, transform, stops: stops.to_vec() };
        self.add(area, paint, 1.0);
    }

    /// What a copy of the part, moved by a vector, leaves bare.
    pub fn bared(&self, by: Vec2) -> Region {
        self.p.solid.without(&self.p.solid.moved(by))
    }

    /// A ribbon along an inset, both in rims.
    pub fn ribbon(&self, inset: f64, mut ribbon: Ribbon) -> Region {
        ribbon.width *= self.rim;
        // Corners are rounded a little more than those of the inset.
        let round = 0.5 * self.rim;
        let area = self.p.solid.grown(-(inset * self.rim + round)).grown(round);
        ribbon.along(&area, self.p.bounds)
    }

    /// Adds an area to what lies under the holes.
    pub fn add(&mut self, area: Region, paint: TonePaint, opacity: f64) {
        self.pieces.push(Piece { area, paint, opacity, role: LayerRole::Relief });
    }

    /// Adds an area to what lies over the holes.
    pub fn light(&mut self, area: Region, tone: Tone, opacity: f64) {
        let paint = TonePaint::Flat(tone);
        self.lights.push(Piece { area, paint, opacity, role: LayerRole::Relief });
    }
}

impl Piece {
    /// The layer of a shape, with curves for edges.
    pub fn layer(self) -> ShapeLayer {
        ShapeLayer {
            path: self.area.smooth(),
            rule: FillRule::NonZero,
            paint: self.paint,
            opacity: self.opacity,
            role: self.role,
            into_paper: false,
            finishes: Finish::ALL.to_vec(),
        }
    }
}

/// Tones along a line.
pub(super) fn linear(from: Point, to: Point, stops: &[(f64, Tone)]) -> TonePaint {
    let ramp = Ramp::Linear { x1: from.x, y1: from.y, x2: to.x, y2: to.y };
    TonePaint::Gradient { ramp, transform: Affine::IDENTITY, stops: stops.to_vec() }
}

/// A lightness offset.
pub(super) fn offset(dl: f64) -> Tone {
    Tone::Offset { dl, da: 0.0, db: 0.0 }
}

/// An offset that turns the hue too.
pub(super) fn tinted(dl: f64, da: f64, db: f64) -> Tone {
    Tone::Offset { dl, da, db }
}
