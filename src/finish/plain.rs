//! Light and shade for a plain outline: what is measured of it, and what lies on what.

use kurbo::{Point, Rect, Vec2};

use crate::read::Finish;
use crate::read::region::Region;
use crate::read::shapes::{LayerRole, Shape, ShapeLayer, Tone, TonePaint};

use super::light::AWAY;

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
    pub body: ShapeLayer,
    /// The body with its small openings filled.
    pub solid: Region,
    pub holes: Vec<Region>,
    /// What the drawing shows below and upon the body, in tones of its own.
    pub details: [Vec<ShapeLayer>; 2],
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
    pub wanted: f64,
    /// Each inset of it takes long.
    pub heavy: bool,
}

/// Share of the part that stays flat.
const FLAT: f64 = 0.47;
/// Where the drawing's own details leave less than that, the share of what they leave.
const FLAT_OF_REST: f64 = 0.8;
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
