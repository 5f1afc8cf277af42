//! From a polygon back to a smooth outline, in bounded work.
//!
//! The fit is kurbo's: it halves a stretch of outline until a curve follows
//! it closely enough. Folds of some micrometres, which offsets of sharp inner
//! corners leave, are what it does not handle well: it tries curves with handles of
//! thousands of kilometres on them, and measures their length to a nanometre,
//! which takes for ever. So a stretch that turns or folds too far for one
//! curve, or so sharply that lengths would be measured, is halved without a
//! trial, and one that is straight becomes a line. Looks at a stretch are
//! counted besides, and one that takes too many keeps its edges.

use std::cell::Cell;
use std::ops::Range;

use kurbo::simplify::SimplifyBezPath;
use kurbo::{BezPath, CurveFitSample, ParamCurveFit, PathEl, Point, Vec2, fit_to_bezpath};

use crate::work::{self, Work};

/// How far a smoothed outline may leave its polygon, mm.
pub(super) const SMOOTHNESS: f64 = 0.004;
/// The tangent of the least angle that is a corner, and of the one between two of the places at which the fit looks
/// from which on it would measure lengths.
const CORNER: f64 = 0.2;
/// A stretch that leaves its chord by less than this is straight, mm.
const STRAIGHT: f64 = 1e-4;
/// Times its chord that a stretch may be long for one curve to follow it.
const MOST_LENGTH: f64 = 8.0;
/// A stretch that turns by more than this is not followed by one curve: nearly
/// half a circle, and a turn back.
const MOST_TURN: f64 = 3.0;
/// Looks that every stretch may take, and those that each of its edges adds:
/// stretches that can be followed take less than two an edge.
const LOOKS: (usize, usize) = (64, 8);

/// Puts curves in place of the short edges of a closed polygon; its last edge
/// stays as it is.
pub(super) fn smooth(points: &[[f64; 2]], work: &Work) -> BezPath {
    let mut out = BezPath::new();
    let mut stretch: Vec<Point> = Vec::new();
    for p in points.iter().map(|[x, y]| Point::new(*x, *y)) {
        if stretch.last() == Some(&p) {
            continue;
        }
        if let [.., a, b] = stretch[..]
            && corner(b - a, p - b)
        {
            add(&mut out, &stretch, work);
            stretch = vec![b];
        }
        stretch.push(p);
    }
    add(&mut out, &stretch, work);
    out.close_path();
    out
}

fn corner(before: Vec2, after: Vec2) -> bool {
    before.cross(after).abs() > before.dot(after).abs() * CORNER
}

/// What a range of a stretch is to a curve.
#[derive(Debug, PartialEq)]
enum CornerKind {
    /// One curve may follow it.
    Bend,
    /// It leaves its chord by less than STRAIGHT, with turns in between.
    Line,
    /// It turns by about half a circle, comes back to where it began, or turns sharply.
    Fold,
}

/// Adds a stretch without corners, which begins where the path ends.
fn add(path: &mut BezPath, stretch: &[Point], work: &Work) {
    let Some(first) = stretch.first() else { return };
    if path.is_empty() {
        path.move_to(*first);
    }
    let edges = stretch.len() - 1;
    let straight = |path: &mut BezPath| stretch[1..].iter().for_each(|p| path.line_to(*p));
    if edges < 2 || work.is_stopped() {
        return straight(path);
    }
    work.add(work::WorkKind::Smoothed, edges as u64);
    let line = stretch[1..].iter().map(|p| PathEl::LineTo(*p));
    let fit = Counted {
        of: SimplifyBezPath::new(std::iter::once(PathEl::MoveTo(*first)).chain(line)),
        points: stretch,
        work,
        left: Cell::new(LOOKS.0 + LOOKS.1 * edges),
    };
    let curved = fit_to_bezpath(&fit, SMOOTHNESS);
    if fit.left.get() == 0 {
        return straight(path);
    }
    path.extend(curved.iter().skip(1));
}

/// A stretch that allows only so many looks at it.
struct Counted<'p> {
    of: SimplifyBezPath,
    points: &'p [Point],
    work: &'p Work,
    left: Cell<usize>,
}

impl Counted<'_> {
    fn kind(&self, range: &Range<f64>) -> CornerKind {
        let edges = (self.points.len() - 1) as f64;
        let (first, last) = ((range.start * edges).floor(), (range.end * edges).ceil());
        let inner = first as usize + 1..(last as usize).max(first as usize + 1);
        let broken = !inner.is_empty();
        let ends = [range.start, range.end].map(|t| self.of.sample_pt_deriv(t).0);
        let points =
            std::iter::once(&ends[0]).chain(&self.points[inner]).chain(std::iter::once(&ends[1]));
        let chord = ends[1] - ends[0];
        let (mut length, mut turn, mut off) = (0.0, 0.0, 0.0_f64);
        let mut before: Option<(Point, Option<Vec2>)> = None;
        for p in points {
            off = off.max(chord.cross(*p - ends[0]).abs());
            let mut way = None;
            if let Some((from, earlier)) = before {
                let step = *p - from;
                length += step.hypot();
                way = if step.hypot2() > 0.0 { Some(step) } else { earlier };
                if let (Some(a), Some(b)) = (earlier, way) {
                    turn += a.cross(b).atan2(a.dot(b)).abs();
                }
            }
            before = Some((*p, way));
        }
        match chord.hypot() {
            far if far * MOST_LENGTH < length || turn > MOST_TURN => CornerKind::Fold,
            far if broken && self.sharp(range) => match off < STRAIGHT * far {
                true => CornerKind::Line,
                false => CornerKind::Fold,
            },
            _ => CornerKind::Bend,
        }
    }

    /// Does it turn so much between two of the places at which the fit looks
    /// that the fit measures lengths?
    fn sharp(&self, range: &Range<f64>) -> bool {
        let step = (range.end - range.start) / 21.0;
        let way =
            |n: u32| self.of.sample_pt_tangent(range.start + f64::from(n) * step, 1.0).tangent;
        (0..21).any(|n| corner(way(n), way(n + 1)))
    }
}

impl ParamCurveFit for Counted<'_> {
    fn sample_pt_tangent(&self, t: f64, sign: f64) -> CurveFitSample {
        self.of.sample_pt_tangent(t, sign)
    }

    fn sample_pt_deriv(&self, t: f64) -> (Point, Vec2) {
        self.of.sample_pt_deriv(t)
    }

    fn moment_integrals(&self, range: Range<f64>) -> (f64, f64, f64) {
        self.of.moment_integrals(range)
    }

    /// Asked once for each stretch that is looked at. A break at the start of
    /// a stretch makes the fit end it with a line instead of halving it.
    fn break_cusp(&self, range: Range<f64>) -> Option<f64> {
        self.work.add(work::WorkKind::Fits, 1);
        if self.left.get() == 0 {
            return Some(range.start);
        }
        self.left.set(self.left.get() - 1);
        match self.kind(&range) {
            CornerKind::Bend => None,
            CornerKind::Line => Some(range.start),
            CornerKind::Fold => Some(0.5 * (range.start + range.end)),
        }
    }
}
