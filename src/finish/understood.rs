//! What was understood of a drawing, for whoever drew it.

use kurbo::Shape as _;

use crate::graphic::Rgb;
use crate::read::Finish;
use crate::read::region::Region;
use crate::read::shapes::{BodyFrom, LayerRole, Shape};
use crate::work::Work;

use super::{Drawer, flat};

/// The least share of a part that should show its colour's exact value.
pub const LEAST_FLAT: f64 = 0.4;
/// A colour in the middle of all: whatever differs from it is seen.
const TRIAL: Rgb = Rgb(0x8a, 0x5c, 0x4e);
/// A piece outside the body that is worth a word: this share of the body's area.
const OUTSIDE: f64 = 0.02;

/// What was understood of a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Understood {
    /// The body's size, mm.
    pub width: f64,
    pub height: f64,
    /// What was taken for the body.
    pub body: BodyFrom,
    /// Openings: cut out of the body, or marked `hole`.
    pub holes: usize,
    /// Light, shade and detail: layers that are neither body nor hole.
    pub layers: usize,
    /// They are drawn as they are; else the finish adds a rim, lights and shades.
    pub own_shading: bool,
    /// The least share of the body, 0 to 1, that shows the exact colour, and
    /// the finish in which it is.
    pub flat: f64,
    pub flat_in: Finish,
    /// The body is drawn in a colour, so only lightness counts.
    pub coloured: bool,
    /// The body's gradient was replaced by its mean.
    pub mean_of_gradient: bool,
    /// Area that is drawn outside the body, as a share of the body's.
    pub outside: f64,
}

/// Looks at a shape as it is drawn in some finishes; none is all of them.
pub fn understood(shape: &Shape, finishes: &[Finish], work: &Work) -> Understood {
    let drawer = Drawer::new(shape, work);
    let all = Finish::ALL;
    let finishes = if finishes.is_empty() { &all[..] } else { finishes };
    let shares =
        finishes.iter().map(|f| (flat::share(shape, &drawer.draw(TRIAL, *f, 1), TRIAL), *f));
    let (flat, flat_in) =
        shares.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((1.0, Finish::Opaque));
    let body = Region::of(&shape.outline, shape.rule, work);
    let outside = {
        let relief = shape.layers.iter().filter(|l| l.role == LayerRole::Relief);
        let out = |l: &crate::read::shapes::ShapeLayer| {
            let b = l.path.bounding_box();
            b.union(shape.bounds.inflate(0.02, 0.02)) != shape.bounds.inflate(0.02, 0.02)
        };
        let drawn = relief
            .filter(|l| out(l))
            .fold(Region::default(), |all, l| all.and(&Region::of(&l.path, l.rule, work)));
        let area = body.area().max(1e-9);
        let share = drawn.without(&body).area() / area;
        if share >= OUTSIDE { share } else { 0.0 }
    };
    let relief = shape.layers.iter().filter(|l| l.role == LayerRole::Relief).count();
    Understood {
        width: shape.bounds.width(),
        height: shape.bounds.height(),
        body: shape.reading.body,
        holes: body.openings().len() + marked_holes(shape, &body),
        layers: relief,
        own_shading: shape.own_shading,
        flat,
        flat_in,
        coloured: shape.reading.coloured,
        mean_of_gradient: shape.reading.mean_of_gradient,
        outside,
    }
}

/// Openings that are drawn as layers: of a finish that has most, pieces that do not touch.
fn marked_holes(shape: &Shape, body: &Region) -> usize {
    let work = &body.work();
    let of = |finish: Finish| {
        let holes = shape
            .layers
            .iter()
            .filter(|l| l.role == LayerRole::Hole && l.finishes.contains(&finish));
        let all =
            holes.fold(Region::default(), |all, l| all.and(&Region::of(&l.path, l.rule, work)));
        // A hole may be drawn around an opening that is cut out already.
        let openings = body.openings();
        let cut = |piece: &Region| openings.iter().any(|o| !o.within(piece).is_empty());
        all.pieces().iter().filter(|p| !cut(p)).count()
    };
    Finish::ALL.into_iter().map(of).max().unwrap_or(0)
}

impl Understood {
    /// `9 x 9 mm`: the size as it is printed, to a hundredth.
    pub fn size(&self) -> String {
        let mm = |v: f64| {
            let v = (v * 100.0).round() / 100.0;
            format!("{v}")
        };
        format!("{} x {} mm", mm(self.width), mm(self.height))
    }

    /// A line of words: size, body, holes, shading and the flat share.
    pub fn line(&self) -> String {
        let body = match self.body {
            BodyFrom::Marked => "the outline marked 'body'",
            BodyFrom::Largest => "the largest filled outline",
            BodyFrom::Lines => "the largest closed line, to the outer edge of its stroke",
        };
        let holes = counted(self.holes, "hole", "holes", "no holes");
        let layers = match self.own_shading {
            true => counted(self.layers, "shading layer", "shading layers", ""),
            false => counted(self.layers, "detail layer", "detail layers", "no shading"),
        };
        let flat = (self.flat * 100.0).floor();
        format!("{}, body: {body}, {holes}, {layers}, {flat:.0} % flat", self.size())
    }
}

fn counted(n: usize, one: &str, more: &str, none: &str) -> String {
    match n {
        0 => none.to_owned(),
        1 => format!("1 {one}"),
        n => format!("{n} {more}"),
    }
}
