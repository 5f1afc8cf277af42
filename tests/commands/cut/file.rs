//! The cut file as usvg reads it: it knows nothing of how the file was written.

use std::f64::consts::PI;

use kurbo::{Affine, BezPath, ParamCurve as _, ParamCurveArclen as _, Point, Rect, Shape as _};
use shadecard::labels::CutSheet;
use shadecard::labels::cut::{Corners, svg};
use shadecard::labels::travel::way;
use shadecard::work::Work;
use usvg::tiny_skia_path::PathSegment;

use super::{LABEL, corners, grid, with_holes};

/// A path of the file: the id of its group and its own, and what it draws, mm.
struct Read {
    group: String,
    id: String,
    path: BezPath,
}

fn text(sheet: &CutSheet, corners: Corners) -> String {
    svg(sheet, &way(sheet, Point::ORIGIN, &Work::default()), corners)
}

/// Every path of a file; each must be one closed line, without fill, a hairline wide.
fn read(text: &str) -> Vec<Read> {
    let tree = usvg::Tree::from_str(text, &usvg::Options::default()).expect("an SVG");
    let mut out = Vec::new();
    fn walk(group: &usvg::Group, out: &mut Vec<Read>) {
        for node in group.children() {
            match node {
                usvg::Node::Group(g) => walk(g, out),
                usvg::Node::Path(p) => {
                    assert!(p.fill().is_none(), "{} is filled", p.id());
                    let stroke = p.stroke().expect("a line");
                    let to_mm = 25.4 / 96.0;
                    let t = p.abs_transform();
                    assert!(f64::from(stroke.width().get() * t.sx) * to_mm <= 0.025);
                    let closes = |s: &PathSegment| matches!(s, PathSegment::Close);
                    let begins = |s: &PathSegment| matches!(s, PathSegment::MoveTo(_));
                    let segments: Vec<PathSegment> = p.data().segments().collect();
                    assert_eq!(segments.iter().filter(|s| closes(s)).count(), 1, "{}", p.id());
                    assert_eq!(segments.iter().filter(|s| begins(s)).count(), 1, "{}", p.id());
                    assert!(closes(segments.last().expect("something")), "{}", p.id());
                    let place = Affine::new(
                        [t.sx, t.ky, t.kx, t.sy, t.tx, t.ty].map(|v| f64::from(v) * to_mm),
                    );
                    let at =
                        |p: usvg::tiny_skia_path::Point| Point::new(f64::from(p.x), f64::from(p.y));
                    let mut path = BezPath::new();
                    for segment in segments {
                        match segment {
                            PathSegment::MoveTo(p) => path.move_to(at(p)),
                            PathSegment::LineTo(p) => path.line_to(at(p)),
                            PathSegment::QuadTo(a, p) => path.quad_to(at(a), at(p)),
                            PathSegment::CubicTo(a, b, p) => path.curve_to(at(a), at(b), at(p)),
                            PathSegment::Close => path.close_path(),
                        }
                    }
                    out.push(Read {
                        group: group.id().to_owned(),
                        id: p.id().to_owned(),
                        path: place * path,
                    });
                }
                _ => panic!("something that is no path"),
            }
        }
    }
    walk(tree.root(), &mut out);
    out
}

/// How far a point is from the outline of a rounded rectangle, mm; negative inside.
/// The distance to a box, less the radius: common practice, no source.
fn from_outline(point: Point, at: Point) -> f64 {
    let (w, h, r) = LABEL;
    let x = (point.x - at.x - w / 2.0).abs() - (w / 2.0 - r);
    let y = (point.y - at.y - h / 2.0).abs() - (h / 2.0 - r);
    x.max(0.0).hypot(y.max(0.0)) + x.max(y).min(0.0) - r
}

/// The farthest that any of a path is from a label's outline, mm.
fn farthest(path: &BezPath, at: Point) -> f64 {
    let points = path.segments().flat_map(|s| (0..=16).map(move |i| s.eval(f64::from(i) / 16.0)));
    points.map(|p| from_outline(p, at).abs()).fold(0.0, f64::max)
}

#[test]
fn labels_hold_their_place_their_area_and_their_number() {
    let (w, h, r) = LABEL;
    let area = w * h - (4.0 - PI) * r * r;
    for form in [Corners::Arcs, Corners::Lines] {
        let read = read(&text(&grid(5, 11), form));
        let labels: Vec<&Read> = read.iter().filter(|r| r.group == "kiss-cuts").collect();
        assert_eq!(labels.len(), 55);
        let mut seen = vec![0; 55];
        for l in &labels {
            let number: usize = l.id.strip_prefix("kiss-").expect("kiss-n").parse().expect("n");
            seen[number - 1] += 1;
            let off = farthest(&l.path, corners(5, 11)[number - 1]);
            assert!(off <= 0.005, "{form:?} {}: {off} mm", l.id);
            // So far off all round is more than enough for the area.
            let (found, around) =
                (l.path.area().abs(), l.path.segments().map(|s| s.arclen(1e-6)).sum::<f64>());
            assert!((found - area).abs() <= 0.0015 * around, "{form:?} {}: {found} mm2", l.id);
        }
        assert_eq!(seen, vec![1; 55]);
        let boxes: Vec<Rect> = labels.iter().map(|l| l.path.bounding_box()).collect();
        for (i, a) in boxes.iter().enumerate() {
            assert!(boxes[..i].iter().all(|b| a.intersect(*b).area() == 0.0), "{form:?}");
        }
    }
}

#[test]
fn registration_marks_are_a_group_of_circles() {
    let sheet = grid(3, 4);
    let read = read(&text(&sheet, Corners::Arcs));
    let marks: Vec<&Read> = read.iter().filter(|r| r.group == "registration-marks").collect();
    assert_eq!(marks.len(), 4);
    for (mark, at) in marks.iter().zip(&sheet.marks) {
        for segment in mark.path.segments() {
            let off = segment.eval(0.5).distance(*at) - 2.0;
            assert!(off.abs() < 0.005, "{off}");
        }
    }
}

#[test]
fn width_height_and_view_box_agree_and_nothing_but_lines_is_there() {
    let text = text(&with_holes(3, 4), Corners::Arcs);
    let document = usvg::roxmltree::Document::parse(&text).expect("XML");
    let root = document.root_element();
    assert_eq!(root.attribute("width"), Some("131.2mm"));
    assert_eq!(root.attribute("height"), Some("123.5mm"));
    assert_eq!(root.attribute("viewBox"), Some("0 0 131.2 123.5"));
    let names: std::collections::BTreeSet<&str> =
        document.descendants().filter(|n| n.is_element()).map(|n| n.tag_name().name()).collect();
    assert_eq!(names.into_iter().collect::<Vec<_>>(), ["g", "path", "svg"]);
    let groups: Vec<&str> = root.children().filter_map(|n| n.attribute("id")).collect();
    assert_eq!(groups, ["registration-marks", "kiss-cuts", "through-cuts"]);
    let ids: Vec<&str> = document.descendants().filter_map(|n| n.attribute("id")).collect();
    let alone: std::collections::BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(ids.len(), alone.len());
}

#[test]
fn corners_are_arcs_or_lines_as_asked() {
    for (form, letters) in [(Corners::Arcs, "ALMZ"), (Corners::Lines, "LMZ")] {
        let text = text(&grid(2, 2), form);
        let document = usvg::roxmltree::Document::parse(&text).expect("XML");
        let data = document.descendants().filter_map(|n| n.attribute("d"));
        let used: std::collections::BTreeSet<char> =
            data.flat_map(str::chars).filter(|c| c.is_alphabetic()).collect();
        assert_eq!(used.into_iter().collect::<String>(), letters);
    }
}

/// A turned and skewed corner is no arc of a circle; it still holds its place.
#[test]
fn a_corrected_cut_holds_its_place_too() {
    let to = Affine::translate((0.7, -0.2)) * Affine::new([1.003, 0.007, -0.006, 0.998, 0.0, 0.0]);
    let mut sheet = grid(4, 5);
    sheet.contours.iter_mut().for_each(|c| c.path.apply_affine(to));
    for form in [Corners::Arcs, Corners::Lines] {
        let read = read(&text(&sheet, form));
        for l in read.iter().filter(|r| r.group == "kiss-cuts") {
            let number: usize = l.id.strip_prefix("kiss-").expect("kiss-n").parse().expect("n");
            let back = to.inverse() * l.path.clone();
            let off = farthest(&back, corners(4, 5)[number - 1]);
            assert!(off <= 0.005, "{form:?} {}: {off} mm", l.id);
        }
    }
}

#[test]
fn kiss_before_through_and_inner_before_outer() {
    let read = read(&text(&with_holes(3, 4), Corners::Arcs));
    let cuts: Vec<&Read> = read.iter().filter(|r| r.group != "registration-marks").collect();
    assert_eq!(cuts.len(), 12 + 12 + 12 + 1);
    let first_through = cuts.iter().position(|c| c.group == "through-cuts");
    assert_eq!(first_through, Some(12));
    for (i, cut) in cuts.iter().enumerate().skip(12) {
        let inside = cut.path.bounding_box();
        let outer = cuts[12..i].iter().find(|c| {
            let b = c.path.bounding_box();
            b.union(inside) == b
        });
        assert!(outer.is_none(), "{} is cut out before {}", outer.map_or("", |c| &c.id), cut.id);
    }
    // Each label, its hole, and the sheet.
    let area: f64 = cuts[12..].iter().map(|c| c.path.area().abs()).fold(0.0, f64::max);
    assert!((area - 129.2 * 103.5).abs() < 0.1, "{area}");
}
