//! From the safe SVG text to filled outlines in millimetres.

use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

use kurbo::{Affine, BezPath, PathEl, Point};
use usvg::tiny_skia_path::PathSegment;

use crate::diag::{Diagnostic, Span};
use crate::graphic::{FillRule, Ramp, Rgb};
use crate::read::limits;
use crate::units::css_px_to_mm;

use super::source::{Rewritten, Words};
use super::whole;

/// Coordinates are kept to this fraction of a millimetre: the SVG library
/// counts in single precision, and 9 mm should be 9 mm.
const GRID: f64 = 1e5;

/// A paint as drawn.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum DrawnPaint {
    Flat(Rgb),
    Gradient { ramp: Ramp, transform: Affine, stops: Vec<(f64, Rgb)> },
}

/// One filled outline as drawn, mm.
#[derive(Debug, Clone)]
pub(super) struct Drawn {
    pub path: BezPath,
    pub rule: FillRule,
    pub paint: DrawnPaint,
    pub opacity: f64,
    pub words: Words,
    /// Made from a stroke; then the path itself, should it be an outline.
    pub centre_line: Option<BezPath>,
    pub place: Range<usize>,
}

struct Walk<'a> {
    file: &'a Arc<Path>,
    source: &'a Rewritten,
    items: Vec<Drawn>,
    errors: Vec<Diagnostic>,
    pieces: usize,
}

/// Reads the safe text with the SVG library and collects its filled areas.
pub(super) fn walk(file: &Arc<Path>, source: &Rewritten) -> Result<Vec<Drawn>, Vec<Diagnostic>> {
    let options = usvg::Options {
        image_href_resolver: usvg::ImageHrefResolver {
            resolve_data: Box::new(|_, _, _| None),
            resolve_string: Box::new(|_, _| None),
        },
        ..usvg::Options::default()
    };
    let tree = usvg::Tree::from_str(&source.svg, &options).map_err(|e| {
        vec![whole(file, "shape-broken", format!("The drawing cannot be read: {e}.")).help(
            "Give the drawing a width and a height in mm and a viewBox of the same size, and save \
             it as plain SVG.",
        )]
    })?;
    let mut walk = Walk { file, source, items: Vec::new(), errors: Vec::new(), pieces: 0 };
    walk.group(tree.root(), Affine::scale(css_px_to_mm(1.0)), 1.0, None);
    if walk.errors.is_empty() { Ok(walk.items) } else { Err(walk.errors) }
}

impl Walk<'_> {
    fn push(&mut self, place: &Range<usize>, message: &str, help: &str) {
        let d = Diagnostic::error("shape-unsupported", message)
            .at(Some(Span { file: self.file.clone(), range: place.clone() }))
            .help(help);
        if !self.errors.contains(&d) {
            self.errors.push(d);
        }
    }

    fn group(&mut self, group: &usvg::Group, outer: Affine, opacity: f64, id: Option<&str>) {
        let to_mm = outer * affine(group.transform());
        let opacity = opacity * f64::from(group.opacity().get());
        if group.blend_mode() != usvg::BlendMode::Normal
            || group.mask().is_some()
            || group.clip_path().is_some()
            || !group.filters().is_empty()
        {
            self.push(
                &(0..0),
                "Shape files cannot use clipping, masks, filters or blend modes.",
                "Cut the outlines to shape and give them the greys that they should have.",
            );
            return;
        }
        let known = |id: &str| self.source.words.contains_key(id);
        let own = Some(group.id()).filter(|id| known(id));
        let id = own.or(id);
        for node in group.children() {
            match node {
                usvg::Node::Group(g) => self.group(g, to_mm, opacity, id),
                usvg::Node::Path(p) => {
                    let own = Some(p.id()).filter(|i| self.source.words.contains_key(*i));
                    self.path(p, to_mm, opacity, own.or(id));
                }
                usvg::Node::Image(_) | usvg::Node::Text(_) => self.push(
                    &(0..0),
                    "Shape files cannot use pictures or text.",
                    "Draw the part with outlines.",
                ),
            }
        }
    }

    fn path(&mut self, path: &usvg::Path, to_mm: Affine, opacity: f64, id: Option<&str>) {
        if !path.is_visible() {
            return;
        }
        let (words, place) =
            id.and_then(|id| self.source.words.get(id)).cloned().unwrap_or_default();
        let local = outline(path.data());
        self.pieces += local.elements().len();
        if self.pieces > limits::POINTS.now() {
            self.push(
                &(0..0),
                &format!("The outlines have more than {} points together.", limits::POINTS.now()),
                &format!("{}.", limits::or_raise("Simplify the paths in the drawing program")),
            );
            return;
        }
        let filled = path.fill().and_then(|fill| {
            let paint = self.paint(fill.paint(), to_mm, &place)?;
            let rule = match fill.rule() {
                usvg::FillRule::NonZero => FillRule::NonZero,
                usvg::FillRule::EvenOdd => FillRule::EvenOdd,
            };
            Some(Drawn {
                path: snap(to_mm * local.clone()),
                rule,
                paint,
                opacity: opacity * f64::from(fill.opacity().get()),
                words: words.clone(),
                centre_line: None,
                place: place.clone(),
            })
        });
        let stroked = path.stroke().and_then(|stroke| {
            let paint = self.paint(stroke.paint(), to_mm, &place)?;
            let line = self.stroked(&local, stroke, to_mm, &place)?;
            Some(Drawn {
                path: snap(to_mm * line),
                rule: FillRule::NonZero,
                paint,
                opacity: opacity * f64::from(stroke.opacity().get()),
                words: words.clone(),
                centre_line: Some(snap(to_mm * local.clone())),
                place: place.clone(),
            })
        });
        let mut both = [filled, stroked];
        if path.paint_order() == usvg::PaintOrder::StrokeAndFill {
            both.reverse();
        }
        for drawn in both.into_iter().flatten() {
            // Numbers that overflow make no outline; the library drops most itself.
            if drawn.opacity > 0.0 && finite(&drawn.path) && !drawn.path.elements().is_empty() {
                self.items.push(drawn);
            }
        }
    }

    fn stroked(
        &mut self,
        path: &BezPath,
        stroke: &usvg::Stroke,
        to_mm: Affine,
        place: &Range<usize>,
    ) -> Option<BezPath> {
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
        if let Some(dashes) = stroke.dasharray() {
            let pattern: Vec<f64> = dashes.iter().map(|d| f64::from(*d)).collect();
            let sum: f64 = pattern.iter().sum();
            // A pattern far finer than print would make millions of pieces.
            if sum * scale <= 0.05 || sum.is_nan() {
                self.push(
                    place,
                    "The dashes of a stroke are shorter than 0.05 mm.",
                    "Use longer dashes or a solid stroke.",
                );
                return None;
            }
            style = style.with_dashes(f64::from(stroke.dashoffset()), pattern);
        }
        let tolerance = (0.002 / scale).clamp(1e-6, 1e6);
        Some(kurbo::stroke(path.iter(), &style, &kurbo::StrokeOpts::default(), tolerance))
    }

    fn paint(
        &mut self,
        paint: &usvg::Paint,
        to_mm: Affine,
        place: &Range<usize>,
    ) -> Option<DrawnPaint> {
        let (base, ramp) = match paint {
            usvg::Paint::Color(c) => return Some(DrawnPaint::Flat(rgb(*c))),
            usvg::Paint::LinearGradient(g) => {
                let [x1, y1, x2, y2] = [g.x1(), g.y1(), g.x2(), g.y2()].map(f64::from);
                (&***g, Ramp::Linear { x1, y1, x2, y2 })
            }
            usvg::Paint::RadialGradient(g) => {
                if g.fr().get() > 0.0 {
                    self.push(
                        place,
                        "A radial gradient begins at a circle instead of a point.",
                        "Remove `fr`, or set it to 0.",
                    );
                    return None;
                }
                let [cx, cy, fx, fy] = [g.cx(), g.cy(), g.fx(), g.fy()].map(f64::from);
                (&***g, Ramp::Radial { cx, cy, r: f64::from(g.r().get()), fx, fy })
            }
            usvg::Paint::Pattern(_) => {
                self.push(
                    place,
                    "Shape files cannot use patterns.",
                    "Draw the pieces of the pattern as paths.",
                );
                return None;
            }
        };
        if base.spread_method() != usvg::SpreadMethod::Pad {
            self.push(
                place,
                "A gradient repeats or mirrors itself.",
                "Give it the stops that it should show, and no spread method.",
            );
            return None;
        }
        if base.stops().iter().any(|s| s.opacity().get() < 1.0) {
            self.push(
                place,
                "A gradient has a see-through stop; only opaque stops can be printed alike everywhere.",
                "Let the gradient end in the grey of the body, or give the whole shape an opacity.",
            );
            return None;
        }
        let stops =
            base.stops().iter().map(|s| (f64::from(s.offset().get()), rgb(s.color()))).collect();
        Some(DrawnPaint::Gradient { ramp, transform: to_mm * affine(base.transform()), stops })
    }
}

fn rgb(c: usvg::Color) -> Rgb {
    Rgb(c.red, c.green, c.blue)
}

fn affine(t: usvg::Transform) -> Affine {
    Affine::new([t.sx, t.ky, t.kx, t.sy, t.tx, t.ty].map(f64::from))
}

fn outline(data: &usvg::tiny_skia_path::Path) -> BezPath {
    let p = |p: usvg::tiny_skia_path::Point| Point::new(f64::from(p.x), f64::from(p.y));
    data.segments()
        .map(|s| match s {
            PathSegment::MoveTo(a) => PathEl::MoveTo(p(a)),
            PathSegment::LineTo(a) => PathEl::LineTo(p(a)),
            PathSegment::QuadTo(a, b) => PathEl::QuadTo(p(a), p(b)),
            PathSegment::CubicTo(a, b, c) => PathEl::CurveTo(p(a), p(b), p(c)),
            PathSegment::Close => PathEl::ClosePath,
        })
        .collect()
}

/// To the grid that true sizes keep to.
fn snap(path: BezPath) -> BezPath {
    let p = |p: Point| Point::new((p.x * GRID).round() / GRID, (p.y * GRID).round() / GRID);
    path.iter()
        .map(|e| match e {
            PathEl::MoveTo(a) => PathEl::MoveTo(p(a)),
            PathEl::LineTo(a) => PathEl::LineTo(p(a)),
            PathEl::QuadTo(a, b) => PathEl::QuadTo(p(a), p(b)),
            PathEl::CurveTo(a, b, c) => PathEl::CurveTo(p(a), p(b), p(c)),
            PathEl::ClosePath => PathEl::ClosePath,
        })
        .collect()
}

fn finite(path: &BezPath) -> bool {
    let b = path.control_box();
    path.is_finite() && [b.x0, b.y0, b.x1, b.y1].iter().all(|v| v.abs() < 1e6)
}
