//! From polygons to pixels and to distances.

use crate::capture::cut::{Outline, Point};

/// Lines that a row of pixels is cut into.
const LINES: usize = 8;

/// The share of each pixel that closed polygons cover (even-odd rule), in pixels; pixel (0, 0) reaches from (0, 0) to (1, 1).
/// Work: the polygons' height in lines, and the pixels.
pub fn coverage(outline: &[Vec<Point>], size: (usize, usize)) -> Vec<f32> {
    let (width, height) = size;
    let mut crossings: Vec<Vec<f64>> = vec![Vec::new(); height * LINES];
    for ring in outline {
        for (a, b) in edges(ring) {
            cross(a, b, &mut crossings);
        }
    }
    let mut out = vec![0.0f32; width * height];
    for (line, found) in crossings.iter_mut().enumerate() {
        found.sort_by(f64::total_cmp);
        let start = line / LINES * width;
        let Some(row) = out.get_mut(start..start + width) else { continue };
        for pair in found.chunks_exact(2) {
            span(row, pair[0], pair[1]);
        }
    }
    out
}

/// The edges of a closed line.
pub fn edges(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))
}

fn cross(a: Point, b: Point, crossings: &mut [Vec<f64>]) {
    let finite = [a.0, a.1, b.0, b.1].iter().all(|v| v.is_finite());
    if !finite || a.1 == b.1 {
        return;
    }
    let lines = LINES as f64;
    let (low, high) = (a.1.min(b.1) * lines, a.1.max(b.1) * lines);
    let first = (low - 0.5).ceil().max(0.0) as usize;
    let last = ((high - 0.5).ceil().max(0.0) as usize).min(crossings.len());
    for (i, line) in crossings.iter_mut().enumerate().take(last).skip(first) {
        let y = (i as f64 + 0.5) / lines;
        line.push(a.0 + (y - a.1) / (b.1 - a.1) * (b.0 - a.0));
    }
}

fn span(row: &mut [f32], from: f64, to: f64) {
    let (from, to) = (from.clamp(0.0, row.len() as f64), to.clamp(0.0, row.len() as f64));
    let (first, last) = (from as usize, to.ceil() as usize);
    for (x, v) in row.iter_mut().enumerate().take(last).skip(first) {
        let covered = (to.min(x as f64 + 1.0) - from.max(x as f64)).max(0.0);
        *v += covered as f32 / LINES as f32;
    }
}

/// For each pixel within `reach` pixels of an outline, the nearest point of it (`None` farther away), by its middle.
pub fn feet(outline: &[Vec<Point>], size: (usize, usize), reach: f64) -> Vec<Option<[f32; 2]>> {
    let (width, height) = size;
    let mut best: Vec<(f32, [f32; 2])> = vec![(f32::MAX, [0.0; 2]); width * height];
    for ring in outline {
        for (a, b) in edges(ring) {
            near(a, b, &mut best, (width, height, reach));
        }
    }
    best.into_iter().map(|(far, foot)| (far < f32::MAX).then_some(foot)).collect()
}

fn near(a: Point, b: Point, best: &mut [(f32, [f32; 2])], of: (usize, usize, f64)) {
    let (width, height, reach) = of;
    let range = |a: f64, b: f64, n: usize| {
        let low = (a.min(b) - reach - 0.5).max(0.0);
        let high = (a.max(b) + reach + 0.5).clamp(0.0, n as f64);
        if low.is_finite() && high.is_finite() { low as usize..high as usize } else { 0..0 }
    };
    for y in range(a.1, b.1, height) {
        for x in range(a.0, b.0, width) {
            let p = (x as f64 + 0.5, y as f64 + 0.5);
            let foot = nearest(p, a, b);
            let far = (foot.0 - p.0).hypot(foot.1 - p.1);
            if far > reach {
                continue;
            }
            if let Some(best) = best.get_mut(y * width + x).filter(|b| f64::from(b.0) > far) {
                *best = (far as f32, [foot.0 as f32, foot.1 as f32]);
            }
        }
    }
}

/// The point of a segment that is nearest to a point.
pub fn nearest(p: Point, a: Point, b: Point) -> Point {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let length = dx * dx + dy * dy;
    let t = if length > 0.0 { ((p.0 - a.0) * dx + (p.1 - a.1) * dy) / length } else { 0.0 };
    let t = t.clamp(0.0, 1.0);
    (a.0 + t * dx, a.1 + t * dy)
}

/// Twice a polygon's area with its sign: positive where it runs clockwise as seen, with y downwards.
pub fn area(ring: &[Point]) -> f64 {
    edges(ring).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum()
}

/// The box of an outline: low and high corner. `None` of nothing.
pub fn bounds(outline: &[Vec<Point>]) -> Option<(Point, Point)> {
    let start = ((f64::MAX, f64::MAX), (f64::MIN, f64::MIN));
    let points = outline.iter().flatten();
    let (low, high) = points
        .fold(start, |(l, h), p| ((l.0.min(p.0), l.1.min(p.1)), (h.0.max(p.0), h.1.max(p.1))));
    (low.0 <= high.0 && low.1 <= high.1 && (high.0 - low.0).is_finite()).then_some((low, high))
}

/// Moves every point.
pub fn moved(outline: &[Vec<Point>], by: impl Fn(Point) -> Point) -> Outline {
    outline.iter().map(|ring| ring.iter().map(|p| by(*p)).collect()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn covers_shares_of_pixels_and_leaves_holes() {
        let square = |l: f64, h: f64| vec![(l, l), (h, l), (h, h), (l, h)];
        let out = coverage(&[square(1.25, 6.5), square(3.0, 4.0)], (8, 8));
        let total: f32 = out.iter().sum();
        assert!((f64::from(total) - (5.25 * 5.25 - 1.0)).abs() < 0.01, "{total}");
        assert!(out[3 * 8 + 3] < 1e-6 && (out[2 * 8 + 2] - 1.0).abs() < 1e-6);
        assert!((out[2 * 8 + 1] - 0.75).abs() < 1e-6);
    }

    #[test]
    fn numbers_that_are_none_cover_nothing() {
        let out = coverage(&[vec![(f64::NAN, 0.0), (3.0, f64::INFINITY), (1.0, 1e300)]], (4, 4));
        assert!(out.iter().all(|v| v.is_finite()));
        assert!(
            feet(&[vec![(f64::NAN, 1.0), (1e300, 2.0)]], (4, 4), 2.0).iter().all(Option::is_none)
        );
    }
}
