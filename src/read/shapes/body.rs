//! Which of what is drawn is the part itself.

use std::path::Path;
use std::sync::Arc;

use kurbo::{BezPath, Line, ParamCurve as _, PathEl, Point, Rect, Shape as _};

use crate::diag::{Diagnostic, Span};
use crate::graphic::{FillRule, Rgb};
use crate::read::region::Region;
use crate::work::Work;

use super::drawn::{Drawn, DrawnPaint};
use super::gradient;
use super::shape::{BodyFrom, LARGEST, LayerRole, SMALLEST, whole};

/// Most points of an outline that offsets are taken of.
const MOST_POINTS: usize = 2000;
/// And crosses itself no more often: each crossing becomes a point of everything that is made of it.
const MOST_CROSSINGS: usize = 5000;
/// Ends of a line that are nearer than this meet, mm.
const MEET: f64 = 1e-3;
/// Sizes of outlines that are put together are kept to this, mm: their curves
/// are flattened on the way.
const STEP: f64 = 0.01;
/// A part is at least this opaque wherever it is drawn, if anything of the drawing is.
const SOLID: f64 = 0.5;

/// The part itself.
pub(super) struct Body {
    /// Where it lies in the order of what is drawn.
    pub at: usize,
    /// What became part of it and is not drawn again.
    pub merged: Vec<usize>,
    pub outline: BezPath,
    pub rule: FillRule,
    pub bounds: Rect,
    /// The drawn colour that every colour of the range takes the place of.
    pub reference: Rgb,
    pub from: BodyFrom,
    /// It was filled with a gradient, whose mean is the reference.
    pub gradient: bool,
}

/// Finds it.
pub(super) fn find(
    file: &Arc<Path>,
    items: &[Drawn],
    work: &Work,
) -> Result<Body, Vec<Diagnostic>> {
    let chosen = if items.iter().all(|i| i.centre_line.is_some()) {
        of_lines(file, items)?
    } else {
        of_fills(file, items)?
    };
    let place = Some(Span { file: file.clone(), range: items[chosen.measured].place.clone() });
    let points: usize = chosen.parts.iter().map(|n| items[*n].path.elements().len()).sum();
    let marked: usize = items
        .iter()
        .filter(|i| i.words.role == Some(LayerRole::Hole))
        .map(|i| i.path.elements().len())
        .sum();
    if points + marked > MOST_POINTS {
        return Err(vec![
            Diagnostic::error(
                "shape-too-large",
                format!("the outline has {} points, more than {MOST_POINTS}", points + marked),
            )
            .at(place)
            .help(
                "simplify the path in the drawing program; a good outline has a few dozen points",
            ),
        ]);
    }
    let (outline, rule, bounds) = chosen.outline(items, work);
    let crossings = crossings(&outline);
    if crossings > MOST_CROSSINGS {
        let message =
            format!("the outline crosses itself {crossings} times, more than {MOST_CROSSINGS}");
        return Err(vec![Diagnostic::error("shape-too-large", message).at(place).help(
            "draw only the outline: unite the path with itself in the drawing program ('Union')",
        )]);
    }
    if Region::of(&outline, rule, work).area() < 1e-4 {
        return Err(empty(file, items));
    }
    measured(bounds, place)?;
    let (reference, gradient) = match &items[chosen.measured].paint {
        _ if chosen.from == BodyFrom::Lines => (Rgb::WHITE, false),
        DrawnPaint::Flat(c) => (*c, false),
        DrawnPaint::Gradient { ramp, transform, stops } => {
            (gradient::mean(&outline, *ramp, *transform, stops), true)
        }
    };
    let at = chosen.merged.iter().copied().min().unwrap_or(chosen.measured);
    let overlap = |a: &Drawn, b: &Drawn| {
        let o = a.path.bounding_box().intersect(b.path.bounding_box());
        o.width() > 0.0 && o.height() > 0.0
    };
    // What lies on something of another tone is drawn again above it.
    let covers =
        |n: &usize| (at..*n).any(|j| !chosen.merged.contains(&j) && overlap(&items[j], &items[*n]));
    let merged = chosen.merged.iter().copied().filter(|n| !covers(n)).collect();
    Ok(Body { at, merged, outline, rule, bounds, reference, from: chosen.from, gradient })
}

/// Which items make the part.
struct Chosen {
    /// The one that gives the colour.
    measured: usize,
    /// Those that its outline is made of.
    parts: Vec<usize>,
    /// Those of them that have its tone.
    merged: Vec<usize>,
    from: BodyFrom,
}

impl Chosen {
    /// The outline of all parts together, with its box.
    fn outline(&self, items: &[Drawn], work: &Work) -> (BezPath, FillRule, Rect) {
        let first = &items[self.parts[0]];
        if self.from != BodyFrom::Lines {
            if self.parts.len() == 1 {
                return (first.path.clone(), first.rule, first.path.bounding_box());
            }
            if let Some(apart) = self.apart(items) {
                let bounds = apart.bounding_box();
                return (apart, first.rule, bounds);
            }
        }
        let mut all = Region::default();
        for item in self.parts.iter().map(|n| &items[*n]) {
            all = all.and(&Region::of(&item.path, item.rule, work));
            if let Some(line) = item.centre_line.as_ref().filter(|_| self.from == BodyFrom::Lines) {
                all = all.and(&Region::of(line, FillRule::NonZero, work)).filled();
            }
        }
        let outline = all.smooth();
        let b = outline.bounding_box();
        let step = |v: f64| (v / STEP).round() * STEP;
        let bounds = Rect::new(step(b.x0), step(b.y0), step(b.x1), step(b.y1));
        (outline, FillRule::NonZero, bounds)
    }

    /// Parts that do not touch keep their curves.
    fn apart(&self, items: &[Drawn]) -> Option<BezPath> {
        let mut all = BezPath::new();
        let mut boxes: Vec<Rect> = Vec::new();
        let rule = items[self.parts[0]].rule;
        for item in self.parts.iter().map(|n| &items[*n]) {
            let b = item.path.bounding_box();
            if item.rule != rule || boxes.iter().any(|o| o.overlaps(b)) {
                return None;
            }
            boxes.push(b);
            all.extend(item.path.iter());
        }
        Some(all)
    }
}

/// Of a drawing of bare lines: the largest closed line.
fn of_lines(file: &Arc<Path>, items: &[Drawn]) -> Result<Chosen, Vec<Diagnostic>> {
    let closed_line = |i: &Drawn| {
        let line = i.centre_line.as_ref().filter(|_| i.words.role != Some(LayerRole::Hole));
        line.filter(|l| closed(l)).map(|l| l.bounding_box().area())
    };
    let largest = items.iter().enumerate().filter_map(|(n, i)| Some((n, closed_line(i)?)));
    // The first of equals: the lowest one, which the others lie upon.
    let largest = largest.fold(None, |best: Option<(usize, f64)>, (n, size)| match best {
        Some((_, b)) if size <= b * (1.0 + 1e-9) => best,
        _ => (size > 0.0).then_some((n, size)).or(best),
    });
    let Some((measured, _)) = largest else { return Err(empty(file, items)) };
    let only = vec![measured];
    Ok(Chosen { measured, parts: only.clone(), merged: only, from: BodyFrom::Lines })
}

/// The largest filled outline, or the one that is marked, with its stroke; and
/// what else is drawn in the same tone.
fn of_fills(file: &Arc<Path>, items: &[Drawn]) -> Result<Chosen, Vec<Diagnostic>> {
    let marked = |i: &Drawn| i.words.role == Some(LayerRole::Body) && i.centre_line.is_none();
    let marks: Vec<&Drawn> = items.iter().filter(|i| marked(i)).collect();
    if marks.len() > 1 {
        return Err(vec![
            Diagnostic::error("shape-unsupported", "more than one outline is marked 'body'")
                .at(Some(Span { file: file.clone(), range: marks[1].place.clone() }))
                .help("join them into one path, or mark only the one that the part is measured by"),
        ]);
    }
    let size = |i: &Drawn| i.path.bounding_box().area();
    let candidate = |i: &Drawn| {
        i.centre_line.is_none()
            && i.words.role != Some(LayerRole::Hole)
            && size(i) > 0.0
            && (marks.is_empty() || marked(i))
    };
    // The first of equals: the lowest one, which the others lie upon.
    let largest = |solid: bool| {
        let of = items.iter().enumerate().filter(|(_, i)| candidate(i) && (!solid || is_solid(i)));
        of.fold(None, |best: Option<usize>, (n, item)| match best {
            Some(b) if size(item) <= size(&items[b]) * (1.0 + 1e-9) => best,
            _ => Some(n),
        })
    };
    let Some(measured) = largest(true).or_else(|| largest(false)) else {
        return Err(empty(file, items));
    };
    let body = &items[measured];
    let free = |i: &Drawn| i.words.role.is_none() && !i.words.fixed && i.words.finishes.is_empty();
    let alike = |i: &Drawn| {
        matches!(i.paint, DrawnPaint::Flat(_)) && i.paint == body.paint && i.opacity >= 1.0
    };
    let mut merged = vec![measured];
    if marks.is_empty() && body.opacity >= 1.0 {
        let mates = items.iter().enumerate().filter(|(n, i)| *n != measured && free(i) && alike(i));
        merged.extend(mates.map(|(n, _)| n));
    }
    let mut parts = merged.clone();
    let mine: Vec<usize> = merged.iter().map(|n| items[*n].element).collect();
    for (n, item) in items.iter().enumerate().filter(|(_, i)| i.centre_line.is_some()) {
        if mine.contains(&item.element) && !parts.contains(&n) {
            parts.push(n);
            if alike(item) {
                merged.push(n);
            }
        }
    }
    let from = if marks.is_empty() { BodyFrom::Largest } else { BodyFrom::Marked };
    Ok(Chosen { measured, parts, merged, from })
}

/// Can it be a part? What is more seen through than seen is a shadow or a light.
fn is_solid(item: &Drawn) -> bool {
    let seen = match &item.paint {
        DrawnPaint::Flat(_) => 1.0,
        DrawnPaint::Gradient { stops, .. } => stops.iter().map(|s| s.opacity).fold(1.0, f64::min),
    };
    seen * item.opacity >= SOLID
}

fn empty(file: &Arc<Path>, items: &[Drawn]) -> Vec<Diagnostic> {
    let open = items.iter().find(|i| i.centre_line.as_ref().is_some_and(|l| !closed(l)));
    let help = "draw the outline of the part as a closed path with a fill";
    let Some(open) = open else {
        return vec![whole(file, "shape-empty", "the drawing has no filled outline").help(help)];
    };
    vec![
        Diagnostic::error("shape-empty", "the drawing has no filled outline and no closed line")
            .at(Some(Span { file: file.clone(), range: open.place.clone() }))
            .help(
                "close the line of the part's outline (join its ends) and give it a fill; for a wire part, turn the strokes into outlines ('Stroke to Path')",
            ),
    ]
}

fn measured(bounds: Rect, place: Option<Span>) -> Result<(), Vec<Diagnostic>> {
    let (w, h) = (bounds.width(), bounds.height());
    let (code, message) = if w.max(h) > LARGEST {
        let message = format!("a part must be at most {LARGEST} mm long, not {w:.1} x {h:.1} mm");
        ("shape-too-large", message)
    } else if w.min(h) < SMALLEST {
        let message = format!("a part must be at least {SMALLEST} mm long, not {w:.3} x {h:.3} mm");
        ("shape-too-small", message)
    } else {
        return Ok(());
    };
    Err(vec![
        Diagnostic::error(code, message)
            .at(place)
            .help("set width and height of the SVG in mm, with a viewBox of the same size"),
    ])
}

/// Does a line come back to where it began?
fn closed(path: &BezPath) -> bool {
    let ends = || {
        let PathEl::MoveTo(start) = *path.elements().first()? else { return None };
        let end: Point = path.elements().last()?.end_point()?;
        let long = path.elements().len() > 2;
        Some(long && start.distance(end) < MEET)
    };
    path.elements().contains(&PathEl::ClosePath) || ends().unwrap_or(false)
}

/// How often the lines between a path's points cross, control points left out.
fn crossings(path: &BezPath) -> usize {
    let mut lines: Vec<Line> = path.segments().map(|s| Line::new(s.start(), s.end())).collect();
    lines.sort_by(|a, b| a.p0.x.min(a.p1.x).total_cmp(&b.p0.x.min(b.p1.x)));
    let mut count = 0;
    for (i, a) in lines.iter().enumerate() {
        let end = a.p0.x.max(a.p1.x);
        let near = lines[i + 1..].iter().take_while(|b| b.p0.x.min(b.p1.x) <= end);
        count += near.filter(|b| cross(*a, **b)).count();
    }
    count
}

/// Do two lines cross between their ends?
fn cross(a: Line, b: Line) -> bool {
    let side = |l: Line, p: Point| (l.p1 - l.p0).cross(p - l.p0);
    side(a, b.p0) * side(a, b.p1) < 0.0 && side(b, a.p0) * side(b, a.p1) < 0.0
}
