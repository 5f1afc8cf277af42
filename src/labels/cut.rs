//! The file for the cutting machine: an SVG of closed lines in real millimetres.
//!
//! Nothing but lines: no text, no fills, no references. Kiss cuts, through cuts
//! and registration marks are groups with names of their own, so that a machine
//! can be set for the purpose of each; the order of the paths is that of the [`Way`].

use std::collections::BTreeMap;

use ::svg::Document;
use ::svg::node::element::{Group, Path};
use kurbo::{Circle, CubicBez, ParamCurve as _, PathEl, PathSeg, Point, Shape as _};

use super::ring::closed_lines;
use super::travel::Way;
use super::{Cut, CutSheet};
use crate::paint::number;

/// How far an arc may be from the curve that it stands for, mm.
pub const ARC_TOLERANCE: f64 = 0.002;
/// How far a short line may be from the curve that it stands for, mm.
pub const LINE_TOLERANCE: f64 = 0.004;
/// No arc goes further round, degrees: nearer to a half circle a rounding of
/// the radius moves the arc more than itself.
const MOST_ARC: f64 = 100.0;
/// Width of the lines, mm: what machines take for a hairline. Common practice, no source.
const HAIRLINE: f64 = 0.01;

/// What the lines of round corners are made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Corners {
    /// Arcs of circles, within [`ARC_TOLERANCE`].
    #[default]
    Arcs,
    /// Short straight lines, within [`LINE_TOLERANCE`]: for machines that know no arcs.
    Lines,
}

/// The file's text. Positions are rounded to a micrometre.
pub fn svg(sheet: &CutSheet, way: &Way, corners: Corners) -> String {
    let (w, h) = (number::length(sheet.width), number::length(sheet.height));
    let mut document = Document::new()
        .set("version", "1.1")
        .set("width", format!("{w}mm"))
        .set("height", format!("{h}mm"))
        .set("viewBox", format!("0 0 {w} {h}"));
    if !sheet.marks.is_empty() {
        let mut marks = group("registration-marks", "#000000");
        for mark in &sheet.marks {
            let circle = Circle::new(*mark, sheet.mark_radius).to_path(1e-4);
            for line in closed_lines(&circle) {
                marks = marks.add(Path::new().set("d", data(&line, corners)));
            }
        }
        document = document.add(marks);
    }
    let mut ids = BTreeMap::new();
    for (cut, word) in [(Cut::Kiss, "kiss"), (Cut::Through, "through")] {
        if !way.rings.iter().any(|r| r.cut == cut) {
            continue;
        }
        let mut group = group(&format!("{word}-cuts"), &cut.colour().hex());
        for ring in way.rings.iter().filter(|r| r.cut == cut) {
            let mut path = Path::new();
            if let Some(label) = ring.label {
                path = path.set("id", id(word, label, &mut ids));
            }
            group = group.add(path.set("d", data(&ring.segments, corners)));
        }
        document = document.add(group);
    }
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{document}\n")
}

fn group(id: &str, colour: &str) -> Group {
    Group::new()
        .set("id", id)
        .set("fill", "none")
        .set("stroke", colour)
        .set("stroke-width", number::length(HAIRLINE))
}

/// `kiss-12` for the twelfth label, `kiss-12-2` for its second contour.
fn id(word: &str, label: usize, ids: &mut BTreeMap<(String, usize), usize>) -> String {
    let count = ids.entry((word.to_owned(), label)).or_insert(0);
    *count += 1;
    match *count {
        1 => format!("{word}-{}", label + 1),
        n => format!("{word}-{}-{n}", label + 1),
    }
}

/// Path data: absolute, in plain letters, which every machine reads.
fn data(segments: &[PathSeg], corners: Corners) -> String {
    let mut out = String::new();
    let Some(start) = segments.first().map(PathSeg::start) else { return out };
    put(&mut out, 'M', &[], start);
    for (i, segment) in segments.iter().enumerate() {
        match (segment, corners) {
            // The last line back to the start is what closing draws.
            (PathSeg::Line(_), _) if i + 1 == segments.len() => {}
            (PathSeg::Line(line), _) => put(&mut out, 'L', &[], line.p1),
            (curve, Corners::Arcs) => arcs(&mut out, curve.to_cubic(), 8),
            (curve, Corners::Lines) => lines(&mut out, *curve),
        }
    }
    out.push('Z');
    out
}

fn put(out: &mut String, letter: char, before: &[&str], point: Point) {
    out.push(letter);
    for word in before {
        out.push_str(word);
        out.push(' ');
    }
    number::push(out, point.x, number::LENGTH);
    out.push(' ');
    number::push(out, point.y, number::LENGTH);
}

/// Short lines along a curve.
fn lines(out: &mut String, curve: PathSeg) {
    let path = kurbo::BezPath::from_path_segments(std::iter::once(curve));
    kurbo::flatten(path, LINE_TOLERANCE, |element| {
        if let PathEl::LineTo(point) = element {
            put(out, 'L', &[], point);
        }
    });
}

/// Arcs along a curve: one where one will do, else one for each half.
fn arcs(out: &mut String, curve: CubicBez, halvings: usize) {
    match fitted(curve) {
        Fit::Line => put(out, 'L', &[], curve.p3),
        Fit::Arc { radius, clockwise } => {
            let r = number::length(radius);
            put(out, 'A', &[&r, &r, "0 0", if clockwise { "1" } else { "0" }], curve.p3);
        }
        Fit::None if halvings == 0 => put(out, 'L', &[], curve.p3),
        Fit::None => {
            let (a, b) = curve.subdivide();
            arcs(out, a, halvings - 1);
            arcs(out, b, halvings - 1);
        }
    }
}

enum Fit {
    Line,
    Arc { radius: f64, clockwise: bool },
    None,
}

/// The circle through both ends and the middle of a curve, if the curve keeps to it.
fn fitted(curve: CubicBez) -> Fit {
    let (a, m, b) = (curve.p0, curve.eval(0.5), curve.p3);
    let (to_m, to_b) = (m - a, b - a);
    let cross = to_m.cross(to_b);
    let chord = to_b.hypot();
    let off = |p: Point| (p - a).cross(to_b).abs() / chord;
    let between = (1..8).map(|i| curve.eval(f64::from(i) / 8.0));
    if chord > 0.0 && between.clone().all(|p| off(p) <= ARC_TOLERANCE / 2.0) {
        return Fit::Line;
    }
    if cross == 0.0 {
        return Fit::None;
    }
    // From a: the point at equal distance from a, m and b.
    let (mm, bb) = (to_m.hypot2(), to_b.hypot2());
    let centre =
        a + kurbo::Vec2::new(to_b.y * mm - to_m.y * bb, to_m.x * bb - to_b.x * mm) / (2.0 * cross);
    let radius = centre.distance(a);
    let fits = between.clone().all(|p| (p.distance(centre) - radius).abs() <= ARC_TOLERANCE);
    let half = (chord / (2.0 * radius)).min(1.0).asin().to_degrees();
    let short = 2.0 * half <= MOST_ARC && (m - a).dot(b - m) > 0.0;
    if fits && short { Fit::Arc { radius, clockwise: cross > 0.0 } } else { Fit::None }
}
