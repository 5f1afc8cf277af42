//! Paints and strokes of the SVG library in our own terms.

use std::ops::Range;

use kurbo::{Affine, BezPath};

use crate::graphic::{Ramp, Rgb};

use super::drawn::{DrawnPaint, DrawnStop};
use super::outline::affine;
use super::refused::Refused;
use super::shape::LARGEST;

/// A paint in millimetres.
pub(super) fn paint(
    paint: &usvg::Paint,
    to_mm: Affine,
    place: &Range<usize>,
) -> Result<DrawnPaint, Refused> {
    let refuse = |what: &str, instead: &'static str| {
        Err(Refused { what: what.to_owned(), instead, place: place.clone() })
    };
    let (base, ramp) = match paint {
        usvg::Paint::Color(c) => return Ok(DrawnPaint::Flat(rgb(*c))),
        usvg::Paint::LinearGradient(g) => {
            let [x1, y1, x2, y2] = [g.x1(), g.y1(), g.x2(), g.y2()].map(f64::from);
            (&***g, Ramp::Linear { x1, y1, x2, y2 })
        }
        usvg::Paint::RadialGradient(g) => {
            if g.fr().get() > 0.0 {
                return refuse(
                    "radial gradients that start at a circle",
                    "start the gradient at a point: remove 'fr', or set it to 0",
                );
            }
            let [cx, cy, fx, fy] = [g.cx(), g.cy(), g.fx(), g.fy()].map(f64::from);
            (&***g, Ramp::Radial { cx, cy, r: f64::from(g.r().get()), fx, fy })
        }
        usvg::Paint::Pattern(_) => return Err(Refused::kind("pattern", place.clone())),
    };
    if base.spread_method() != usvg::SpreadMethod::Pad {
        return refuse(
            "repeating or reflected gradients",
            "give the gradient all its stops, and set its repeat to none",
        );
    }
    let stop = |s: &usvg::Stop| DrawnStop {
        offset: f64::from(s.offset().get()),
        colour: rgb(s.color()),
        opacity: f64::from(s.opacity().get()),
    };
    let stops = base.stops().iter().map(stop).collect();
    Ok(DrawnPaint::Gradient { ramp, transform: to_mm * affine(base.transform()), stops })
}

/// A stroke wider than this would cover any part, mm.
const WIDEST: f64 = 2.0 * LARGEST;

/// The area of a stroke, in the coordinates of its path.
pub(super) fn line(
    path: &BezPath,
    stroke: &usvg::Stroke,
    to_mm: Affine,
    place: &Range<usize>,
) -> Result<BezPath, Refused> {
    let cap = match stroke.linecap() {
        usvg::LineCap::Butt => kurbo::Cap::Butt,
        usvg::LineCap::Round => kurbo::Cap::Round,
        usvg::LineCap::Square => kurbo::Cap::Square,
    };
    let join = match stroke.linejoin() {
        usvg::LineJoin::Miter | usvg::LineJoin::MiterClip => kurbo::Join::Miter,
        usvg::LineJoin::Round => kurbo::Join::Round,
        usvg::LineJoin::Bevel => kurbo::Join::Bevel,
    };
    let mut style = kurbo::Stroke::new(f64::from(stroke.width().get()))
        .with_caps(cap)
        .with_join(join)
        .with_miter_limit(f64::from(stroke.miterlimit().get()));
    let scale = to_mm.determinant().abs().sqrt().max(1e-9);
    // Round joins are kept to the same fraction of a millimetre however wide they are.
    if f64::from(stroke.width().get()) * scale > WIDEST {
        return Err(Refused {
            what: format!("strokes wider than {WIDEST:.0} mm"),
            instead: "use a thinner stroke, or draw the area",
            place: place.clone(),
        });
    }
    if let Some(dashes) = stroke.dasharray() {
        let pattern: Vec<f64> = dashes.iter().map(|d| f64::from(*d)).collect();
        let sum: f64 = pattern.iter().sum();
        // A pattern far finer than print would make millions of pieces.
        if sum * scale <= 0.05 || sum.is_nan() {
            return Err(Refused {
                what: "strokes with dashes shorter than 0.05 mm".to_owned(),
                instead: "use longer dashes or a solid stroke",
                place: place.clone(),
            });
        }
        style = style.with_dashes(f64::from(stroke.dashoffset()), pattern);
    }
    let tolerance = (0.002 / scale).clamp(1e-6, 1e6);
    Ok(kurbo::stroke(path.iter(), &style, &kurbo::StrokeOpts::default(), tolerance))
}

pub(super) fn rgb(c: usvg::Color) -> Rgb {
    Rgb(c.red, c.green, c.blue)
}
