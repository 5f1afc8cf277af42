//! The contents of a page, ready for drawing: every path built once.

use std::collections::HashMap;
use std::sync::Arc;

use kurbo::{BezPath, PathEl, Rect, Shape as _};
use tiny_skia::{FillRule, Path, PathBuilder};

use super::ramp::Ramps;
use crate::paint::gradient;
use crate::sheet::{self, Coloured, Item, ItemKind, PaletteIndex, PaletteMap, Rgb, Sheet, Turn};
use crate::type_::FaceId;

/// What fills a layer of a symbol. Small: a large sheet has half a million.
#[derive(Debug, Clone, Copy)]
pub enum LayerPaint {
    Solid(Rgb),
    /// The gradient's geometry, and which gradient of the sheet it is.
    Ramp(u32, u32),
}

/// Something to draw, and everything it may touch, mm.
pub struct Mark {
    pub bounds: Rect,
    pub kind: MarkKind,
}

/// What is drawn.
pub enum MarkKind {
    /// A rectangle, mm.
    Rect(Rect, Rgb),
    /// A path in page coordinates.
    Area {
        path: usize,
        rule: FillRule,
        fill: Rgb,
    },
    Use(sheet::Use),
    Image(sheet::ImageUse),
    /// Glyph path and position along the baseline.
    Text {
        x: f64,
        y: f64,
        size: f64,
        turn: Turn,
        fill: Rgb,
        glyphs: Vec<(usize, f64)>,
    },
}

/// Paths built so far: first the outlines of the sheets, then glyphs and areas as they come.
pub struct Paths {
    pub all: Vec<Option<Path>>,
    glyphs: HashMap<(FaceId, u16), usize>,
}

impl Paths {
    /// With the outlines of sheets that share them.
    pub fn of(outlines: &[Arc<BezPath>]) -> Paths {
        Paths { all: outlines.iter().map(|o| path(o)).collect(), glyphs: HashMap::new() }
    }

    /// An item, with the paths that it needs.
    pub fn mark(&mut self, Coloured { sheet, colours }: Coloured<'_, Rgb>, item: &Item) -> Mark {
        let kind = match &item.kind {
            ItemKind::Area(area) => {
                let fill = colours.of(area.fill);
                match rectangle(&area.path) {
                    Some(rect) => MarkKind::Rect(rect, fill),
                    None => {
                        let path = self.add(&area.path);
                        MarkKind::Area { path, rule: rule(area.rule), fill }
                    }
                }
            }
            ItemKind::Use(used) => MarkKind::Use(*used),
            ItemKind::Image(used) => MarkKind::Image(*used),
            ItemKind::Text(text) => {
                let mut run = Vec::with_capacity(text.glyphs.len());
                for glyph in &text.glyphs {
                    let index = self.glyph(sheet, text.face, glyph.id);
                    if self.all[index].is_some() {
                        run.push((index, glyph.x));
                    }
                }
                let sheet::Text { x, y, size, turn, fill, .. } = **text;
                MarkKind::Text { x, y, size, turn, fill: colours.of(fill), glyphs: run }
            }
        };
        Mark { bounds: item.bounds, kind }
    }

    fn glyph(&mut self, sheet: &Sheet, face: FaceId, id: u16) -> usize {
        if let Some(&index) = self.glyphs.get(&(face, id)) {
            return index;
        }
        let index = self.add(&sheet.faces[face].outline(id));
        self.glyphs.insert((face, id), index);
        index
    }

    fn add(&mut self, outline: &BezPath) -> usize {
        self.all.push(path(outline));
        self.all.len() - 1
    }
}

/// The symbols of a sheet, ready for drawing.
#[derive(Default)]
pub struct Symbols {
    /// Of each symbol, what fills its layers.
    pub layers: Vec<Vec<LayerPaint>>,
    /// How many gradients there are.
    pub gradients: u32,
}

impl Symbols {
    /// Prepares all of them, with the geometry of their gradients.
    pub fn of(Coloured { sheet, colours }: Coloured<'_, Rgb>, ramps: &mut Ramps) -> Symbols {
        let mut out = Symbols::default();
        for symbol in &sheet.symbols {
            let paint = |layer: sheet::Layer| out.paint(&layer.paint, colours, ramps);
            let layers: Vec<LayerPaint> = symbol.layers().map(paint).collect();
            out.layers.push(layers);
        }
        out
    }

    fn paint(
        &mut self,
        paint: &sheet::Paint,
        colours: &PaletteMap<Rgb>,
        ramps: &mut Ramps,
    ) -> LayerPaint {
        let gradient = match paint {
            sheet::Paint::Solid(fill) => return LayerPaint::Solid(colours.of(*fill)),
            sheet::Paint::Gradient(gradient) => gradient,
        };
        match (gradient::flat(gradient), ramps.index(gradient)) {
            (Some(fill), _) => LayerPaint::Solid(colours.of(fill)),
            (None, None) => LayerPaint::Solid(colours.of(PaletteIndex::PAPER)),
            (None, Some(ramp)) => {
                self.gradients += 1;
                LayerPaint::Ramp(ramp as u32, self.gradients - 1)
            }
        }
    }
}

/// The rectangle that a path is, if it is one.
fn rectangle(path: &BezPath) -> Option<Rect> {
    let corners = path.elements().iter().filter_map(|e| match e {
        PathEl::MoveTo(p) | PathEl::LineTo(p) => Some(Some(*p)),
        PathEl::ClosePath => None,
        _ => Some(None),
    });
    let corners: Vec<kurbo::Point> = corners.collect::<Option<_>>()?;
    let moves = path.elements().iter().filter(|e| matches!(e, PathEl::MoveTo(_))).count();
    let [a, b, c, d] = corners[..] else { return None };
    let across = a.y == b.y && b.x == c.x && c.y == d.y && d.x == a.x;
    let down = a.x == b.x && b.y == c.y && c.x == d.x && d.y == a.y;
    (moves == 1 && (across || down)).then(|| path.bounding_box())
}

/// The same in the rasteriser's words.
pub fn rule(rule: sheet::FillRule) -> FillRule {
    match rule {
        sheet::FillRule::NonZero => FillRule::Winding,
        sheet::FillRule::EvenOdd => FillRule::EvenOdd,
    }
}

/// `None` for a path that encloses nothing.
fn path(outline: &BezPath) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for element in outline.elements() {
        match *element {
            PathEl::MoveTo(p) => builder.move_to(p.x as f32, p.y as f32),
            PathEl::LineTo(p) => builder.line_to(p.x as f32, p.y as f32),
            PathEl::QuadTo(a, p) => {
                builder.quad_to(a.x as f32, a.y as f32, p.x as f32, p.y as f32);
            }
            PathEl::CurveTo(a, b, p) => builder
                .cubic_to(a.x as f32, a.y as f32, b.x as f32, b.y as f32, p.x as f32, p.y as f32),
            PathEl::ClosePath => builder.close(),
        }
    }
    builder.finish()
}
