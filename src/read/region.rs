//! Areas as polygons: offsets, differences, and back to smooth outlines.

mod contour;
pub(crate) mod smooth;
mod widest;

use i_overlay::core::fill_rule::FillRule as OverlayFill;
use i_overlay::core::overlay::{IntOverlayOptions, Overlay};
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::core::solver::Solver;
use i_overlay::i_float::int::angle::Angle;
use i_overlay::i_float::int::point::IntPoint;
use i_overlay::mesh::int::arc::ArcOptions;
use i_overlay::mesh::int::outline::offset::IntOutlineOffset;
use i_overlay::mesh::int::style::{IntLineJoin, IntOutlineStyle};
use kurbo::{BezPath, Line, ParamCurveNearest as _, PathEl, Point, Shape as _, Vec2};

use crate::graphic::FillRule;
use crate::work::{Work, WorkKind};
use contour::Contour;
use smooth::SMOOTHNESS;

/// How far a polygon may leave the curve that it stands for, mm.
const FLATNESS: f64 = 0.002;

/// Contours shorter than this, mm, keep their edges.
const LEAST_SMOOTHED: f64 = 4.0;
/// Polygons with more corners stay as they are: fitting would take seconds.
const SMOOTHED: usize = 2000;

/// Outlines with more corners than this are offset in steps, which end at these shares of the distance.
const MANY: usize = 1000;
const SHARES: [f64; 4] = [0.05, 0.15, 0.4, 1.0];
/// Between steps, a corner this near to the line between its neighbours is left out, mm.
const THIN: f64 = FLATNESS / 4.0;

/// Every corner is on one grid of so many places a millimetre. Else each operation would have a grid of its own,
/// edges that were one would part by some nanometres, and thousands of slivers between them would come of it.
const GRID: f64 = 524_288.0;
/// How far from the origin corners may be, mm: farther ones are drawn in.
const FARTHEST: f64 = 2000.0;
/// What is smaller comes of rounding, mm².
const LEAST_AREA: f64 = 1e-4;

type OnGrid = Vec<Vec<IntPoint<i32>>>;

/// An area of the plane, mm.
#[derive(Debug, Clone, Default)]
pub struct Region {
    shapes: Vec<Vec<Contour>>,
    /// What it was made for, and all that is made of it; none of nothing.
    work: Option<Work>,
}

impl Region {
    /// The inside of a path.
    pub fn of(path: &BezPath, rule: FillRule, work: &Work) -> Region {
        let mut contours: Vec<Contour> = Vec::new();
        kurbo::flatten(path.iter(), FLATNESS, |e| match e {
            PathEl::MoveTo(p) => contours.push(vec![[p.x, p.y]]),
            PathEl::LineTo(p) => {
                if let Some(c) = contours.last_mut() {
                    c.push([p.x, p.y]);
                }
            }
            _ => {}
        });
        contours.retain(|c| c.len() > 2);
        let fill = match rule {
            FillRule::NonZero => OverlayFill::NonZero,
            FillRule::EvenOdd => OverlayFill::EvenOdd,
        };
        let into = contours.iter().map(Vec::len).sum();
        let of = contours.iter().map(|c| on_grid(c)).collect();
        let shapes = overlaid(&of, &OnGrid::new(), OverlayRule::Subject, fill);
        Region { shapes, work: Some(work.clone()) }.noted(into)
    }

    /// Another area for the same work.
    fn with_shapes(&self, shapes: Vec<Vec<Contour>>) -> Region {
        Region { shapes, work: self.work.clone() }
    }

    /// What it was made for.
    pub fn work(&self) -> Work {
        self.work.clone().unwrap_or_default()
    }

    /// Grown by a distance, or shrunk where it is negative; corners are rounded.
    pub fn grown(&self, by: f64) -> Region {
        if by == 0.0 || self.is_empty() {
            return self.clone();
        }
        if self.corners() <= MANY {
            return self.grown_at_once(by);
        }
        // Edges close to each other cross many others once they are offset far: a small step first does away with
        // most of them.
        let mut grown = self.clone();
        let mut before = 0.0;
        for share in SHARES {
            grown = grown.grown_at_once(by * (share - before)).thinned();
            before = share;
        }
        grown
    }

    /// Without invisible corners: every step would double them.
    fn thinned(mut self) -> Region {
        for contour in self.shapes.iter_mut().flatten() {
            let mut kept: Contour = Vec::with_capacity(contour.len());
            for (n, &[x, y]) in contour.iter().enumerate() {
                let next = contour[(n + 1) % contour.len()];
                if let Some(last) = kept.last() {
                    let chord = Line::new((last[0], last[1]), (next[0], next[1]));
                    if chord.nearest(Point::new(x, y), 1e-6).distance_sq < THIN * THIN {
                        continue;
                    }
                }
                kept.push([x, y]);
            }
            if kept.len() > 2 {
                *contour = kept;
            }
        }
        self
    }

    fn grown_at_once(&self, by: f64) -> Region {
        // The step along an arc, as a share of its radius, that keeps FLATNESS.
        let step = (8.0 * FLATNESS / by.abs()).sqrt().clamp(0.05, 0.6);
        let arc = ArcOptions {
            max_step: Angle::from_radians(step).unwrap_or(ArcOptions::MAX_STEP),
            ..ArcOptions::default()
        };
        let join = IntLineJoin::Round(arc);
        let style = IntOutlineStyle::new((by * GRID).round() as i32).line_join(join);
        // Without its checks, which would only repeat ours, the library has no error.
        let shapes = self.all_on_grid().outline_custom(&style, options()).unwrap_or_default();
        self.with_shapes(back(shapes)).noted(self.corners())
    }

    /// Shrunk by each of these distances, which grow: one after the other, since shrinking twice is shrinking by
    /// the sum.
    pub fn shrunk(&self, by: &[f64]) -> Vec<Region> {
        let mut out: Vec<Region> = Vec::with_capacity(by.len());
        let mut before = 0.0;
        for by in by {
            let next = out.last().unwrap_or(self).grown(before - by);
            out.push(next);
            before = *by;
        }
        out
    }

    /// Moved by a vector.
    pub fn moved(&self, by: Vec2) -> Region {
        let mut moved = self.clone();
        for p in moved.shapes.iter_mut().flatten().flatten() {
            p[0] += (by.x * GRID).round() / GRID;
            p[1] += (by.y * GRID).round() / GRID;
        }
        moved
    }

    /// What is in this and not in the other.
    pub fn without(&self, other: &Region) -> Region {
        self.with(other, OverlayRule::Difference)
    }

    /// What is in both.
    pub fn within(&self, other: &Region) -> Region {
        self.with(other, OverlayRule::Intersect)
    }

    /// What is in either.
    pub fn and(&self, other: &Region) -> Region {
        self.with(other, OverlayRule::Union)
    }

    fn with(&self, other: &Region, rule: OverlayRule) -> Region {
        let into = self.corners() + other.corners();
        let (this, that) = (self.all_on_grid(), other.all_on_grid());
        let shapes = overlaid(&this, &that, rule, OverlayFill::NonZero);
        Region { shapes, work: self.work.as_ref().or(other.work.as_ref()).cloned() }.noted(into)
    }

    fn all_on_grid(&self) -> OnGrid {
        self.shapes.iter().flatten().map(|c| on_grid(c)).collect()
    }

    /// Corners of all its contours.
    pub fn corners(&self) -> usize {
        self.shapes.iter().flatten().map(Vec::len).sum()
    }

    /// Notes what was made of so many corners.
    fn noted(self, into: usize) -> Region {
        if let Some(work) = &self.work {
            work.add(WorkKind::Corners, (into + self.corners()) as u64);
        }
        self
    }

    /// Is there nothing in it?
    pub fn is_empty(&self) -> bool {
        self.shapes.is_empty()
    }

    /// Square millimetres.
    pub fn area(&self) -> f64 {
        self.shapes.iter().flatten().map(signed_area).sum::<f64>().abs()
    }

    /// The area with its openings filled.
    pub fn filled(&self) -> Region {
        self.with_shapes(self.shapes.iter().map(|s| s[..1].to_vec()).collect())
    }

    /// The pieces that do not touch.
    pub fn pieces(&self) -> Vec<Region> {
        self.shapes.iter().map(|s| self.with_shapes(vec![s.clone()])).collect()
    }

    /// The openings, each on its own.
    pub fn openings(&self) -> Vec<Region> {
        let reversed = |c: &Contour| c.iter().rev().copied().collect();
        let holes = self.shapes.iter().flat_map(|s| s[1..].iter());
        holes.map(|c| self.with_shapes(vec![vec![reversed(c)]])).collect()
    }

    /// Largest distance from a point inside to the edge, mm: the largest of
    /// 512 even steps by which shrinking leaves something.
    pub fn inradius(&self) -> f64 {
        let b = self.outline().bounding_box();
        let contours: Vec<&Contour> = self.shapes.iter().flatten().collect();
        // Shrinking by nearly all there is takes long: only what measuring
        // leaves open is tried.
        let (sure, beyond) = widest::inradius(&contours, FLATNESS, &self.work());
        let vanishes = |by: f64| match by {
            by if by < sure - 2.0 * FLATNESS => false,
            by if by > beyond + 2.0 * FLATNESS => true,
            by => self.grown(-by).is_empty(),
        };
        let (mut low, mut high) = (0.0, b.width().min(b.height()) / 2.0);
        for _ in 0..9 {
            let mid = (low + high) / 2.0;
            if vanishes(mid) { high = mid } else { low = mid }
        }
        low
    }

    /// The straight-edged outline.
    pub fn outline(&self) -> BezPath {
        let mut path = BezPath::new();
        for contour in self.shapes.iter().flatten() {
            polygon(contour, &mut path);
        }
        path
    }

    /// The outline with curves in place of short edges; non-zero fill.
    pub fn smooth(&self) -> BezPath {
        let (mut path, work) = (BezPath::new(), self.work());
        for contour in self.shapes.iter().flatten() {
            let mut straight = BezPath::new();
            polygon(contour, &mut straight);
            let perimeter = straight.perimeter(0.1);
            // The fit runs out of its number range on contours that are tiny
            // against its accuracy, and their corners are invisible.
            if contour.len() > SMOOTHED || perimeter < LEAST_SMOOTHED {
                path.extend(straight.iter());
                continue;
            }
            let curved = smooth::smooth(contour, &work);
            let off = (curved.area() - straight.area()).abs();
            let allowed = 4.0 * SMOOTHNESS * perimeter;
            let (a, b) = (curved.bounding_box(), straight.bounding_box().inflate(0.02, 0.02));
            if curved.is_finite() && off <= allowed && b.union(a) == b {
                path.extend(curved.iter());
            } else {
                path.extend(straight.iter());
            }
        }
        path
    }

    /// Every closed line around it; the area lies on the left of all
    /// (x to the right, y up) if `true`.
    pub fn contours(&self) -> impl Iterator<Item = (&[[f64; 2]], bool)> {
        self.shapes.iter().flat_map(|shape| {
            let left = shape.first().is_some_and(|outer| signed_area(outer) > 0.0);
            shape.iter().map(move |c| (c.as_slice(), left))
        })
    }

    /// Is a point inside?
    pub fn contains(&self, p: Point) -> bool {
        self.outline().winding(p) != 0
    }
}

fn overlaid(
    this: &OnGrid,
    that: &OnGrid,
    rule: OverlayRule,
    fill: OverlayFill,
) -> Vec<Vec<Contour>> {
    let mut overlay = Overlay::from_subj_and_clip_custom(this, that, options(), Solver::default());
    back(overlay.overlay(rule, fill))
}

fn options() -> IntOverlayOptions<u64> {
    let least = (LEAST_AREA * GRID * GRID) as u64;
    IntOverlayOptions { min_output_area: least, ..IntOverlayOptions::default() }
}

fn on_grid(contour: &[[f64; 2]]) -> Vec<IntPoint<i32>> {
    let one = |v: f64| (v.clamp(-FARTHEST, FARTHEST) * GRID).round() as i32;
    contour.iter().map(|[x, y]| IntPoint::new(one(*x), one(*y))).collect()
}

fn back(shapes: Vec<OnGrid>) -> Vec<Vec<Contour>> {
    let one = |p: &IntPoint<i32>| [f64::from(p.x) / GRID, f64::from(p.y) / GRID];
    let contour = |c: &Vec<IntPoint<i32>>| c.iter().map(one).collect();
    shapes.iter().map(|shape| shape.iter().map(contour).collect()).collect()
}

fn polygon(contour: &Contour, path: &mut BezPath) {
    for (n, [x, y]) in contour.iter().enumerate() {
        if n == 0 { path.move_to((*x, *y)) } else { path.line_to((*x, *y)) }
    }
    path.close_path();
}

fn signed_area(c: &Contour) -> f64 {
    let next = c.iter().cycle().skip(1);
    c.iter().zip(next).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>() / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Circle, Rect};

    fn disc(r: f64) -> Region {
        Region::of(&Circle::new((0.0, 0.0), r).to_path(1e-4), FillRule::NonZero, &Work::default())
    }

    #[test]
    fn growing_and_shrinking_a_disc() {
        let pi = std::f64::consts::PI;
        for by in [0.46, 0.06, -0.06, -1.0] {
            let area = disc(4.5).grown(by).area();
            assert!((area - pi * (4.5f64 + by).powi(2)).abs() < 0.08, "{by}: {area}");
        }
        assert!(disc(1.0).grown(-1.2).is_empty());
        assert!((disc(3.0).inradius() - 3.0).abs() < 0.02);
    }

    #[test]
    fn shrinking_in_steps_is_shrinking_by_the_sum() {
        let ring = disc(6.0).without(&disc(2.0).moved(Vec2::new(1.5, 0.0)));
        let insets = [0.1, 0.35, 0.9];
        for (region, by) in ring.shrunk(&insets).iter().zip(insets) {
            let at_once = ring.grown(-by);
            let differ = region.without(&at_once).area() + at_once.without(region).area();
            assert!(differ < 0.02, "{by}: {differ} of {} mm²", at_once.area());
        }
    }

    #[test]
    fn smooth_outlines_keep_size_and_save_points() {
        let grown = disc(4.5).grown(0.46);
        let smooth = grown.smooth();
        assert!(smooth.elements().len() < 36, "{}", smooth.elements().len());
        let b = smooth.bounding_box();
        assert!((b.width() - 9.92).abs() < 0.02, "{b:?}");
        let square = Region::of(
            &Rect::new(0.0, 0.0, 5.0, 4.0).to_path(0.1),
            FillRule::NonZero,
            &Work::default(),
        );
        let b = square.grown(-0.5).smooth().bounding_box();
        for (found, meant) in [(b.x0, 0.5), (b.y0, 0.5), (b.x1, 4.5), (b.y1, 3.5)] {
            assert!((found - meant).abs() < 1e-6, "{b:?}");
        }
    }

    /// Measuring must not change what shrinking alone would find.
    #[test]
    fn the_inradius_is_that_of_shrinking() {
        let bar = Rect::new(0.0, 0.0, 30.0, 4.0).to_path(0.1);
        let mut star = BezPath::new();
        for k in 0..10u32 {
            let far = if k % 2 == 0 { 4.5 } else { 1.9 };
            let p =
                Point::ORIGIN + Vec2::from_angle(f64::from(k) * 0.2 * std::f64::consts::PI) * far;
            if k == 0 { star.move_to(p) } else { star.line_to(p) }
        }
        star.close_path();
        let pair = disc(5.0).without(&disc(0.8).moved(Vec2::new(1.6, 0.0)));
        let pair = pair.without(&disc(0.8).moved(Vec2::new(-1.6, 0.0)));
        let of = |path: &BezPath| Region::of(path, FillRule::NonZero, &Work::default());
        for region in [disc(4.5), pair, of(&bar), of(&star), disc(3.0).without(&disc(1.0))] {
            let b = region.outline().bounding_box();
            let (mut low, mut high) = (0.0, b.width().min(b.height()) / 2.0);
            for _ in 0..9 {
                let mid = (low + high) / 2.0;
                if region.grown(-mid).is_empty() { high = mid } else { low = mid }
            }
            assert_eq!(region.inradius(), low);
        }
    }

    #[test]
    fn rings_have_openings() {
        let ring = disc(4.0).without(&disc(2.0));
        assert_eq!(ring.openings().len(), 1);
        assert!((ring.filled().area() - disc(4.0).area()).abs() < 1e-3);
        assert!(
            (ring.grown(-0.5).area() - std::f64::consts::PI * (3.5 * 3.5 - 2.5 * 2.5)).abs() < 0.1
        );
    }
}
