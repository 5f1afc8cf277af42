//! Outlines of the SVG library as ours.

use kurbo::{Affine, BezPath, PathEl, Point};
use usvg::tiny_skia_path::PathSegment;

use crate::graphic::FillRule;

/// Coordinates are kept to this fraction of a millimetre: the SVG library
/// counts in single precision, and 9 mm should be 9 mm.
const GRID: f64 = 1e5;

pub(super) fn rule(rule: usvg::FillRule) -> FillRule {
    match rule {
        usvg::FillRule::NonZero => FillRule::NonZero,
        usvg::FillRule::EvenOdd => FillRule::EvenOdd,
    }
}

pub(super) fn affine(t: usvg::Transform) -> Affine {
    Affine::new([t.sx, t.ky, t.kx, t.sy, t.tx, t.ty].map(f64::from))
}

pub(super) fn outline(data: &usvg::tiny_skia_path::Path) -> BezPath {
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
/// Coordinates on the grid.
pub(super) fn snap(path: BezPath) -> BezPath {
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

pub(super) fn finite(path: &BezPath) -> bool {
    let b = path.control_box();
    path.is_finite() && [b.x0, b.y0, b.x1, b.y1].iter().all(|v| v.abs() < 1e6)
}
