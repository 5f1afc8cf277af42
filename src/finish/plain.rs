//! Light and shade for a plain outline, from its insets and its shifted self.

use kurbo::{Affine, BezPath, Rect, Shape as _, Vec2};

use crate::graphic::{FillRule, Ramp};
use crate::read::Finish;
use crate::read::shapes::{LayerRole, Shape, ShapeLayer, Tone, TonePaint};

use super::tone::rgb;
use super::{clear, glow, metal, opaque, pearl, satin};
use crate::read::region::Region;

/// The way the light goes: from the upper left. Length 1.
const AWAY: Vec2 = Vec2::new(0.6, 0.8);

/// Which edges a crescent lies on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Side {
    /// The edges that the light meets.
    Lit,
    /// The edges that it leaves by.
    Shaded,
}

/// A plain outline and what is measured from it.
#[derive(Debug)]
pub(super) struct Plain {
    body: ShapeLayer,
    /// The body with its small openings filled.
    pub solid: Region,
    holes: Vec<Region>,
    /// What the drawing shows below and upon the body, in tones of its own.
    details: [Vec<ShapeLayer>; 2],
    bounds: Rect,
    /// Width of the raised rim, mm: all relief but holes lies on it.
    pub rim: f64,
}

/// Share of the part that stays flat when the rim is chosen; holes come off this.
const FLAT: f64 = 0.5;
/// Where the drawing's own details leave less than that, the share of what they leave.
const FLAT_OF_REST: f64 = 0.8;

impl Plain {
    /// Measures an outline.
    pub fn new(shape: &Shape, region: &Region, inradius: f64) -> Plain {
        let small = |r: &Region| r.area() < 0.2 * region.area() && r.inradius() < 1.5;
        let mut solid = region.clone();
        let mut holes = Vec::new();
        for opening in region.openings().into_iter().filter(small) {
            solid = solid.and(&opening);
            holes.push(opening);
        }
        let drawn = shape.layers.iter().filter(|l| l.role == LayerRole::Hole);
        holes.extend(drawn.map(|l| Region::of(&l.path, l.rule)).filter(|r| !r.is_empty()));
        let hole_area: f64 = holes.iter().map(|h| h.grown(0.2).area()).sum();
        let details = details(shape);
        let upon = details[1].iter().filter(|l| l.paint != TonePaint::Flat(Tone::EXACT));
        let detailed = upon.fold(Region::default(), |all, l| all.and(&Region::of(&l.path, l.rule)));
        let area = region.area();
        let face = |inset: f64| {
            let face = solid.grown(-inset);
            if detailed.is_empty() { face.area() } else { face.without(&detailed).area() }
        };
        let wanted = match detailed.is_empty() {
            true => FLAT * area,
            false => (FLAT * area).min(FLAT_OF_REST * (face(0.0) - hole_area)),
        };
        let mut rim = (inradius * 0.26).min(1.6);
        for _ in 0..12 {
            if face(rim * 1.3) - hole_area >= wanted {
                break;
            }
            rim *= 0.82;
        }
        let body = ShapeLayer {
            path: shape.outline.clone(),
            rule: shape.rule,
            paint: TonePaint::Flat(Tone::EXACT),
            opacity: 1.0,
            role: LayerRole::Body,
            into_paper: false,
            finishes: Finish::ALL.to_vec(),
        };
        Plain { body, solid, holes, details, bounds: shape.bounds, rim }
    }

    /// The layers of a finish, from the bottom up.
    pub fn layers(&self, finish: Finish) -> Vec<ShapeLayer> {
        let here = |l: &&ShapeLayer| l.finishes.contains(&finish);
        let [below, upon] = &self.details;
        let mut layers: Vec<ShapeLayer> = below.iter().filter(here).cloned().collect();
        layers.push(self.body.clone());
        let mut lights = match finish {
            Finish::Opaque => opaque::layers(self, &mut layers),
            Finish::Clear | Finish::Flecked => clear::layers(self, &mut layers),
            Finish::Metal => metal::layers(self, &mut layers),
            Finish::Pearl => pearl::layers(self, &mut layers),
            Finish::Satin => satin::layers(self, &mut layers),
            Finish::Glow => glow::layers(self, &mut layers),
        };
        if !upon.is_empty() {
            // A drawing with lights of its own needs no others; details lie upon all.
            let own = upon.iter().any(|l| l.paint == TonePaint::Flat(Tone::Shine));
            layers.extend(lights.drain(..).filter(|_| !own));
            layers.extend(upon.iter().filter(here).cloned());
        }
        self.add_holes(finish, &mut layers);
        layers.extend(lights);
        layers.retain(|l| !l.path.elements().is_empty());
        layers
    }

    /// The band between two insets.
    pub fn ring(&self, from: f64, to: f64) -> Region {
        self.solid.grown(-from).without(&self.solid.grown(-to))
    }

    /// Crescents of a width on one side of an inset.
    pub fn crescent(&self, side: Side, inset: f64, width: f64) -> Region {
        crescent(&self.solid.grown(-inset), side, width)
    }

    /// Nested crescents, the widest first, that grow into the last tone.
    pub fn shade(&self, side: Side, inset: f64, width: f64, tones: &[Tone]) -> Vec<ShapeLayer> {
        let base = self.solid.grown(-inset);
        let n = tones.len() as f64;
        tones
            .iter()
            .enumerate()
            .map(|(i, t)| flat(crescent(&base, side, width * (n - i as f64) / n), *t, 1.0))
            .collect()
    }

    /// An area with tones running from the light to the shade.
    pub fn along_light(&self, area: Region, stops: &[(f64, Tone)]) -> ShapeLayer {
        let b = self.bounds;
        // Square to the box's diagonal, so that long parts are lit from above too.
        let (c, reach) = (b.center(), b.width().min(b.height()) * 0.6);
        let (w, h) = (b.width() / 2.0 * 0.6, b.height() / 2.0 * 0.8);
        let half = AWAY * (w.abs() * AWAY.x + h.abs() * AWAY.y).max(reach * 0.6);
        let (a, z) = (c - half, c + half);
        let ramp = Ramp::Linear { x1: a.x, y1: a.y, x2: z.x, y2: z.y };
        gradient(area, ramp, stops)
    }

    /// A mirrored light on the lit rim.
    pub fn sickle(&self, opacity: f64) -> ShapeLayer {
        let r = self.rim;
        let base = self.solid.grown(-0.34 * r);
        let light = crescent(&base, Side::Lit, (0.42 * r).max(0.08));
        // Only near the corner or bow that faces the light.
        let b = self.bounds;
        let long = b.width().max(b.height());
        let at = b.center() - Vec2::new(b.width() * 0.36, b.height() * 0.42);
        let near = kurbo::Circle::new(at, long * 0.30).to_path(1e-3);
        let light = light.within(&Region::of(&near, FillRule::NonZero));
        // Round the ends, where the circle cut the crescent off.
        let end = (0.15 * r).max(0.03);
        flat(light.grown(-end).grown(end), Tone::Shine, opacity)
    }

    fn add_holes(&self, finish: Finish, layers: &mut Vec<ShapeLayer>) {
        if self.holes.is_empty() {
            return;
        }
        let see_through = matches!(finish, Finish::Clear | Finish::Flecked);
        let join = |f: &dyn Fn(&Region) -> Region| {
            self.holes.iter().fold(Region::default(), |all, h| all.and(&f(h)))
        };
        let r = self.holes[0].inradius();
        let lip = (0.24 * r).min(0.2);
        if see_through {
            let far = Vec2::new(0.16, 0.24) * (r / 0.7).min(1.3);
            layers.push(hole(join(&|h| h.moved(far).without(h)), offset(-11.0), 0.75));
            layers.push(hole(
                join(&|h| crescent(&h.moved(far), Side::Shaded, lip * 0.7).without(h)),
                offset(22.0),
                0.9,
            ));
            layers.push(hole(join(&Region::clone), offset(-22.0), 1.0));
            layers.push(hole(
                join(&|h| h.grown(-0.1 * r).moved(AWAY * (0.1 * r)).within(h)),
                offset(30.0),
                1.0,
            ));
        } else {
            layers.push(hole(
                join(&|h| h.grown(lip).without(h).without(&h.grown(lip).moved(-AWAY * lip))),
                offset(24.0),
                0.9,
            ));
            layers.push(hole(join(&Region::clone), offset(-34.0), 1.0));
            let floor =
                |k: f64| join(&|h: &Region| h.moved(AWAY * (k * r)).within(h).grown(-0.03 * r));
            let paper = |l: f64| Tone::Fixed(rgb(l, 0.0, 1.2));
            layers.push(hole(floor(0.34), paper(70.0), 1.0));
            layers.push(hole(floor(0.58), paper(86.0), 1.0));
        }
    }

    /// Strips across the face at an angle to the light, for polished faces.
    pub fn glints(&self, inset: f64, strips: &[(f64, f64)]) -> Region {
        let b = self.bounds;
        let (c, half) = (b.center(), b.width().hypot(b.height()));
        let face = self.solid.grown(-inset);
        let mut all = BezPath::new();
        for (from, to) in strips {
            // Across the shorter side, leaning with the light.
            let s = b.width().min(b.height()) / 2.0;
            let strip = Rect::new(from * s, -half, to * s, half).to_path(0.1);
            all.extend((Affine::translate(c.to_vec2()) * Affine::rotate(0.62) * strip).iter());
        }
        Region::of(&all, FillRule::NonZero).within(&face)
    }
}

/// What a drawing shows below its body, and upon it.
fn details(shape: &Shape) -> [Vec<ShapeLayer>; 2] {
    let body = shape.layers.iter().position(|l| l.role == LayerRole::Body).unwrap_or(0);
    let relief = |layers: &[ShapeLayer]| {
        layers.iter().filter(|l| l.role == LayerRole::Relief).cloned().collect()
    };
    let (below, upon) = shape.layers.split_at(body);
    [relief(below), relief(upon)]
}

/// The part of an area that its own copy, moved with or against the light, leaves bare.
fn crescent(area: &Region, side: Side, width: f64) -> Region {
    match side {
        Side::Lit => area.without(&area.moved(AWAY * width)),
        Side::Shaded => area.without(&area.moved(-AWAY * width)),
    }
}

/// A lightness offset.
pub(super) fn offset(dl: f64) -> Tone {
    Tone::Offset { dl, da: 0.0, db: 0.0 }
}

/// An offset that turns the hue too.
pub(super) fn tinted(dl: f64, da: f64, db: f64) -> Tone {
    Tone::Offset { dl, da, db }
}

/// A relief layer of one tone.
pub(super) fn flat(area: Region, tone: Tone, opacity: f64) -> ShapeLayer {
    layer(area, TonePaint::Flat(tone), opacity, LayerRole::Relief)
}

fn hole(area: Region, tone: Tone, opacity: f64) -> ShapeLayer {
    layer(area, TonePaint::Flat(tone), opacity, LayerRole::Hole)
}

/// A relief layer with a gradient.
pub(super) fn gradient(area: Region, ramp: Ramp, stops: &[(f64, Tone)]) -> ShapeLayer {
    let paint = TonePaint::Gradient { ramp, transform: Affine::IDENTITY, stops: stops.to_vec() };
    layer(area, paint, 1.0, LayerRole::Relief)
}

fn layer(area: Region, paint: TonePaint, opacity: f64, role: LayerRole) -> ShapeLayer {
    ShapeLayer {
        path: area.smooth(),
        rule: FillRule::NonZero,
        paint,
        opacity,
        role,
        into_paper: false,
        finishes: Finish::ALL.to_vec(),
    }
}
