//! The operations of a page.

use kurbo::{BezPath, PathEl, Point, Rect, Shape};
use printpdf::{
    CurTransMat, DictItem, ExtendedGraphicsStateId, FontId, LinePoint, Op, PaintMode,
    PdfFontHandle, Polygon, PolygonRing, Pt, TextMatrix, WindingOrder, XObjectId, XObjectTransform,
};

use super::boxes::Boxes;
use super::cuts::{self, CutLine};
use super::font::{self, Runs};
use super::font_name;
use super::form::symbol_name;
use super::inks::{Ink, Inks};
use crate::paint::fonts::Fonts;
use crate::sheet::palette::PaletteEntry;
use crate::sheet::{Area, FillRule, Item, Kind, Page, PaletteIndex, Rgb, Sheet, Text, Turn, Use};
use crate::type_::Face;

/// Millimetres to the micrometre, in the single precision that the library
/// writes; its unit type is called a point, but the page matrix makes them mm.
fn mm(value: f64) -> Pt {
    Pt(((value * 1000.0).round() / 1000.0) as f32)
}

/// Graphics states of a page for a press: printing over what lies below, and
/// knocking it out.
pub const OVER: &str = "Over";
pub const OUT: &str = "Out";
/// The colour space that prints on every plate.
pub const ALL: &str = "All";

/// Everything on a page, bottom to top.
pub fn page(
    sheet: &Sheet,
    page: &Page,
    (fonts, runs): (&Fonts, &[Runs<'_>]),
    boxes: &Boxes,
    (inks, lines): (Inks<'_>, &[CutLine]),
) -> Vec<Op> {
    let to_points = boxes.to_points().map(|v| v as f32);
    let mut ops = vec![
        Op::SaveGraphicsState,
        Op::SetTransformationMatrix { matrix: CurTransMat::Raw(to_points) },
    ];
    let mut writer = Writer { sheet, fonts, runs, inks, ops: Vec::new(), fill: None, over: None };
    writer.overprint(false);
    if boxes.marked() {
        writer.ops.push(Op::SaveGraphicsState);
        let clip = polygon(&boxes.bleed.to_path(0.1), FillRule::NonZero, PaintMode::Clip);
        writer.ops.push(Op::DrawPolygon { polygon: clip });
    }
    for item in &page.items {
        writer.item(item);
    }
    if boxes.marked() {
        writer.ops.push(Op::RestoreGraphicsState);
        writer.marks(boxes.marks());
    }
    ops.append(&mut writer.ops);
    ops.append(&mut cuts::operations(lines));
    ops.push(Op::RestoreGraphicsState);
    ops
}

struct Writer<'a> {
    sheet: &'a Sheet,
    fonts: &'a Fonts,
    runs: &'a [Runs<'a>],
    inks: Inks<'a>,
    ops: Vec<Op>,
    /// The fill colour in force.
    fill: Option<Ink>,
    /// Whether colours print over what lies below, as it was last written.
    over: Option<bool>,
}

impl Writer<'_> {
    fn item(&mut self, item: &Item) {
        match &item.kind {
            Kind::Use(used) => {
                self.overprint(false);
                self.symbol(used);
            }
            Kind::Area(area) => {
                self.fill(area.fill);
                self.area(area);
            }
            Kind::Text(text) => {
                self.fill(text.fill);
                self.text(text);
            }
        }
    }

    /// Only a press has plates that can overprint.
    fn overprint(&mut self, over: bool) {
        if self.inks.press().is_some() && self.over != Some(over) {
            let name = if over { OVER } else { OUT };
            let gs = ExtendedGraphicsStateId(name.to_owned());
            self.ops.push(Op::LoadGraphicsState { gs });
            self.over = Some(over);
        }
    }

    /// Fills what follows with an entry of the palette; words in black alone overprint.
    fn fill(&mut self, fill: PaletteIndex) {
        let ink = self.inks.of(fill);
        let is_word = || matches!(self.sheet.palette.entry(fill), PaletteEntry::Ink(_));
        self.overprint(ink == Ink::BLACK && is_word());
        self.ink(ink);
    }

    fn ink(&mut self, ink: Ink) {
        if self.fill != Some(ink) {
            let values = ink.channels().into_iter().map(|v| DictItem::Real(v as f32)).collect();
            self.ops.push(Op::Unknown { key: ink.operator().into(), value: values });
            self.fill = Some(ink);
        }
    }

    fn area(&mut self, area: &Area) {
        let polygon = polygon(&area.path, area.rule, PaintMode::Fill);
        self.ops.push(Op::DrawPolygon { polygon });
    }

    /// Crop marks: on every plate of a press, so that each can be cut alike.
    fn marks(&mut self, marks: Vec<Rect>) {
        // As it was before the clip: no colour, and everything knocks out.
        (self.fill, self.over) = (None, Some(false));
        if self.inks.press().is_some() {
            let space = DictItem::Name(ALL.into());
            self.ops.push(Op::Unknown { key: "cs".into(), value: vec![space] });
            self.ops.push(Op::Unknown { key: "scn".into(), value: vec![DictItem::Int(1)] });
        } else {
            self.ink(Ink::Rgb(Rgb(0, 0, 0)));
        }
        for mark in marks {
            let polygon = polygon(&mark.to_path(0.1), FillRule::NonZero, PaintMode::Fill);
            self.ops.push(Op::DrawPolygon { polygon });
        }
    }

    fn symbol(&mut self, used: &Use) {
        if used.symbol.0 >= self.sheet.symbols.len() {
            return;
        }
        let scale = (used.scale != 1.0).then_some(used.scale as f32);
        let transform = XObjectTransform {
            translate_x: Some(mm(used.x)),
            translate_y: Some(mm(used.y)),
            scale_x: scale,
            scale_y: scale,
            no_auto_scale: true,
            ..XObjectTransform::default()
        };
        self.ops.push(Op::UseXobject { id: XObjectId(symbol_name(used.symbol)), transform });
    }

    fn text(&mut self, text: &Text) {
        let Some(index) = self.fonts.of(text) else { return };
        // The page's y runs down, so the text's own y is turned up again.
        let (x, y) = (mm(text.x).0, mm(text.y).0);
        let matrix = match text.turn {
            Turn::Level => [1.0, 0.0, 0.0, -1.0, x, y],
            Turn::Up => [0.0, -1.0, -1.0, 0.0, x, y],
        };
        let face = &self.sheet.faces[text.face];
        self.ops.extend([
            Op::StartTextSection,
            Op::SetFont {
                font: PdfFontHandle::External(FontId(font_name(index))),
                size: mm(text.size),
            },
            Op::SetTextMatrix { matrix: TextMatrix::Raw(matrix) },
            Op::Unknown {
                key: "TJ".into(),
                value: vec![DictItem::Array(run(text, face, &self.runs[index]))],
            },
            Op::EndTextSection,
        ]);
    }
}

/// Strings of glyph codes with the shifts between them, in thousandths of an em.
fn run(text: &Text, face: &Face, runs: &Runs<'_>) -> Vec<DictItem> {
    let mut out = Vec::new();
    let mut codes: Vec<u8> = Vec::new();
    // Where the reader's pen is, in thousandths of an em.
    let mut pen = 0.0;
    let size = f64::from(mm(text.size).0);
    for glyph in &text.glyphs {
        let shift = ((pen - glyph.x * 1000.0 / size) * 10.0).round() / 10.0;
        if shift.abs() > 0.5 {
            if !codes.is_empty() {
                out.push(DictItem::Bytes(std::mem::take(&mut codes)));
            }
            out.push(DictItem::Real(shift as f32));
            pen -= shift;
        }
        let Some(code) = runs.code(glyph.ch) else { continue };
        codes.extend(code.to_be_bytes());
        pen += font::thousandths(runs.advance(glyph.id), face);
    }
    if !codes.is_empty() {
        out.push(DictItem::Bytes(codes));
    }
    out
}

/// A path as the library has it: every ring is closed, quadratics raised to cubics.
pub fn polygon(path: &BezPath, rule: FillRule, mode: PaintMode) -> Polygon {
    let point =
        |p: Point, bezier| LinePoint { p: printpdf::Point { x: mm(p.x), y: mm(p.y) }, bezier };
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
    Polygon { rings, mode, winding_order }
}
