//! Metal: a mirror, so a horizon: ground below it, dark first, and sky above.

use kurbo::{Point, Shape as _, Vec2};

use super::light::AWAY;
use super::relief::{Relief, linear, offset};
use super::ribbon::Ribbon;
use crate::read::region::Region;
use crate::read::shapes::Tone;

/// Tones of the ground, from the horizon down, and of the sky, from the top down.
const GROUND: [(f64, f64); 5] =
    [(0.0, -44.0), (0.16, -30.0), (0.5, 2.0), (0.78, 26.0), (1.0, -6.0)];
const SKY: [(f64, f64); 3] = [(0.0, 40.0), (0.45, 26.0), (1.0, 8.0)];
/// Pieces of ground or sky that get tones of their own; more are left out.
const PIECES: usize = 2;

/// Adds the relief of a plain outline.
pub(super) fn add(r: &mut Relief) {
    let (ground, sky) = (0.6 * r.p.inradius * r.size, 0.3 * r.p.inradius * r.size);
    for piece in largest(r.bared(Vec2::new(0.0, -ground))) {
        let b = piece.outline().bounding_box();
        let (from, to) = (Point::new(0.0, b.y1 - ground), Point::new(0.0, b.y1));
        r.add(piece, linear(from, to, &GROUND.map(|(o, d)| (o, offset(d)))), 1.0);
    }
    for piece in largest(r.bared(Vec2::new(0.0, sky))) {
        let b = piece.outline().bounding_box();
        let (from, to) = (Point::new(0.0, b.y0), Point::new(0.0, b.y0 + sky));
        r.add(piece, linear(from, to, &SKY.map(|(o, d)| (o, offset(d)))), 1.0);
    }
    let edge = [(0.0, 44.0), (0.2, 6.0), (0.4, -22.0), (0.6, 18.0), (0.8, -30.0), (1.0, -40.0)];
    r.edge((0.2 * r.rim).clamp(0.06, 0.2), &edge.map(|(o, d)| (o, offset(d))));
    let glint = Ribbon { light: -AWAY, width: 0.42, least: 0.5, from: 0.3 };
    r.light(r.ribbon(0.42, glint), Tone::Shine, 0.95);
}

fn largest(area: Region) -> Vec<Region> {
    let mut pieces = area.pieces();
    pieces.sort_by(|a, b| b.area().total_cmp(&a.area()));
    let least = pieces.first().map_or(0.0, |p| 0.3 * p.area());
    pieces.retain(|p| p.area() >= least);
    pieces.truncate(PIECES);
    pieces
}
