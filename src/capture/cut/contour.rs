//! Lines of equal value in a grid (marching squares; Lorensen and Cline 1987 in two dimensions).

use crate::capture::cut::{Outline, Polygon};

/// Closed lines around what is over `level`, in pixels (the middle of the first value is (0.5, 0.5)). What is beyond the grid is under it.
/// Where two corners of a cell lie over the level across, the mean of all four decides.
pub fn contours(field: &[f32], size: (usize, usize), level: f32) -> Outline {
    let grid = Grid { field, width: size.0, height: size.1, level };
    let mut next = vec![u32::MAX; 2 * (size.0 + 2) * (size.1 + 2)];
    for y in 0..=size.1 {
        for x in 0..=size.0 {
            grid.link(x, y, &mut next);
        }
    }
    let mut out = Vec::new();
    for start in 0..next.len() {
        if let Some(ring) = grid.follow(start, &mut next) {
            out.push(ring);
        }
    }
    out
}

/// A grid with a frame of low values around it.
struct Grid<'a> {
    field: &'a [f32],
    width: usize,
    height: usize,
    level: f32,
}

impl Grid<'_> {
    /// A corner's value over the level; corner (1, 1) is the first value.
    fn value(&self, x: usize, y: usize) -> f32 {
        let inside = x >= 1 && y >= 1 && x <= self.width && y <= self.height;
        let at = (y.wrapping_sub(1)).wrapping_mul(self.width).wrapping_add(x.wrapping_sub(1));
        let v = if inside { self.field.get(at).copied() } else { None };
        v.filter(|v| v.is_finite()).map_or(-1.0, |v| v - self.level)
    }

    /// The number of an edge: to the right of a corner, or down from it.
    fn edge(&self, x: usize, y: usize, down: bool) -> usize {
        2 * (y * (self.width + 2) + x) + usize::from(down)
    }

    /// Notes, for the edges of a cell, which edge comes after it.
    fn link(&self, x: usize, y: usize, next: &mut [u32]) {
        let v = [
            self.value(x, y),
            self.value(x + 1, y),
            self.value(x + 1, y + 1),
            self.value(x, y + 1),
        ];
        let over = v.map(|v| v > 0.0);
        let edges = [
            self.edge(x, y, false),
            self.edge(x + 1, y, true),
            self.edge(x, y + 1, false),
            self.edge(x, y, true),
        ];
        // Edge i lies between corners i and i + 1. A line enters where over begins.
        let begins: Vec<usize> = (0..4).filter(|i| !over[*i] && over[(i + 1) % 4]).collect();
        let ends: Vec<usize> = (0..4).filter(|i| over[*i] && !over[(i + 1) % 4]).collect();
        let joined = v.iter().sum::<f32>() > 0.0;
        for begin in &begins {
            let end = match (begins.len(), joined) {
                (1, _) => ends[0],
                // Apart: each corner that is over is cut off by itself.
                (_, false) => (begin + 1) % 4,
                (_, true) => (begin + 3) % 4,
            };
            if let Some(slot) = next.get_mut(edges[*begin]) {
                *slot = edges[end] as u32;
            }
        }
    }

    /// Follows a line that begins at an edge, and takes it out.
    fn follow(&self, start: usize, next: &mut [u32]) -> Option<Polygon> {
        let mut ring = Vec::new();
        let mut at = start;
        loop {
            let to = next.get_mut(at)?;
            if *to == u32::MAX {
                break;
            }
            let after = *to as usize;
            *to = u32::MAX;
            ring.push(self.point(at));
            at = after;
            if at == start {
                break;
            }
        }
        (ring.len() > 2).then_some(ring)
    }

    /// Where the line crosses an edge.
    fn point(&self, edge: usize) -> (f64, f64) {
        let (corner, down) = (edge / 2, edge % 2 == 1);
        let (x, y) = (corner % (self.width + 2), corner / (self.width + 2));
        let (a, b) = (self.value(x, y), self.value(x + usize::from(!down), y + usize::from(down)));
        let t = f64::from(a / (a - b)).clamp(0.0, 1.0);
        let (x, y) = (x as f64 - 0.5, y as f64 - 0.5);
        if down { (x, y + t) } else { (x + t, y) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::capture::cut::raster::{area, coverage};

    #[test]
    fn finds_rings_and_their_holes_where_they_are() {
        let circle = |r: f64| -> Polygon {
            (0..200)
                .map(|i| f64::from(i) / 200.0 * std::f64::consts::TAU)
                .map(|a| (30.0 + r * a.cos(), 25.0 + r * a.sin()))
                .collect()
        };
        let field = coverage(&[circle(20.0), circle(7.0)], (60, 50));
        let found = contours(&field, (60, 50), 0.5);
        assert_eq!(found.len(), 2);
        for ring in &found {
            let want = if ring.len() > 60 { 20.0 } else { 7.0 };
            for p in ring {
                assert!(((p.0 - 30.0).hypot(p.1 - 25.0) - want).abs() < 0.12);
            }
        }
        // A hole runs the other way round.
        assert!(area(&found[0]) * area(&found[1]) < 0.0);
    }

    #[test]
    fn corners_across_close_either_way() {
        for low in [0.0, 0.45] {
            let field = [1.0, low, low, 1.0];
            for ring in contours(&field, (2, 2), 0.5) {
                assert!(ring.len() > 2);
            }
        }
        assert!(contours(&[f32::NAN; 4], (2, 2), 0.5).is_empty());
        assert!(contours(&[], (0, 0), 0.5).is_empty());
    }
}
