//! The one writer of operators, for pages, parts and cuts: printpdf, which is given its typed
//! operations and gives back the bytes of a content stream.

use kurbo::{BezPath, PathEl, Point};
use lopdf::Object;
use printpdf::{
    Cmyk, Color, CustomPdfConformance, DictItem, LinePoint, Mm, Op, PaintMode, PdfConformance,
    PdfDocument, PdfPage, PdfSaveOptions, Polygon, PolygonRing, Pt, Rgb, WindingOrder,
};

use super::inks::Ink;
use crate::sheet::FillRule;

/// What coordinates are counted in. printpdf writes them in single precision; its unit is called
/// a point, but a matrix makes it what it is.
#[derive(Debug, Clone, Copy)]
pub struct Unit {
    per_mm: f64,
    /// Steps in a unit.
    steps: f64,
}

impl Unit {
    /// Of a page: millimetres to the micrometre.
    pub const PAGE: Unit = Unit { per_mm: 1.0, steps: 1e3 };
    /// Of a form: tenths of it are micrometres and short to write. In smaller units at least one
    /// reader takes the matrix of a pattern for singular where it draws a page as a small picture.
    pub const FORM: Unit = Unit { per_mm: 100.0, steps: 10.0 };
    /// Decimals of lengths in [`Unit::FORM`].
    pub const FORM_DECIMALS: usize = 1;

    /// Units in a millimetre.
    pub fn per_mm(self) -> f64 {
        self.per_mm
    }

    /// A length, mm.
    pub fn of(self, length: f64) -> Pt {
        // Never -0, which is a longer way to write 0.
        let rounded = (length * self.per_mm * self.steps).round() / self.steps + 0.0;
        let single = rounded as f32;
        Pt(if single.is_finite() { single } else { 0.0 })
    }
}

/// The bytes of a content stream.
pub fn content(operations: Vec<Op>) -> Vec<u8> {
    contents(vec![operations]).pop().unwrap_or_default()
}

/// The bytes of several content streams.
pub fn contents(streams: Vec<Vec<Op>>) -> Vec<Vec<u8>> {
    // printpdf translates whole documents only. This one has pages and nothing else.
    let mut document = PdfDocument::new("");
    document.metadata.info.conformance = PdfConformance::Custom(CustomPdfConformance::default());
    let page = |operations| PdfPage::new(Mm(1.0), Mm(1.0), operations);
    document.pages = streams.into_iter().map(page).collect();
    let options = PdfSaveOptions {
        optimize: false,
        subset_fonts: false,
        // 'Secure' leaves out the operators that printpdf has no type for.
        secure: false,
        image_optimization: None,
    };
    let made = document.to_lopdf_document(&options, &mut Vec::new());
    // It numbers them in the order of the pages.
    let content = |object| match object {
        Object::Stream(stream) => Some(stream.content),
        _ => None,
    };
    made.objects.into_values().filter_map(content).collect()
}

/// About how many bytes operations come to.
pub fn weight(operations: &[Op]) -> usize {
    let each = |op: &Op| match op {
        Op::Unknown { key, value } => key.len() + 16 * value.len(),
        Op::DrawPolygon { polygon } => polygon.rings.iter().map(|r| 16 * r.points.len()).sum(),
        _ => 24,
    };
    operations.iter().map(each).sum()
}

/// An operator that printpdf has no type for.
pub fn other(operator: &str, operands: Vec<DictItem>) -> Op {
    Op::Unknown { key: operator.into(), value: operands }
}

/// Operators that [`content`] has written before, as they are.
pub fn again(written: &str) -> Op {
    other(written, Vec::new())
}

/// Fills what follows.
pub fn fill(ink: Ink) -> Op {
    let share = |n: usize| ink.channels()[n] as f32;
    let col = match ink {
        Ink::Rgb(_) => Color::Rgb(Rgb::new(share(0), share(1), share(2), None)),
        Ink::Cmyk(_) => Color::Cmyk(Cmyk::new(share(0), share(1), share(2), share(3), None)),
    };
    Op::SetFillColor { col }
}

/// A path of rings, each of them closed; quadratics are raised to cubics.
pub fn polygon(path: &BezPath, unit: Unit, rule: FillRule, mode: PaintMode) -> Op {
    let point = |p: Point, bezier| LinePoint {
        p: printpdf::Point { x: unit.of(p.x), y: unit.of(p.y) },
        bezier,
    };
    let mut rings: Vec<PolygonRing> = Vec::new();
    let mut points: Vec<LinePoint> = Vec::new();
    let mut pen = Point::ZERO;
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => {
                if points.len() > 1 {
                    rings.push(PolygonRing { points: std::mem::take(&mut points) });
                }
                points = vec![point(p, false)];
            }
            PathEl::LineTo(p) => points.push(point(p, false)),
            PathEl::QuadTo(c, p) => {
                let third = |a: Point| a + (c - a) * (2.0 / 3.0);
                points.extend([point(third(pen), true), point(third(p), true), point(p, false)]);
            }
            PathEl::CurveTo(a, b, p) => {
                points.extend([point(a, true), point(b, true), point(p, false)]);
            }
            PathEl::ClosePath => {}
        }
        pen = element.end_point().unwrap_or(pen);
    }
    if points.len() > 1 {
        rings.push(PolygonRing { points });
    }
    let winding_order = match rule {
        FillRule::NonZero => WindingOrder::NonZero,
        FillRule::EvenOdd => WindingOrder::EvenOdd,
    };
    Op::DrawPolygon { polygon: Polygon { rings, mode, winding_order } }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet;

    fn written(operations: Vec<Op>) -> String {
        String::from_utf8(content(operations)).expect("text")
    }

    #[test]
    fn operators_are_those_that_were_asked_for() {
        let mut path = BezPath::new();
        path.move_to((0.0, 0.0));
        path.line_to((1.2346, -0.00001));
        path.curve_to((1.0, 2.0), (3.0, 4.0), (5.0, 6.0));
        path.close_path();
        let filled = |unit, rule| polygon(&path, unit, rule, PaintMode::Fill);
        let page = written(vec![filled(Unit::PAGE, FillRule::NonZero)]);
        assert_eq!(page, "0 0 m\n1.235 0 l\n1 2 3 4 5 6 c\nh\nf");
        let form = written(vec![filled(Unit::FORM, FillRule::EvenOdd)]);
        assert_eq!(form, "0 0 m\n123.5 0 l\n100 200 300 400 500 600 c\nh\nf*");
        let named = other("scn", vec![DictItem::Name(b"P0".to_vec())]);
        let blue = fill(Ink::Rgb(sheet::Rgb(0, 0, 255)));
        assert_eq!(written(vec![again(&form), named, blue]), format!("{form}\n/P0 scn\n0 0 1 rg"));
    }

    #[test]
    fn streams_come_back_in_their_order() {
        let stream = |n: usize| vec![other("scn", vec![DictItem::Int(n as i64)]); n % 3];
        let line = |n: usize| vec![format!("{n} scn"); n % 3].join("\n").into_bytes();
        let written = contents((0..300).map(stream).collect());
        assert_eq!(written, (0..300).map(line).collect::<Vec<_>>());
    }

    #[test]
    fn what_is_no_number_is_written_as_one() {
        for v in [f64::NAN, f64::INFINITY, 1e300] {
            assert_eq!(Unit::PAGE.of(v), Pt(0.0));
        }
    }
}
