//! The outline of what lies on a place.

use crate::capture::cut::contour::contours;
use crate::capture::cut::eye::Eye;
use crate::capture::cut::patch::Patch;
use crate::capture::cut::raster::{area, coverage};
use crate::capture::cut::refine::{Edge, refine, smooth};
use crate::capture::cut::segment::{Hints, Segment, segment};
use crate::capture::cut::{Fault, Outline, Point, Polygon};

/// The smallest hole, in square millimetres.
const LEAST_HOLE: f64 = 0.3;
/// How sharp a hole's edge must be, in shares of the outer edge's sharpness: a reflection fades.
const SHARP: f64 = 0.78;
/// How much lighter than the part's face it may be beside a hole: a reflection has a glow around it.
const GLOW: f64 = 1.35;

/// What was traced, in pixels of its patch.
#[derive(Debug, Clone)]
pub struct Traced {
    /// All that is seen of the part: its face and the side that shows.
    pub whole: Outline,
    /// The share of its edge that was found.
    pub found: f64,
    /// Part and ground.
    pub segment: Segment,
}

/// Traces what lies on a patch. `expected` is where the part should be, in pixels, empty where nothing is known;
/// `boxed` says that it is only a box around the part.
///
/// # Errors
/// Where nothing is found, or what is found reaches the edge.
pub fn trace(patch: &Patch, expected: &Outline, boxed: bool) -> Result<Traced, Fault> {
    let found = traced(patch, expected, boxed);
    // A part of a shape that its box's middle does not show is looked for as if nothing were known.
    if boxed && found.is_err() { traced(patch, &Outline::new(), false) } else { found }
}

fn traced(patch: &Patch, expected: &Outline, boxed: bool) -> Result<Traced, Fault> {
    let segment = segment(patch, &Hints { expected, boxed, rim: 1 })?;
    let size = (patch.width, patch.height);
    let found = contours(&segment.field, size, 0.0);
    let outer = outermost(&found).ok_or(Fault::NothingFound)?;
    if reaches(outer, size) {
        return Err(Fault::ReachesEdge);
    }
    let (whole, found) = with_holes(patch, &found, (outer, segment.part[1]));
    Ok(Traced { whole, found, segment })
}

fn sign(ring: &[Point]) -> f64 {
    // Contours run with what is over the level on their right as seen with y downwards.
    -area(ring)
}

fn outermost(found: &Outline) -> Option<&Polygon> {
    found.iter().filter(|r| sign(r) > 0.0).max_by(|a, b| sign(a).total_cmp(&sign(b)))
}

fn reaches(ring: &[Point], size: (usize, usize)) -> bool {
    let low = 2.5;
    let (wide, high) = (size.0 as f64 - low, size.1 as f64 - low);
    let out = ring.iter().filter(|p| p.0 < low || p.1 < low || p.0 > wide || p.1 > high).count();
    out * 50 > ring.len()
}

/// An outer ring on its edge, and the holes in it.
fn with_holes(patch: &Patch, found: &Outline, of: (&Polygon, f64)) -> (Outline, f64) {
    let (outer, light) = of;
    let least = 2.0 * LEAST_HOLE / (patch.step * patch.step);
    let edge = refine(patch, outer);
    let (share, sharp) = (edge.found, edge.sharp.clamp(0.3, 0.95));
    let mut whole = vec![edge.ring];
    for ring in found.iter().filter(|r| sign(r) < -0.8 * least) {
        let inside = ring.first().is_some_and(|p| holds(outer, *p));
        if !inside {
            continue;
        }
        let hole = refine(patch, ring);
        if real(&hole, sharp, light) && area(&hole.ring).abs() > least {
            whole.push(hole.ring);
        }
    }
    (whole, share)
}

fn real(hole: &Edge, sharp: f64, light: f64) -> bool {
    let glows = hole.beside > GLOW * light + 0.02;
    hole.found > 0.6 && hole.sharp > SHARP * sharp && !glows
}

/// Whether a point lies in a ring.
pub fn holds(ring: &[Point], p: Point) -> bool {
    let crossed = crate::capture::cut::raster::edges(ring).filter(|(a, b)| {
        (a.1 <= p.1) != (b.1 <= p.1) && p.0 < a.0 + (p.1 - a.1) / (b.1 - a.1) * (b.0 - a.0)
    });
    crossed.count() % 2 == 1
}

/// Takes the part's side off: a point belongs to the face if it, and the point of the page under
/// it, are both seen as part. Exact for convex outlines.
pub fn face(patch: &Patch, whole: &Outline, eye: &Eye, height: f64) -> Outline {
    let size = (patch.width, patch.height);
    let middle = patch.to_page((size.0 as f64 / 2.0, size.1 as f64 / 2.0));
    let down = eye.down(middle, height);
    if down.0.hypot(down.1) < 0.25 * patch.step {
        return whole.clone();
    }
    let covered = coverage(whole, size);
    let at = |p: Point| {
        let (x, fx) = crate::capture::cut::patch::cell(p.0, size.0);
        let (y, fy) = crate::capture::cut::patch::cell(p.1, size.1);
        let get = |x: usize, y: usize| covered.get(y * size.0 + x).copied().unwrap_or(0.0);
        let (fx, fy) = (fx as f32, fy as f32);
        let over = get(x, y) * (1.0 - fx) + get(x + 1, y) * fx;
        let under = get(x, y + 1) * (1.0 - fx) + get(x + 1, y + 1) * fx;
        over * (1.0 - fy) + under * fy
    };
    let mut both = covered.clone();
    for (i, v) in both.iter_mut().enumerate().filter(|(_, v)| **v > 0.0) {
        let p = ((i % size.0) as f64 + 0.5, (i / size.0) as f64 + 0.5);
        let down = eye.down(patch.to_page(p), height);
        *v = v.min(at((p.0 + down.0 / patch.step, p.1 + down.1 / patch.step)));
    }
    let found = contours(&both, size, 0.5);
    let Some(outer) = outermost(&found) else { return whole.clone() };
    let least = LEAST_HOLE / (patch.step * patch.step);
    let holes =
        found.iter().filter(|r| sign(r) < -least && r.first().is_some_and(|p| holds(outer, *p)));
    std::iter::once(outer).chain(holes).map(|r| smooth(r, 6)).collect()
}
