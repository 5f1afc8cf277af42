//! Lights along an edge: bands whose width follows the way the edge faces.
//!
//! A ribbon is widest where the edge looks straight at its light and runs out to a point on both
//! sides; on a long straight edge, which faces one way all along, it runs out with the distance.

use kurbo::{BezPath, Point, Rect, Vec2};

use crate::graphic::FillRule;
use crate::read::region::Region;

/// Distance of the places at which an edge is looked at, mm, and how many there may be.
const STEP: f64 = 0.1;
const PLACES: (f64, f64) = (64.0, 512.0);
/// A ribbon thinner than this ends, mm.
const THIN: f64 = 0.004;
/// Ribbons smaller than this share of the largest are left out.
const MINOR: f64 = 0.3;

/// Where a ribbon lies and how it runs out.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ribbon {
    /// The way to the light; its length does not count.
    pub light: Vec2,
    /// The greatest width, mm.
    pub width: f64,
    /// The cosine of the angle off the light at which it has run out.
    pub least: f64,
    /// How far from the lit corner of the box it has run out: 0 at the
    /// middle, 1 at the corner.
    pub from: f64,
}

/// A place on an edge with the way into the area there.
type RibbonPoint = (Point, Vec2);

impl Ribbon {
    /// Ribbons along the edges of an area that lies in a box.
    pub fn along(&self, area: &Region, bounds: Rect) -> Region {
        let mut runs: Vec<(f64, BezPath)> = Vec::new();
        for (contour, left) in area.contours() {
            let places = walk(contour, left, 1.5 * self.width);
            let widths: Vec<f64> =
                places.iter().map(|(p, n)| self.width * self.share(*p, *n, bounds)).collect();
            runs.extend(bands(&places, &widths));
        }
        let largest = runs.iter().map(|r| r.0).fold(0.0, f64::max);
        let mut path = BezPath::new();
        for (_, run) in runs.iter().filter(|r| r.0 >= MINOR * largest) {
            path.extend(run.iter());
        }
        Region::of(&path, FillRule::NonZero, &area.work()).within(area)
    }

    /// The share of the greatest width at a place.
    fn share(&self, p: Point, inward: Vec2, bounds: Rect) -> f64 {
        let light = self.light.normalize();
        let facing = (-inward.dot(light) - self.least) / (1.0 - self.least);
        let half = (bounds.size() / 2.0).to_vec2();
        let at = p - bounds.center();
        let way = Vec2::new(light.x / half.x.max(1e-6), light.y / half.y.max(1e-6));
        let near = at.dot(way) / (light.x.abs() + light.y.abs());
        let near = (near - self.from) / (0.72 - self.from);
        ease(facing) * ease(near)
    }
}

/// From 0 to 1 without corners.
fn ease(t: f64) -> f64 {
    let t = t.clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// Even places along a closed line, the ways into the area evened out over a length.
fn walk(contour: &[[f64; 2]], left: bool, over: f64) -> Vec<RibbonPoint> {
    let points: Vec<Point> = contour.iter().map(|[x, y]| Point::new(*x, *y)).collect();
    let next = |n: usize| points[(n + 1) % points.len()];
    let length: f64 = points.iter().enumerate().map(|(n, p)| p.distance(next(n))).sum();
    if points.len() < 3 || length < 1e-3 {
        return Vec::new();
    }
    let count = (length / STEP).clamp(PLACES.0, PLACES.1).round();
    let step = length / count;
    let mut even = Vec::with_capacity(count as usize + 1);
    let mut ahead = 0.0;
    for (n, p) in points.iter().enumerate() {
        let edge = next(n) - *p;
        let long = edge.hypot();
        while ahead < long && even.len() < count as usize {
            even.push(*p + edge * (ahead / long));
            ahead += step;
        }
        ahead -= long;
    }
    let n = even.len();
    if n < 16 {
        return Vec::new();
    }
    let turn = |v: Vec2| if left { Vec2::new(-v.y, v.x) } else { Vec2::new(v.y, -v.x) };
    let mut ways: Vec<Vec2> =
        (0..n).map(|k| turn(even[(k + 1) % n] - even[(k + n - 1) % n])).collect();
    let reach = ((over / step / 2.0).round() as usize).clamp(1, n / 8);
    for _ in 0..2 {
        ways = evened(&ways, reach);
    }
    let unit = |v: Vec2| if v.hypot() > 1e-9 { v.normalize() } else { v };
    even.into_iter().zip(ways).map(|(p, v)| (p, unit(v))).collect()
}

/// Means over so many neighbours on either side, round a closed line.
fn evened(ways: &[Vec2], reach: usize) -> Vec<Vec2> {
    let n = ways.len();
    let mut sum: Vec2 = (0..=2 * reach).map(|k| ways[(k + n - reach) % n]).sum();
    (0..n)
        .map(|k| {
            let mean = sum;
            sum += ways[(k + reach + 1) % n] - ways[(k + n - reach) % n];
            mean
        })
        .collect()
}

/// The stretches along which there is a width, as closed lines with their areas.
fn bands(places: &[RibbonPoint], widths: &[f64]) -> Vec<(f64, BezPath)> {
    let n = places.len();
    let wide = |k: usize| widths[k % n] > THIN;
    // A ribbon all the way round has no ends; none is asked for.
    let Some(start) = (0..n).find(|k| !wide(*k)) else { return Vec::new() };
    let mut out = Vec::new();
    let mut run: Vec<usize> = Vec::new();
    for k in (start..=start + n).map(|k| k % n) {
        if wide(k) {
            run.push(k);
        } else if !run.is_empty() {
            out.push(band(&run, places, widths));
            run.clear();
        }
    }
    out
}

fn band(run: &[usize], places: &[RibbonPoint], widths: &[f64]) -> (f64, BezPath) {
    let n = places.len();
    let (first, last) = ((run[0] + n - 1) % n, (run[run.len() - 1] + 1) % n);
    let mut path = BezPath::new();
    path.move_to(places[first].0);
    run.iter().for_each(|k| path.line_to(places[*k].0));
    path.line_to(places[last].0);
    for k in run.iter().rev() {
        path.line_to(places[*k].0 + places[*k].1 * widths[*k]);
    }
    path.close_path();
    (run.iter().map(|k| widths[*k]).sum(), path)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::work::Work;
    use kurbo::{Circle, Shape as _};

    const LIGHT: Vec2 = Vec2::new(-0.6, -0.8);

    fn ribbon(path: &BezPath) -> (Region, Rect) {
        let r = Ribbon { light: LIGHT, width: 0.5, least: 0.4, from: 0.2 };
        let area = Region::of(path, FillRule::NonZero, &Work::default());
        (r.along(&area, path.bounding_box()), path.bounding_box())
    }

    #[test]
    fn on_a_disc_it_faces_the_light_and_is_as_wide_as_asked() {
        let (area, _) = ribbon(&Circle::new((0.0, 0.0), 5.0).to_path(1e-4));
        let c = area.outline().bounding_box().center();
        assert!(c.x < -1.0 && c.y < -1.5, "{c:?}");
        assert!((2.0 * area.inradius() - 0.5).abs() < 0.03, "{}", area.inradius());
    }

    #[test]
    fn on_a_long_edge_it_runs_out_to_a_point() {
        let bar = Rect::new(0.0, 0.0, 60.0, 4.0).to_path(0.1);
        let (area, bounds) = ribbon(&bar);
        let b = area.outline().bounding_box();
        assert!(b.y1 < 3.0 && b.x1 < 0.95 * bounds.x1 && b.x1 > 20.0, "{b:?}");
        // Next to its end it is a tenth as wide as at its widest.
        let tip = Rect::new(b.x1 - 1.0, b.y0, b.x1, b.y1).to_path(0.1);
        let tip = area.within(&Region::of(&tip, FillRule::NonZero, &Work::default()));
        assert!(tip.outline().bounding_box().height() < 0.1, "{tip:?}");
    }

    #[test]
    fn neither_points_nor_nothing_do_harm() {
        let (area, _) = ribbon(&BezPath::new());
        assert!(area.is_empty());
        let dot = Rect::new(0.0, 0.0, 1e-5, 1e-5).to_path(1e-3);
        assert!(ribbon(&dot).0.area() < 1e-6);
    }
}
