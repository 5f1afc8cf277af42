//! An outline as a grid of points, each with how deep in it lies.

use crate::capture::page::Rect;

/// Points along the longer edge.
const POINTS: f64 = 200.0;
/// The least distance between points, in millimetres.
const FINEST: f64 = 0.04;

/// A grid over a rectangle of the page.
#[derive(Debug, Clone)]
pub struct Mask {
    origin: (f64, f64),
    step: f64,
    columns: usize,
    /// How deep each point lies in the outline, in millimetres; below 0 outside.
    depth: Vec<f64>,
}

impl Mask {
    /// Of closed polygons (even-odd rule), with `margin` millimetres around their box. `None` where
    /// they have no area.
    pub fn of(outline: &[Vec<(f64, f64)>], margin: f64) -> Option<Mask> {
        let bounds = bounds(outline)?;
        let (width, height) = (bounds.width + 2.0 * margin, bounds.height + 2.0 * margin);
        let step = (width.max(height) / POINTS).max(FINEST);
        let (columns, rows) = ((width / step) as usize + 1, (height / step) as usize + 1);
        let origin = (bounds.left - margin, bounds.top - margin);
        let mut inside = vec![false; columns * rows];
        for row in 0..rows {
            let y = origin.1 + (row as f64 + 0.5) * step;
            let crossings = crossings(outline, y);
            for pair in crossings.chunks_exact(2) {
                let first = ((pair[0] - origin.0) / step - 0.5).ceil().max(0.0) as usize;
                let last = ((pair[1] - origin.0) / step + 0.5).floor().max(0.0) as usize;
                let line = inside.get_mut(row * columns..(row + 1) * columns)?;
                let last = last.min(columns);
                line.get_mut(first.min(last)..last)?.fill(true);
            }
        }
        let within = distances(&inside, columns, false);
        let beyond = distances(&inside, columns, true);
        let deep = |(i, o): (&f64, &f64)| (i.sqrt() - o.sqrt()) * step;
        let depth = within.iter().zip(&beyond).map(deep).collect();
        Some(Mask { origin, step, columns, depth })
    }

    /// Every point, and how deep it lies.
    pub fn points(&self) -> impl Iterator<Item = ((f64, f64), f64)> + '_ {
        self.depth.iter().enumerate().map(|(i, depth)| {
            let (x, y) = (i % self.columns, i / self.columns);
            let along = |n: usize| (n as f64 + 0.5) * self.step;
            ((self.origin.0 + along(x), self.origin.1 + along(y)), *depth)
        })
    }

    /// The radius of the largest circle in the outline.
    pub fn inradius(&self) -> f64 {
        self.depth.iter().copied().fold(0.0, f64::max)
    }
}

fn bounds(outline: &[Vec<(f64, f64)>]) -> Option<Rect> {
    let mut low = (f64::MAX, f64::MAX);
    let mut high = (f64::MIN, f64::MIN);
    for (x, y) in outline.iter().flatten() {
        low = (low.0.min(*x), low.1.min(*y));
        high = (high.0.max(*x), high.1.max(*y));
    }
    let (width, height) = (high.0 - low.0, high.1 - low.1);
    let usable = width.is_finite() && height.is_finite() && width > 0.0 && height > 0.0;
    usable.then_some(Rect { left: low.0, top: low.1, width, height })
}

/// Where a horizontal line crosses the outline, in order.
fn crossings(outline: &[Vec<(f64, f64)>], y: f64) -> Vec<f64> {
    let mut out = Vec::new();
    for ring in outline {
        let next = ring.iter().cycle().skip(1);
        for (a, b) in ring.iter().zip(next) {
            if (a.1 <= y) != (b.1 <= y) {
                out.push(a.0 + (y - a.1) / (b.1 - a.1) * (b.0 - a.0));
            }
        }
    }
    out.sort_by(f64::total_cmp);
    out
}

/// The squared distance of each point to the nearest that is `of`, in steps, exact (Felzenszwalb and
/// Huttenlocher 2012). What lies beyond the grid counts as outside of the outline.
fn distances(inside: &[bool], columns: usize, of: bool) -> Vec<f64> {
    let rows = inside.len() / columns.max(1);
    let far = ((columns + rows) * (columns + rows)) as f64;
    let mut field: Vec<f64> = inside.iter().map(|i| if *i == of { 0.0 } else { far }).collect();
    let edge = if of { far } else { 1.0 };
    for line in field.chunks_exact_mut(columns) {
        let out = sweep(line, edge);
        line.copy_from_slice(&out);
    }
    for x in 0..columns {
        let column: Vec<f64> = field.iter().skip(x).step_by(columns).copied().collect();
        let out = sweep(&column, edge);
        for (to, from) in field.iter_mut().skip(x).step_by(columns).zip(out) {
            *to = from;
        }
    }
    field
}

/// The lower envelope of parabolas that stand on the values of a line.
fn sweep(line: &[f64], edge: f64) -> Vec<f64> {
    let meet = |a: usize, b: usize| {
        let (fa, fb) = (line[a] + (a * a) as f64, line[b] + (b * b) as f64);
        (fb - fa) / (2 * (b - a)) as f64
    };
    let mut feet: Vec<usize> = Vec::with_capacity(line.len());
    let mut from: Vec<f64> = Vec::with_capacity(line.len());
    for i in 0..line.len() {
        let mut start = f64::MIN;
        while let (Some(last), Some(begins)) = (feet.last(), from.last()) {
            start = meet(*last, i);
            if start > *begins {
                break;
            }
            feet.pop();
            from.pop();
            start = f64::MIN;
        }
        feet.push(i);
        from.push(start);
    }
    let mut k = 0;
    (0..line.len())
        .map(|i| {
            while from.get(k + 1).is_some_and(|next| *next < i as f64) {
                k += 1;
            }
            let foot = feet.get(k).copied().unwrap_or(i);
            let (off, rim) = (i.abs_diff(foot), (i + 1).min(line.len() - i));
            ((off * off) as f64 + line[foot]).min((rim * rim) as f64 * edge)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn depth_in_a_ring_is_the_distance_to_its_edges() {
        let circle = |r: f64| -> Vec<(f64, f64)> {
            let at = |i: i32| f64::from(i) / 200.0 * std::f64::consts::TAU;
            (0..200).map(|i| (50.0 + r * at(i).cos(), 20.0 + r * at(i).sin())).collect()
        };
        let mask = Mask::of(&[circle(10.0), circle(4.0)], 2.0).unwrap();
        assert!((mask.inradius() - 3.0).abs() < 0.15, "{}", mask.inradius());
        for ((x, y), depth) in mask.points() {
            let r = (x - 50.0).hypot(y - 20.0);
            let want = (10.0 - r).min(r - 4.0);
            assert!((depth - want).abs() < 0.2, "{r} {depth} {want}");
        }
    }

    #[test]
    fn a_line_has_no_inside() {
        assert!(Mask::of(&[vec![(0.0, 0.0), (5.0, 0.0)]], 1.0).is_none());
        assert!(Mask::of(&[], 1.0).is_none());
        assert!(
            Mask::of(&[vec![(0.0, f64::NAN), (5.0, 0.0), (1.0, 3.0)]], 1.0)
                .is_none_or(|m| m.inradius() < 9.0)
        );
    }
}
