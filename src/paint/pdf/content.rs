//! The operations of a page.

use kurbo::{Rect, Shape};
use printpdf::{
    CurTransMat, DictItem, ExtendedGraphicsStateId, FontId, Op, PaintMode, PdfFontHandle, Pt,
    TextMatrix, XObjectId, XObjectTransform,
};

use super::boxes::Boxes;
use super::cuts::{self, CutLine};
use super::font::{self, Runs};
use super::form::symbol_name;
use super::image;
use super::inks::{Ink, Inks};
use super::operators::{self, Unit, other, polygon};
use crate::paint::fonts::Fonts;
use crate::sheet::palette::PaletteEntry;
use crate::sheet::{
    Area, FillRule, ImageUse, Item, ItemKind, Page, PaletteIndex, Rgb, Sheet, Text, Turn, Use,
};
use crate::type_::Face;

/// A length on the page, as it is written.
fn mm(value: f64) -> Pt {
    Unit::PAGE.of(value)
}

/// Graphics states of a page for a press: printing over what lies below, and
/// knocking it out.
pub const OVER: &str = "Over";
pub const OUT: &str = "Out";
/// The colour space that prints on every plate.
pub const ALL: &str = "All";

/// What all pages are drawn with.
pub struct Pages<'a> {
    pub sheet: &'a Sheet,
    pub inks: Inks<'a>,
    pub boxes: &'a Boxes,
    pub fonts: &'a Fonts,
    /// Of each of the fonts.
    pub runs: Vec<Runs<'a>>,
}

impl Pages<'_> {
    /// Everything on a page, bottom to top, its cuts last.
    pub fn operations(&self, page: &Page, cuts: &[CutLine]) -> Vec<Op> {
        let boxes = self.boxes;
        let to_points = CurTransMat::Raw(boxes.to_points().map(|v| v as f32));
        let ops = vec![Op::SaveGraphicsState, Op::SetTransformationMatrix { matrix: to_points }];
        let mut writer = Writer { pages: self, ops, fill: None, over: None };
        writer.overprint(false);
        if boxes.marked() {
            writer.ops.push(Op::SaveGraphicsState);
            let clip = boxes.bleed.to_path(0.1);
            writer.ops.push(polygon(&clip, Unit::PAGE, FillRule::NonZero, PaintMode::Clip));
        }
        for item in &page.items {
            writer.item(item);
        }
        if boxes.marked() {
            writer.ops.push(Op::RestoreGraphicsState);
            writer.marks(boxes.marks());
        }
        let mut ops = writer.ops;
        ops.append(&mut cuts::operations(cuts));
        ops.push(Op::RestoreGraphicsState);
        ops
    }
}

struct Writer<'a> {
    pages: &'a Pages<'a>,
    ops: Vec<Op>,
    /// The fill colour in force.
    fill: Option<Ink>,
    /// Whether colours print over what lies below, as it was last written.
    over: Option<bool>,
}

impl Writer<'_> {
    fn item(&mut self, item: &Item) {
        match &item.kind {
            ItemKind::Use(used) => {
                self.overprint(false);
                self.symbol(used);
            }
            ItemKind::Image(used) => {
                self.overprint(false);
                self.image(used);
            }
            ItemKind::Area(area) => {
                self.fill(area.fill);
                self.area(area);
            }
            ItemKind::Text(text) => {
                self.fill(text.fill);
                self.text(text);
            }
        }
    }

    /// Only a press has plates that can overprint.
    fn overprint(&mut self, over: bool) {
        if self.pages.inks.press().is_some() && self.over != Some(over) {
            let name = if over { OVER } else { OUT };
            let gs = ExtendedGraphicsStateId(name.to_owned());
            self.ops.push(Op::LoadGraphicsState { gs });
            self.over = Some(over);
        }
    }

    /// Fills what follows with an entry of the palette; words in black alone overprint.
    fn fill(&mut self, fill: PaletteIndex) {
        let ink = self.pages.inks.of(fill);
        let is_word = || matches!(self.pages.sheet.palette.entry(fill), PaletteEntry::Ink(_));
        self.overprint(ink == Ink::BLACK && is_word());
        self.ink(ink);
    }

    fn ink(&mut self, ink: Ink) {
        if self.fill != Some(ink) {
            self.ops.push(operators::fill(ink));
            self.fill = Some(ink);
        }
    }

    fn area(&mut self, area: &Area) {
        self.ops.push(polygon(&area.path, Unit::PAGE, area.rule, PaintMode::Fill));
    }

    /// Crop marks: on every plate of a press, so that each can be cut alike.
    fn marks(&mut self, marks: Vec<Rect>) {
        // As it was before the clip: no colour, and everything knocks out.
        (self.fill, self.over) = (None, Some(false));
        if self.pages.inks.press().is_some() {
            self.ops.push(Op::SetColorSpaceFill { id: ALL.into() });
            self.ops.push(other("scn", vec![DictItem::Int(1)]));
        } else {
            self.ink(Ink::Rgb(Rgb(0, 0, 0)));
        }
        for mark in marks {
            let path = mark.to_path(0.1);
            self.ops.push(polygon(&path, Unit::PAGE, FillRule::NonZero, PaintMode::Fill));
        }
    }

    fn symbol(&mut self, used: &Use) {
        if used.symbol.0 >= self.pages.sheet.symbols.len() {
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

    fn image(&mut self, used: &ImageUse) {
        let Some(image) = self.pages.sheet.images.get(used.image.0) else { return };
        let at = used.on_page(image);
        // An image is the unit square, its foot at 0; the page's y runs down.
        let (width, height) = (mm(at.width()).0, mm(at.height()).0);
        let matrix = [width, 0.0, 0.0, -height, mm(at.x0).0, mm(at.y1).0];
        self.ops.extend([
            Op::SaveGraphicsState,
            Op::SetTransformationMatrix { matrix: CurTransMat::Raw(matrix) },
            other("Do", vec![DictItem::Name(image::name(used.image).into())]),
            Op::RestoreGraphicsState,
        ]);
    }

    fn text(&mut self, text: &Text) {
        let Some(index) = self.pages.fonts.of(text) else { return };
        // The page's y runs down, so the text's own y is turned up again.
        let (x, y) = (mm(text.x).0, mm(text.y).0);
        let matrix = match text.turn {
            Turn::Level => [1.0, 0.0, 0.0, -1.0, x, y],
            Turn::Up => [0.0, -1.0, -1.0, 0.0, x, y],
        };
        let face = &self.pages.sheet.faces[text.face];
        self.ops.extend([
            Op::StartTextSection,
            Op::SetFont {
                font: PdfFontHandle::External(FontId(font::name(index))),
                size: mm(text.size),
            },
            Op::SetTextMatrix { matrix: TextMatrix::Raw(matrix) },
            other("TJ", vec![DictItem::Array(run(text, face, &self.pages.runs[index]))]),
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
