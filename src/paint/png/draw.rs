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
use super::cache::{Cache, Key, Posture};
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
                let ink = Ink::Solid(*fill, 255);
                self.once(strip, *path, *rule, Posture::LEVEL, (0.0, 0.0, 1.0), None, &ink);
            }
            MarkKind::Use(used) => {
                for layer in self.symbols.get(used.symbol.0).into_iter().flatten() {
                    self.layer(strip, layer, (used.x, used.y, used.scale));
                }
            }
            MarkKind::Text { x, y, size, turn, fill, glyphs } => {
                let ink = Ink::Solid(*fill, 255);
                for &(path, along) in glyphs {
                    let (at, posture) = match turn {
                        Turn::Level => ((x + along, *y, *size), Posture::LEVEL),
                        Turn::Up => ((*x, y - along, *size), Posture::UP),
                    };
                    self.print(strip, path, FillRule::Winding, posture, at, None, &ink);
                }
            }
        }
    }

    fn layer(&self, strip: &mut Strip, layer: &Layer, at: (f64, f64, f64)) {
        let (path, rule, level) = (layer.path, layer.rule, Posture::LEVEL);
        match &layer.paint {
            LayerPaint::Solid(rgb) => {
                let ink = Ink::Solid(*rgb, layer.opacity);
                self.print(strip, path, rule, level, at, None, &ink);
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
                self.print(strip, path, rule, level, at, Some(*ramp), &ink);
            }
        }
    }

    /// Prints a path at `x`, `y` mm, scaled, from a stamp that is kept.
    #[expect(clippy::too_many_arguments, reason = "a path, how it stands, and its ink")]
    fn print(
        &self,
        strip: &mut Strip,
        path: usize,
        rule: FillRule,
        posture: Posture,
        at: (f64, f64, f64),
        ramp: Option<usize>,
        ink: &Ink<'_>,
    ) {
        let Some(Some(outline)) = self.paths.get(path) else { return };
        let (x, y, scale) = (at.0 * self.scale, at.1 * self.scale, at.2 * self.scale);
        let reach = stamp::placed(outline.bounds(), posture.place(scale, 0.0, 0.0));
        let (from, to) = strip.rows_from(y.floor() as i64);
        if f64::from(reach.bottom()) + 2.0 < from as f64 || f64::from(reach.top()) - 2.0 > to as f64
        {
            return;
        }
        if f64::from(reach.width()) * f64::from(reach.height()) > TOO_LARGE {
            return self.once(strip, path, rule, posture, at, ramp, ink);
        }
        let steps = self.steps as f64;
        let (u, v) = ((x * steps).round() as i64, (y * steps).round() as i64);
        let phase = (u.rem_euclid(self.steps), v.rem_euclid(self.steps));
        let even_odd = rule == FillRule::EvenOdd;
        let key = Key { path, even_odd, ramp, posture, scale: scale.to_bits(), phase };
        let stamp = self.cache.get(key, || {
            let (px, py) = (phase.0 as f64 / steps, phase.1 as f64 / steps);
            let place = posture.place(scale, px, py);
            Stamp::new(outline, rule, place, None, ramp.map(|r| &self.ramps[r]))
        });
        strip.print(&stamp, u.div_euclid(self.steps), v.div_euclid(self.steps), ink);
    }

    /// Prints a path where it stands, from a stamp of the rows of this strip alone.
    #[expect(clippy::too_many_arguments, reason = "a path, how it stands, and its ink")]
    fn once(
        &self,
        strip: &mut Strip,
        path: usize,
        rule: FillRule,
        posture: Posture,
        at: (f64, f64, f64),
        ramp: Option<usize>,
        ink: &Ink<'_>,
    ) {
        let Some(Some(outline)) = self.paths.get(path) else { return };
        let (top, bottom) = strip.rows_from(0);
        let rows = (0, (bottom - top) as i32);
        let (x, y) = (at.0 * self.scale, at.1 * self.scale - top as f64);
        let place = posture.place(at.2 * self.scale, x, y);
        let stamp = Stamp::new(outline, rule, place, Some(rows), ramp.map(|r| &self.ramps[r]));
        strip.print(&stamp, 0, top, ink);
    }
}

impl Posture {
    const LEVEL: Posture = Posture { up: false };
    const UP: Posture = Posture { up: true };

    /// Moves the origin to `x`, `y` pixels and scales, turned or not.
    fn place(self, scale: f64, x: f64, y: f64) -> Transform {
        let (s, x, y) = (scale as f32, x as f32, y as f32);
        if self.up {
            Transform::from_row(0.0, -s, s, 0.0, x, y)
        } else {
            Transform::from_row(s, 0.0, 0.0, s, x, y)
        }
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
