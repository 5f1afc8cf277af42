//! A page prepared for drawing, and one strip of it drawn.
//!
//! What repeats is rasterised once and printed again in other colours: an
//! outline of a part at one size, a glyph. Its size is exact; its place is
//! the nearest of a few in each pixel (see [`steps`]).

use std::collections::HashMap;
use std::sync::{Arc, OnceLock};

use kurbo::{BezPath, PathEl, Rect, Shape as _};
use tiny_skia::{FillRule, Path, PathBuilder, Shader, Transform};

use super::blit::{Ink, Strip};
use super::cache::{Cache, Key};
use super::ramp::{self, Colours, Ramps};
use super::stamp::{self, Stamp};
use crate::paint::gradient;
use crate::sheet::{self, Kind, Page, Rgb, Sheet, Turn};
use crate::type_::FaceId;
use crate::units::Dpi;

/// Farthest that a stamp may stand from its place, mm.
const FARTHEST: f64 = 0.05;
/// Least places in a pixel, each way.
const LEAST_STEPS: f64 = 4.0;
/// Pixels from which on a stamp is made for each strip instead of being kept.
const TOO_LARGE: f64 = 1e6;

/// Gradients whose colours are kept, at most: 12 MB.
const MOST_KEPT: usize = 16_000;

/// A layer of a symbol, prepared.
struct Layer {
    path: usize,
    rule: FillRule,
    paint: LayerPaint,
    opacity: u8,
}

enum LayerPaint {
    Solid(Rgb),
    /// The gradient's geometry, and its colours: worked out when first asked for, and kept
    /// on pages of usual size.
    Ramp(usize, Arc<sheet::Gradient>, OnceLock<Box<Colours>>),
}

/// Something to draw: where it is put, in mm, and the rows it touches.
struct Mark {
    top: f64,
    bottom: f64,
    kind: MarkKind,
}

enum MarkKind {
    /// A rectangle, mm.
    Rect(Rect, Rgb),
    /// A path in page coordinates.
    Area {
        path: usize,
        rule: FillRule,
        fill: Rgb,
    },
    Use(sheet::Use),
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

/// A page with every path built once; strips are drawn from it on any thread.
pub struct Scene {
    /// Pixels in a millimetre.
    scale: f64,
    /// Places in a pixel at which a stamp may stand, each way.
    steps: i64,
    paths: Vec<Option<Path>>,
    ramps: Vec<Shader<'static>>,
    symbols: Vec<Vec<Layer>>,
    /// Not too many gradients for their colours to be kept.
    keeps_colours: bool,
    marks: Vec<Mark>,
    cache: Cache,
}

/// Places in a pixel that a stamp needs to be within [`FARTHEST`] of its own.
fn steps(dpi: Dpi) -> i64 {
    let pixel = 1.0 / dpi.px_per_mm();
    // Half a step each way is off by that times the root of two.
    (pixel * 0.5 * std::f64::consts::SQRT_2 / FARTHEST).max(LEAST_STEPS).ceil() as i64
}

impl Scene {
    /// Prepares everything on `page`.
    pub fn new(sheet: &Sheet, page: &Page, dpi: Dpi) -> Scene {
        let mut ramps = Ramps::default();
        let symbols: Vec<Vec<Layer>> =
            sheet.symbols.iter().map(|s| layers(s, &mut ramps)).collect();
        let is_ramp = |l: &&Layer| matches!(l.paint, LayerPaint::Ramp(..));
        let keeps_colours = symbols.iter().flatten().filter(is_ramp).count() <= MOST_KEPT;
        let mut paths: Vec<Option<Path>> = sheet.outlines.iter().map(|o| path(o)).collect();
        let mut glyphs: HashMap<(FaceId, u16), usize> = HashMap::new();
        let mut marks = Vec::with_capacity(page.items.len());
        for item in &page.items {
            let kind = match &item.kind {
                Kind::Area(area) => match rectangle(&area.path) {
                    Some(rect) => MarkKind::Rect(rect, area.fill),
                    None => {
                        paths.push(path(&area.path));
                        let path = paths.len() - 1;
                        MarkKind::Area { path, rule: rule(area.rule), fill: area.fill }
                    }
                },
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
                    let sheet::Text { x, y, size, turn, fill, .. } = *text;
                    MarkKind::Text { x, y, size, turn, fill, glyphs: run }
                }
            };
            marks.push(Mark { top: item.bounds.y0, bottom: item.bounds.y1, kind });
        }
        let ramps = ramps.shaders();
        let (scale, steps) = (dpi.px_per_mm(), steps(dpi));
        let cache = Cache::default();
        Scene { scale, steps, paths, ramps, symbols, keeps_colours, marks, cache }
    }

    /// Which items of the page may colour a pixel in `rows` rows from row `top` on.
    pub fn touching(&self, top: u32, rows: u32) -> impl Iterator<Item = usize> + '_ {
        let (first, last) = (f64::from(top) - 1.0, f64::from(top + rows) + 1.0);
        let near = move |m: &Mark| m.bottom * self.scale >= first && m.top * self.scale <= last;
        self.marks.iter().enumerate().filter(move |(_, m)| near(m)).map(|(i, _)| i)
    }

    /// Draws `rows` rows from row `top` on, on white, in the memory of an older strip.
    pub fn strip(&self, memory: Vec<u8>, width: u32, top: u32, rows: u32) -> Vec<u8> {
        let mut strip = Strip::new(memory, width, top, rows);
        for index in self.touching(top, rows) {
            self.mark(&mut strip, &self.marks[index].kind);
        }
        strip.rgb
    }

    fn mark(&self, strip: &mut Strip, mark: &MarkKind) {
        match mark {
            MarkKind::Rect(r, fill) => {
                let s = self.scale;
                strip.rect(r.x0 * s, r.y0 * s, r.x1 * s, r.y1 * s, *fill);
            }
            MarkKind::Area { path, rule, fill } => {
                let figure = Figure::new(*path, *rule, (0.0, 0.0, 1.0));
                self.once(strip, &figure, &Ink::Solid(*fill, 255));
            }
            MarkKind::Use(used) => {
                for layer in self.symbols.get(used.symbol.0).into_iter().flatten() {
                    self.layer(strip, layer, (used.x, used.y, used.scale));
                }
            }
            MarkKind::Text { x, y, size, turn, fill, glyphs } => {
                for &(path, along) in glyphs {
                    let at = match turn {
                        Turn::Level => (x + along, *y, *size),
                        Turn::Up => (*x, y - along, *size),
                    };
                    let glyph = Figure::new(path, FillRule::Winding, at);
                    self.print(strip, &Figure { turn: *turn, ..glyph }, &Ink::Solid(*fill, 255));
                }
            }
        }
    }

    fn layer(&self, strip: &mut Strip, layer: &Layer, at: (f64, f64, f64)) {
        let figure = Figure::new(layer.path, layer.rule, at);
        match &layer.paint {
            LayerPaint::Solid(rgb) => {
                self.print(strip, &figure, &Ink::Solid(*rgb, layer.opacity));
            }
            LayerPaint::Ramp(ramp, gradient, kept) => {
                let passing;
                let colours = if self.keeps_colours {
                    kept.get_or_init(|| Box::new(ramp::colours(gradient)))
                } else {
                    passing = ramp::colours(gradient);
                    &passing
                };
                let ink = Ink::Ramp(colours, layer.opacity);
                self.print(strip, &Figure { ramp: Some(*ramp), ..figure }, &ink);
            }
        }
    }

    /// Prints a figure from a stamp that is kept.
    fn print(&self, strip: &mut Strip, figure: &Figure, ink: &Ink<'_>) {
        let Some(Some(outline)) = self.paths.get(figure.path) else { return };
        let Figure { path, rule, turn, at, ramp } = *figure;
        let (x, y, scale) = (at.0 * self.scale, at.1 * self.scale, at.2 * self.scale);
        let reach = stamp::placed(outline.bounds(), placed(turn, scale, 0.0, 0.0));
        let (from, to) = strip.rows_from(y.floor() as i64);
        if f64::from(reach.bottom()) + 2.0 < from as f64 || f64::from(reach.top()) - 2.0 > to as f64
        {
            return;
        }
        if f64::from(reach.width()) * f64::from(reach.height()) > TOO_LARGE {
            return self.once(strip, figure, ink);
        }
        let steps = self.steps as f64;
        let (u, v) = ((x * steps).round() as i64, (y * steps).round() as i64);
        let phase = (u.rem_euclid(self.steps), v.rem_euclid(self.steps));
        let even_odd = rule == FillRule::EvenOdd;
        let key = Key { path, even_odd, ramp, turn, scale: scale.to_bits(), phase };
        let stamp = self.cache.get(key, || {
            let (px, py) = (phase.0 as f64 / steps, phase.1 as f64 / steps);
            self.stamp(figure, outline, placed(turn, scale, px, py), None)
        });
        strip.print(&stamp, u.div_euclid(self.steps), v.div_euclid(self.steps), ink);
    }

    /// Prints a figure where it stands, from a stamp of the rows of this strip alone.
    fn once(&self, strip: &mut Strip, figure: &Figure, ink: &Ink<'_>) {
        let Some(Some(outline)) = self.paths.get(figure.path) else { return };
        let (top, bottom) = strip.rows_from(0);
        let rows = (0, (bottom - top) as i32);
        let (x, y, scale) = figure.at;
        let (x, y) = (x * self.scale, y * self.scale - top as f64);
        let place = placed(figure.turn, scale * self.scale, x, y);
        strip.print(&self.stamp(figure, outline, place, Some(rows)), 0, top, ink);
    }

    fn stamp(
        &self,
        figure: &Figure,
        outline: &Path,
        place: Transform,
        rows: Option<(i32, i32)>,
    ) -> Stamp {
        Stamp::new(outline, figure.rule, place, rows, figure.ramp.map(|r| &self.ramps[r]))
    }
}

/// A path as it stands on the page.
#[derive(Clone, Copy)]
struct Figure {
    path: usize,
    rule: FillRule,
    turn: Turn,
    /// Its origin, mm, and its scale.
    at: (f64, f64, f64),
    /// The geometry of the gradient that fills it.
    ramp: Option<usize>,
}

impl Figure {
    /// Level, and of one colour.
    fn new(path: usize, rule: FillRule, at: (f64, f64, f64)) -> Figure {
        Figure { path, rule, turn: Turn::Level, at, ramp: None }
    }
}

/// Moves the origin to `x`, `y` pixels and scales, turned or not.
fn placed(turn: Turn, scale: f64, x: f64, y: f64) -> Transform {
    let (s, x, y) = (scale as f32, x as f32, y as f32);
    match turn {
        Turn::Level => Transform::from_row(s, 0.0, 0.0, s, x, y),
        Turn::Up => Transform::from_row(0.0, -s, s, 0.0, x, y),
    }
}

fn layers(symbol: &sheet::Symbol, ramps: &mut Ramps) -> Vec<Layer> {
    let layer = |layer: &sheet::Layer| Layer {
        path: layer.outline.0,
        rule: rule(layer.rule),
        opacity: (layer.opacity.clamp(0.0, 1.0) * 255.0).round() as u8,
        paint: match &layer.paint {
            sheet::Paint::Solid(rgb) => LayerPaint::Solid(*rgb),
            sheet::Paint::Gradient(gradient) => match gradient::flat(gradient) {
                Some(rgb) => LayerPaint::Solid(rgb),
                None => match ramps.index(gradient) {
                    Some(index) => LayerPaint::Ramp(index, Arc::clone(gradient), OnceLock::new()),
                    None => LayerPaint::Solid(Rgb::WHITE),
                },
            },
        },
    };
    symbol.layers.iter().map(layer).collect()
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

fn rule(rule: sheet::FillRule) -> FillRule {
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
