//! From a polygon back to a smooth outline, in bounded work.
//!
//! The fit is kurbo's: it halves a stretch of outline until a curve follows
//! it closely enough. A stretch that no curve ever follows (a fold of some
//! micrometres, which offsets of sharp inner corners leave) would be halved
//! until the number range ends, in 2^50 pieces. So looks at a stretch are
//! counted, and one that takes too many keeps its edges.

use std::cell::Cell;
use std::ops::Range;

use kurbo::simplify::SimplifyBezPath;
use kurbo::{BezPath, CurveFitSample, ParamCurveFit, PathEl, Point, Vec2, fit_to_bezpath};

use crate::stop;

/// How far a smoothed outline may leave its polygon, mm.
pub(super) const SMOOTHNESS: f64 = 0.004;
/// The tangent of the least angle that is a corner.
const CORNER: f64 = 0.3;
/// Looks that every stretch may take, and those that each of its edges adds:
/// stretches that can be followed take less than two an edge.
const LOOKS: (usize, usize) = (64, 8);

#[cfg(test)]
thread_local! {
    /// Looks and edges of all that this thread has smoothed.
    pub(crate) static WORK: Cell<(usize, usize)> = const { Cell::new((0, 0)) };
}

/// Puts curves in place of the short edges of a closed polygon; its last edge
/// stays as it is.
pub(super) fn smooth(points: &[[f64; 2]]) -> BezPath {
    let mut out = BezPath::new();
    let mut stretch: Vec<Point> = Vec::new();
    for p in points.iter().map(|[x, y]| Point::new(*x, *y)) {
        if stretch.last() == Some(&p) {
            continue;
        }
        if let [.., a, b] = stretch[..]
            && corner(b - a, p - b)
        {
            add(&mut out, &stretch);
            stretch = vec![b];
        }
        stretch.push(p);
    }
    add(&mut out, &stretch);
    out.close_path();
    out
}

fn corner(before: Vec2, after: Vec2) -> bool {
    before.cross(after).abs() > before.dot(after).abs() * CORNER
}

/// Adds a stretch without corners, which begins where the path ends.
fn add(path: &mut BezPath, stretch: &[Point]) {
    let Some(first) = stretch.first() else { return };
    if path.is_empty() {
        path.move_to(*first);
    }
    let edges = stretch.len() - 1;
    let straight = |path: &mut BezPath| stretch[1..].iter().for_each(|p| path.line_to(*p));
    if edges < 2 || stop::asked() {
        return straight(path);
    }
    let line = stretch[1..].iter().map(|p| PathEl::LineTo(*p));
    let fit = Counted {
        of: SimplifyBezPath::new(std::iter::once(PathEl::MoveTo(*first)).chain(line)),
        left: Cell::new(LOOKS.0 + LOOKS.1 * edges),
        #[cfg(test)]
        looks: Cell::new(0),
    };
    let curved = fit_to_bezpath(&fit, SMOOTHNESS);
    #[cfg(test)]
    WORK.set((WORK.get().0 + fit.looks.get(), WORK.get().1 + edges));
    if fit.left.get() == 0 {
        return straight(path);
    }
    path.extend(curved.iter().skip(1));
}

/// A stretch that allows only so many looks at it.
struct Counted {
    of: SimplifyBezPath,
    left: Cell<usize>,
    #[cfg(test)]
    looks: Cell<usize>,
}

impl ParamCurveFit for Counted {
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
        #[cfg(test)]
        self.looks.set(self.looks.get() + 1);
        if self.left.get() == 0 {
            return Some(range.start);
        }
        self.left.set(self.left.get() - 1);
        None
    }
}
