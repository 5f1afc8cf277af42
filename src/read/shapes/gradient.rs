//! Gradients that fade, and bodies filled with a gradient.
//!
//! What is drawn has opaque stops only, so a gradient that fades is mixed with
//! what it lies on: the area is divided by what is below, and each piece gets
//! a gradient of its own that ends in the tone that is seen through it.

use kurbo::{Affine, BezPath, Point, Shape as _};

use crate::graphic::{FillRule, Ramp, Rgb};
use crate::read::Finish;
use crate::read::region::Region;
use crate::work::Work;

use super::drawn::{Drawn, DrawnPaint, DrawnStop};

/// Places along a side at which a gradient is looked at for its mean.
const LOOKS: u32 = 48;
/// Steps between two stops of which both colour and opacity differ.
const STEPS: u32 = 8;
/// An invisible area, mm2.
const NOTHING: f64 = 1e-3;

/// Something that is drawn, as what lies on it sees it.
pub(super) struct Ground {
    area: Region,
    colour: Rgb,
    finishes: Vec<Finish>,
}

impl Ground {
    /// An area in a colour.
    pub fn new(area: Region, colour: Rgb, finishes: Vec<Finish>) -> Ground {
        Ground { area, colour, finishes }
    }
}

/// What an item shows on what lies below, roughly where it is a gradient.
pub(super) fn shown_on(item: &Drawn, below: Rgb) -> Rgb {
    let colour = match &item.paint {
        DrawnPaint::Flat(c) => *c,
        DrawnPaint::Gradient { ramp, transform, stops } => {
            mean(&item.path, *ramp, *transform, stops)
        }
    };
    mix(below, colour, item.opacity)
}

/// Does a paint let through what is below, in places?
pub(super) fn fades(paint: &DrawnPaint) -> bool {
    matches!(paint, DrawnPaint::Gradient { stops, .. } if stops.iter().any(|s| s.opacity < 1.0))
}

/// A gradient that fades as opaque pieces on what it lies on.
pub(super) fn on_ground(
    item: &Drawn,
    finishes: &[Finish],
    grounds: &[Ground],
    work: &Work,
) -> Vec<Drawn> {
    let whole = Region::of(&item.path, item.rule, work);
    let mut rest = whole.clone();
    let mut pieces = Vec::new();
    for ground in grounds.iter().rev() {
        if rest.area() < NOTHING {
            break;
        }
        if !finishes.iter().all(|f| ground.finishes.contains(f)) {
            continue;
        }
        let piece = rest.within(&ground.area);
        if piece.area() < NOTHING {
            continue;
        }
        rest = rest.without(&ground.area);
        pieces.push(piece_of(item, &whole, &piece, ground.colour));
    }
    // Beside all that is drawn it fades into the paper, whatever the colour.
    if rest.area() >= NOTHING {
        let mut piece = piece_of(item, &whole, &rest, Rgb::WHITE);
        piece.words.fixed = true;
        let white = |s: &DrawnStop| s.colour == Rgb::WHITE;
        piece.into_paper =
            matches!(&piece.paint, DrawnPaint::Gradient { stops, .. } if stops.iter().any(white));
        pieces.push(piece);
    }
    // Lower pieces first, though they do not touch: the order is that of the drawing.
    pieces.reverse();
    pieces
}

/// The piece of an item that lies on a colour.
fn piece_of(item: &Drawn, whole: &Region, piece: &Region, ground: Rgb) -> Drawn {
    let paint = match &item.paint {
        DrawnPaint::Gradient { ramp, transform, stops } => DrawnPaint::Gradient {
            ramp: *ramp,
            transform: *transform,
            stops: opaque(stops, item.opacity, ground),
        },
        flat => flat.clone(),
    };
    let all = whole.area() - piece.area() < NOTHING;
    let (path, rule) = match all {
        true => (item.path.clone(), item.rule),
        false => (piece.smooth(), FillRule::NonZero),
    };
    Drawn { path, rule, paint, opacity: 1.0, ..item.clone() }
}

fn opaque(stops: &[DrawnStop], opacity: f64, ground: Rgb) -> Vec<DrawnStop> {
    let mixed = |s: DrawnStop| DrawnStop {
        offset: s.offset,
        colour: mix(ground, s.colour, s.opacity * opacity),
        opacity: 1.0,
    };
    let mut out: Vec<DrawnStop> = stops.first().map(|s| mixed(*s)).into_iter().collect();
    for pair in stops.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let both = a.colour != b.colour && a.opacity != b.opacity && b.offset > a.offset;
        let steps = if both { STEPS } else { 1 };
        out.extend((1..=steps).map(|n| mixed(between(a, b, f64::from(n) / f64::from(steps)))));
    }
    out
}

fn between(a: DrawnStop, b: DrawnStop, t: f64) -> DrawnStop {
    let number = |a: f64, b: f64| a + (b - a) * t;
    DrawnStop {
        offset: number(a.offset, b.offset),
        colour: mix(a.colour, b.colour, t),
        opacity: number(a.opacity, b.opacity),
    }
}

/// A colour over another, in sRGB as SVG mixes.
fn mix(below: Rgb, above: Rgb, opacity: f64) -> Rgb {
    let byte =
        |b: u8, a: u8| (f64::from(b) + (f64::from(a) - f64::from(b)) * opacity).round() as u8;
    Rgb(byte(below.0, above.0), byte(below.1, above.1), byte(below.2, above.2))
}

/// The mean colour that a gradient has inside an outline, in sRGB; where it
/// fades, over white.
pub(super) fn mean(outline: &BezPath, ramp: Ramp, transform: Affine, stops: &[DrawnStop]) -> Rgb {
    let bounds = outline.bounding_box();
    let back = transform.inverse();
    let (mut sum, mut count) = ([0.0; 3], 0.0);
    let at = |n: u32| (f64::from(n) + 0.5) / f64::from(LOOKS);
    for (row, column) in (0..LOOKS).flat_map(|y| (0..LOOKS).map(move |x| (y, x))) {
        let p = Point::new(
            bounds.x0 + bounds.width() * at(column),
            bounds.y0 + bounds.height() * at(row),
        );
        if outline.winding(p) == 0 {
            continue;
        }
        let c = colour(stops, along(ramp, back * p));
        for (sum, v) in sum.iter_mut().zip([c.0, c.1, c.2]) {
            *sum += f64::from(v);
        }
        count += 1.0;
    }
    if count == 0.0 {
        return colour(stops, 0.5);
    }
    let [r, g, b] = sum.map(|s| (s / count).round() as u8);
    Rgb(r, g, b)
}

/// How far along a gradient a point lies, 0 to 1; the focus is taken for the centre.
fn along(ramp: Ramp, p: Point) -> f64 {
    let t = match ramp {
        Ramp::Linear { x1, y1, x2, y2 } => {
            let way = Point::new(x2, y2) - Point::new(x1, y1);
            (p - Point::new(x1, y1)).dot(way) / way.hypot2()
        }
        Ramp::Radial { cx, cy, r, .. } => p.distance(Point::new(cx, cy)) / r,
    };
    if t.is_nan() { 0.0 } else { t.clamp(0.0, 1.0) }
}

fn colour(stops: &[DrawnStop], t: f64) -> Rgb {
    let pair = stops.windows(2).find(|p| t <= p[1].offset);
    let stop = match (pair, stops) {
        (Some([a, b]), _) if t >= a.offset && b.offset > a.offset => {
            between(*a, *b, (t - a.offset) / (b.offset - a.offset))
        }
        (Some([a, _]), _) => *a,
        (_, [.., last]) => *last,
        _ => return Rgb::WHITE,
    };
    mix(Rgb::WHITE, stop.colour, stop.opacity)
}
