//! Light and shade for a plain outline: what is measured of it, and what lies on what.

use kurbo::{Point, Rect, Vec2};

use crate::read::Finish;
use crate::read::region::Region;
use crate::read::shapes::{LayerRole, Shape, ShapeLayer, Tone, TonePaint};

use super::relief::{AWAY, Piece, Relief};
use super::{clear, glow, holes, metal, opaque, pearl, satin};

/// Where a light lies on the face.
#[derive(Debug, Clone)]
pub(super) struct Seat {
    /// A place as far from the edges as there is one.
    pub at: Point,
    /// Along the part, away from the light; length 1.
    pub axis: Vec2,
    /// Across it, towards the light; length 1.
    pub light: Vec2,
    /// How far along one may go and be as far from the edges, mm.
    pub half: f64,
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
    pub bounds: Rect,
    /// Of the body without its openings, mm².
    pub area: f64,
    /// Of the body, without its small openings, mm.
    pub inradius: f64,
    pub seat: Seat,
    /// Width of the rim, mm: the measure of all relief.
    pub rim: f64,
    /// What holes and details cover.
    pub taken: Region,
    /// The share that is to stay flat, 0 to 1.
    wanted: f64,
    /// Each inset of it takes long.
    pub heavy: bool,
}

/// Share of the part that stays flat.
const FLAT: f64 = 0.47;
/// More where flecks come upon it.
const SPECKS: f64 = 0.08;
/// Where the drawing's own details leave less than that, the share of what they leave.
const FLAT_OF_REST: f64 = 0.8;
/// How much smaller features become at a time until enough is flat, and how often.
const SHRINK: (f64, usize) = (0.86, 10);
const SHRINK_HEAVY: (f64, usize) = (0.5, 3);
/// Where each try takes long, features are made so small at once.
const SMALLEST: f64 = 0.125;
/// An outline of more corners than this is drawn with less care.
const HEAVY: usize = 3000;

impl Plain {
    /// Measures an outline.
    pub fn new(shape: &Shape, region: &Region, inradius: f64) -> Plain {
        let work = region.work();
        let small = |r: &Region| r.area() < 0.2 * region.area() && r.inradius() < 1.5;
        let mut solid = region.clone();
        let mut holes = Vec::new();
        for opening in region.openings().into_iter().filter(small) {
            solid = solid.and(&opening);
            holes.push(opening);
        }
        let inradius = if holes.is_empty() { inradius } else { solid.inradius() };
        let drawn = shape.layers.iter().filter(|l| l.role == LayerRole::Hole);
        holes.extend(drawn.map(|l| Region::of(&l.path, l.rule, &work)).filter(|r| !r.is_empty()));
        let mouths = holes.iter().fold(Region::default(), |all, h| all.and(&h.grown(0.2)));
        let details = details(shape);
        let upon = details[1].iter().filter(|l| l.paint != TonePaint::Flat(Tone::EXACT));
        let detailed =
            upon.fold(Region::default(), |all, l| all.and(&Region::of(&l.path, l.rule, &work)));
        let taken = mouths.and(&detailed);
        let area = region.area().max(1e-9);
        let heavy = solid.contours().map(|c| c.0.len()).sum::<usize>() > HEAVY;
        let rest = solid.without(&taken).area() / area;
        let body = ShapeLayer {
            path: shape.outline.clone(),
            rule: shape.rule,
            paint: TonePaint::Flat(Tone::EXACT),
            opacity: 1.0,
            role: LayerRole::Body,
            into_paper: false,
            finishes: Finish::ALL.to_vec(),
        };
        Plain {
            body,
            seat: seat(&solid, inradius, shape.bounds),
            solid,
            holes,
            details,
            bounds: shape.bounds,
            area,
            inradius,
            rim: (inradius * 0.28).min(1.5),
            taken,
            heavy,
            wanted: FLAT.min(FLAT_OF_REST * rest),
        }
    }

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

/// What a drawing shows below its body, and upon it.
fn details(shape: &Shape) -> [Vec<ShapeLayer>; 2] {
    let body = shape.layers.iter().position(|l| l.role == LayerRole::Body).unwrap_or(0);
    let relief = |layers: &[ShapeLayer]| {
        layers.iter().filter(|l| l.role == LayerRole::Relief).cloned().collect()
    };
    let (below, upon) = shape.layers.split_at(body);
    [relief(below), relief(upon)]
}

/// Finds the middle line of the part from what shrinking leaves last.
fn seat(solid: &Region, inradius: f64, bounds: Rect) -> Seat {
    let core = solid.grown(-0.9 * inradius);
    let points: Vec<Point> =
        core.contours().flat_map(|c| c.0).map(|[x, y]| Point::new(*x, *y)).collect();
    let across = Vec2::new(-AWAY.y, AWAY.x);
    let round = |at: Point| Seat { at, axis: across, light: -AWAY, half: 0.0 };
    let farthest = |from: Point| {
        points.iter().copied().max_by(|a, b| from.distance(*a).total_cmp(&from.distance(*b)))
    };
    let Some(a) = farthest(bounds.center()) else { return round(bounds.center()) };
    let b = farthest(a).unwrap_or(a);
    let (middle, half) = (a.midpoint(b), (a.distance(b) / 2.0 - 0.1 * inradius).max(0.0));
    let straight = core.openings().is_empty() && core.grown(0.05 * inradius).contains(middle);
    if !straight {
        // The middle line is bent: the light lies where it comes nearest to it.
        let lit = points.iter().copied().min_by(|a, b| {
            let far = |p: Point| (p - bounds.center()).dot(AWAY);
            far(*a).total_cmp(&far(*b))
        });
        return round(lit.unwrap_or(middle));
    }
    if half < 0.4 * inradius {
        return round(middle);
    }
    let axis = (b - a).normalize();
    let axis = if axis.dot(AWAY) < 0.0 { -axis } else { axis };
    let light = Vec2::new(axis.y, -axis.x);
    let light = if light.dot(AWAY) > 0.0 { -light } else { light };
    Seat { at: middle, axis, light, half }
}
