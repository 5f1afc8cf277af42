//! Holes of a plain outline: a wall in the shade, a lip in the light, the paper below.

use kurbo::Vec2;

use crate::read::Finish;
use crate::read::region::Region;
use crate::read::shapes::{LayerRole, Tone, TonePaint};

use super::light::AWAY;
use super::relief::{Piece, offset};
use super::tone::rgb;

/// The layers of all holes, from the bottom up.
pub(super) fn pieces(holes: &[Region], finish: Finish) -> Vec<Piece> {
    let Some(first) = holes.first() else { return Vec::new() };
    let r = first.inradius();
    let join = |f: &dyn Fn(&Region) -> Region| {
        holes.iter().fold(Region::default(), |all, h| all.and(&f(h)))
    };
    match finish {
        Finish::Clear | Finish::Flecked => seen_through(r, &join),
        _ => solid(r, &join),
    }
}

type Join<'j> = dyn Fn(&dyn Fn(&Region) -> Region) -> Region + 'j;

/// The far mouth shows beside the near one.
fn seen_through(r: f64, join: &Join) -> Vec<Piece> {
    let lip = (0.24 * r).min(0.2);
    let far = Vec2::new(0.16, 0.24) * (r / 0.7).min(1.3);
    let light = |h: &Region| {
        let far = h.moved(far);
        far.without(&far.moved(-AWAY * (0.7 * lip))).without(h)
    };
    let inside = |h: &Region| h.grown(-0.1 * r).moved(AWAY * (0.1 * r)).within(h);
    vec![
        hole(join(&|h| h.moved(far).without(h)), offset(-11.0), 0.75),
        hole(join(&light), offset(22.0), 0.9),
        hole(join(&Region::clone), offset(-22.0), 1.0),
        hole(join(&inside), offset(30.0), 1.0),
    ]
}

fn solid(r: f64, join: &Join) -> Vec<Piece> {
    let lip = (0.24 * r).min(0.2);
    let lit = |h: &Region| h.grown(lip).without(h).without(&h.grown(lip).moved(-AWAY * lip));
    let floor = |k: f64| join(&|h: &Region| h.moved(AWAY * (k * r)).within(h).grown(-0.03 * r));
    let paper = |l: f64| Tone::Fixed(rgb(l, 0.0, 1.2));
    vec![
        hole(join(&lit), offset(24.0), 0.9),
        hole(join(&Region::clone), offset(-34.0), 1.0),
        hole(floor(0.34), paper(70.0), 1.0),
        hole(floor(0.58), paper(86.0), 1.0),
    ]
}

fn hole(area: Region, tone: Tone, opacity: f64) -> Piece {
    Piece { area, paint: TonePaint::Flat(tone), opacity, role: LayerRole::Hole }
}
