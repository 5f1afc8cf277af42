//! Contours as rings of segments: they can begin at any node, and lie inside one another.

use kurbo::{BezPath, Line, ParamCurve as _, PathSeg, Point, Rect, Shape as _};

use super::{Contour, Cut, CutSheet};

/// Shorter segments are ignored, mm: a fifth of a file's precision.
const NOTHING: f64 = 1e-4;

/// One closed line for the blade, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Ring {
    pub label: Option<usize>,
    pub cut: Cut,
    /// Each begins where the one before ends, the first where the last ends.
    pub segments: Vec<PathSeg>,
}

impl Ring {
    /// The rings of a sheet in its order; a contour of several closed lines gives several.
    pub fn all(sheet: &CutSheet) -> Vec<Ring> {
        sheet.contours.iter().flat_map(Ring::of).collect()
    }

    fn of(contour: &Contour) -> Vec<Ring> {
        let lines = closed_lines(&contour.path).into_iter();
        lines.map(|segments| Ring { label: contour.label, cut: contour.cut, segments }).collect()
    }

    /// Where the blade may begin, and then ends.
    pub fn nodes(&self) -> Vec<Point> {
        self.segments.iter().map(PathSeg::start).collect()
    }

    /// The same ring begun at a node.
    pub fn begun_at(&self, node: usize) -> Ring {
        let mut ring = self.clone();
        let count = ring.segments.len().max(1);
        ring.segments.rotate_left(node % count);
        ring
    }

    /// The ring as a closed path.
    pub fn path(&self) -> BezPath {
        let mut path = BezPath::from_path_segments(self.segments.iter().copied());
        path.close_path();
        path
    }
}

/// The closed lines of a path, each a list of segments that meet.
pub fn closed_lines(path: &BezPath) -> Vec<Vec<PathSeg>> {
    let mut lines: Vec<Vec<PathSeg>> = Vec::new();
    for segment in path.segments().filter(|s| !is_nothing(s)) {
        match lines.last_mut() {
            Some(line) if meets(line, &segment) => line.push(segment),
            _ => lines.push(vec![segment]),
        }
    }
    // An open end is closed as a fill would close it.
    for line in &mut lines {
        let closing = line.last().map(|last| Line::new(last.end(), line[0].start()));
        line.extend(closing.map(PathSeg::Line).filter(|s| !is_nothing(s)));
    }
    lines
}

fn is_nothing(segment: &PathSeg) -> bool {
    segment.bounding_box().size().max_side() < NOTHING
}

fn meets(line: &[PathSeg], segment: &PathSeg) -> bool {
    line.last().is_some_and(|last| last.end().distance(segment.start()) < NOTHING)
        && line[0].start().distance(segment.start()) >= NOTHING
}

/// Which ring is the innermost around each, if any.
pub fn around(rings: &[Ring]) -> Vec<Option<usize>> {
    let shapes: Vec<(Rect, f64, BezPath)> = rings
        .iter()
        .map(Ring::path)
        .map(|path| (path.bounding_box(), path.area().abs(), path))
        .collect();
    (0..rings.len())
        .map(|inner| {
            let (bounds, area) = (shapes[inner].0, shapes[inner].1);
            let start = rings[inner].segments.first().map(PathSeg::start)?;
            let holds = |outer: usize| {
                let (box_, size, path) = &shapes[outer];
                outer != inner
                    && *size > area
                    && box_.union(bounds) == *box_
                    && path.winding(start) != 0
            };
            (0..rings.len())
                .filter(|o| holds(*o))
                .min_by(|a, b| shapes[*a].1.total_cmp(&shapes[*b].1))
        })
        .collect()
}
