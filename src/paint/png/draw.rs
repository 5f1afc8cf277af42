//! A page prepared for drawing, and one strip of it drawn.

use std::collections::HashMap;

use kurbo::{BezPath, PathEl};
use tiny_skia::{
    Color, FillRule, GradientStop, LinearGradient, Paint, Path, PathBuilder, Pixmap, Point,
    RadialGradient, Shader, SpreadMode, Transform,
};

use crate::paint::gradient;
use crate::sheet::{self, Gradient, Kind, Page, Ramp, Rgb, Sheet, Turn};
use crate::type_::FaceId;
use crate::units::Dpi;

/// A filled path in its own coordinates.
struct Fill {
    path: usize,
    rule: FillRule,
    paint: Paint<'static>,
}

/// Something to draw: where it is put, in mm, and the rows it touches.
struct Mark {
    top: f64,
    bottom: f64,
    kind: MarkKind,
}

enum MarkKind {
    /// In page coordinates.
    Area(Fill),
    Use(sheet::Use),
    /// Glyph path and position along the baseline.
    Text {
        x: f64,
        y: f64,
        size: f64,
        turn: Turn,
        paint: Paint<'static>,
        glyphs: Vec<(usize, f64)>,
    },
}

/// A page with every path built once; strips are drawn from it on any thread.
pub struct Scene {
    paths: Vec<Option<Path>>,
    symbols: Vec<Vec<Fill>>,
    marks: Vec<Mark>,
}

impl Scene {
    /// Prepares everything on `page`.
    pub fn new(sheet: &Sheet, page: &Page) -> Scene {
        let mut paths: Vec<Option<Path>> = sheet.outlines.iter().map(|o| path(o)).collect();
        let symbols = sheet
            .symbols
            .iter()
            .map(|symbol| {
                let layers = symbol.layers.iter();
                layers
                    .map(|layer| Fill {
                        path: layer.outline.0,
                        rule: rule(layer.rule),
                        paint: paint(shader(&layer.paint, layer.opacity)),
                    })
                    .collect()
            })
            .collect();
        let mut glyphs: HashMap<(FaceId, u16), usize> = HashMap::new();
        let mut marks = Vec::with_capacity(page.items.len());
        for item in &page.items {
            let kind = match &item.kind {
                Kind::Area(area) => {
                    paths.push(path(&area.path));
                    let path = paths.len() - 1;
                    MarkKind::Area(Fill { path, rule: rule(area.rule), paint: solid(area.fill) })
                }
                Kind::Use(used) => MarkKind::Use(*used),
                Kind::Text(text) => {
                    let mut run = Vec::with_capacity(text.glyphs.len());
                    for glyph in &text.glyphs {
                        let index = *glyphs.entry((text.face, glyph.id)).or_insert_with(|| {
                            paths.push(path(&sheet.faces[text.face].outline(glyph.id)));
                            paths.len() - 1
                        });
                        if paths[index].is_some() {
                            run.push((index, glyph.x));
                        }
                    }
                    MarkKind::Text {
                        x: text.x,
                        y: text.y,
                        size: text.size,
                        turn: text.turn,
                        paint: solid(text.fill),
                        glyphs: run,
                    }
                }
            };
            marks.push(Mark { top: item.bounds.y0, bottom: item.bounds.y1, kind });
        }
        Scene { paths, symbols, marks }
    }

    /// RGB bytes of `rows` rows from row `top` on, on white.
    pub fn strip(&self, dpi: Dpi, width: u32, top: u32, rows: u32) -> Vec<u8> {
        let Some(mut pixmap) = Pixmap::new(width, rows) else {
            return vec![255; width as usize * rows as usize * 3];
        };
        pixmap.fill(Color::WHITE);
        let strip = Strip { scale: dpi.px_per_mm(), top: f64::from(top), rows: f64::from(rows) };
        for mark in &self.marks {
            if strip.touches(mark.top, mark.bottom) {
                self.mark(&mut pixmap, &strip, mark);
            }
        }
        rgb(&pixmap)
    }

    fn mark(&self, pixmap: &mut Pixmap, strip: &Strip, mark: &Mark) {
        match &mark.kind {
            MarkKind::Area(fill) => self.fill(pixmap, strip, fill, 0.0, 0.0, 1.0),
            MarkKind::Use(used) => {
                for fill in self.symbols.get(used.symbol.0).into_iter().flatten() {
                    self.fill(pixmap, strip, fill, used.x, used.y, used.scale);
                }
            }
            MarkKind::Text { x, y, size, turn, paint, glyphs } => {
                for &(index, along) in glyphs {
                    let transform = match turn {
                        Turn::Level => strip.place(x + along, *y, *size),
                        Turn::Up => {
                            let t = strip.place(*x, y - along, *size);
                            Transform::from_row(0.0, -t.sx, t.sy, 0.0, t.tx, t.ty)
                        }
                    };
                    if let Some(path) = &self.paths[index] {
                        pixmap.fill_path(path, paint, FillRule::Winding, transform, None);
                    }
                }
            }
        }
    }

    fn fill(&self, pixmap: &mut Pixmap, strip: &Strip, fill: &Fill, x: f64, y: f64, scale: f64) {
        let Some(Some(path)) = self.paths.get(fill.path) else { return };
        let (top, bottom) = (f64::from(path.bounds().top()), f64::from(path.bounds().bottom()));
        if strip.touches(y + top * scale, y + bottom * scale) {
            pixmap.fill_path(path, &fill.paint, fill.rule, strip.place(x, y, scale), None);
        }
    }
}

/// Rows of the page that are being drawn.
struct Strip {
    /// Pixels in a millimetre.
    scale: f64,
    top: f64,
    rows: f64,
}

impl Strip {
    /// Could something between two heights in mm colour a pixel here?
    fn touches(&self, top: f64, bottom: f64) -> bool {
        bottom * self.scale >= self.top - 1.0 && top * self.scale <= self.top + self.rows + 1.0
    }

    /// Moves the origin to `x`, `y` mm and scales; worked out in doubles, so
    /// that only small numbers are rounded to singles.
    fn place(&self, x: f64, y: f64, scale: f64) -> Transform {
        let s = (self.scale * scale) as f32;
        let (tx, ty) = (x * self.scale, y * self.scale - self.top);
        Transform::from_row(s, 0.0, 0.0, s, tx as f32, ty as f32)
    }
}

fn rgb(pixmap: &Pixmap) -> Vec<u8> {
    let mut out = Vec::with_capacity(pixmap.data().len() / 4 * 3);
    for pixel in pixmap.data().chunks_exact(4) {
        out.extend_from_slice(&pixel[..3]);
    }
    out
}

fn rule(rule: sheet::FillRule) -> FillRule {
    match rule {
        sheet::FillRule::NonZero => FillRule::Winding,
        sheet::FillRule::EvenOdd => FillRule::EvenOdd,
    }
}

fn colour(Rgb(r, g, b): Rgb, opacity: f64) -> Color {
    let mut colour = Color::from_rgba8(r, g, b, 255);
    colour.set_alpha(opacity.clamp(0.0, 1.0) as f32);
    colour
}

fn paint(shader: Shader<'static>) -> Paint<'static> {
    Paint { shader, anti_alias: true, ..Paint::default() }
}

fn solid(fill: Rgb) -> Paint<'static> {
    paint(Shader::SolidColor(colour(fill, 1.0)))
}

fn shader(fill: &sheet::Paint, opacity: f64) -> Shader<'static> {
    let solid = |rgb| Shader::SolidColor(colour(rgb, opacity));
    match fill {
        sheet::Paint::Solid(rgb) => solid(*rgb),
        sheet::Paint::Gradient(gradient) => match gradient::flat(gradient) {
            Some(rgb) => solid(rgb),
            None => ramp(gradient, opacity).unwrap_or_else(|| solid(Rgb::WHITE)),
        },
    }
}

fn ramp(gradient: &Gradient, opacity: f64) -> Option<Shader<'static>> {
    let stops: Vec<GradientStop> = gradient::stops(gradient)
        .iter()
        .map(|s| GradientStop::new(s.offset as f32, colour(s.colour, opacity)))
        .collect();
    let point = |x: f64, y: f64| Point::from_xy(x as f32, y as f32);
    let [a, b, c, d, e, f] = gradient.transform.as_coeffs().map(|v| v as f32);
    let transform = Transform::from_row(a, b, c, d, e, f);
    match gradient.ramp {
        Ramp::Linear { x1, y1, x2, y2 } => {
            LinearGradient::new(point(x1, y1), point(x2, y2), stops, SpreadMode::Pad, transform)
        }
        Ramp::Radial { cx, cy, r, fx, fy } => RadialGradient::new(
            point(fx, fy),
            0.0,
            point(cx, cy),
            r as f32,
            stops,
            SpreadMode::Pad,
            transform,
        ),
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
