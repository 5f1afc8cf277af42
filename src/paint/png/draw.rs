//! A page prepared for drawing, and one strip of it drawn; or a page of several
//! sheets with the same parts.
//!
//! What repeats is rasterised once and printed again in other colours: an
//! outline of a part at one size, a glyph. Its size is exact; its place is
//! the nearest of a few in each pixel (see [`steps`]).

use std::sync::OnceLock;

use kurbo::Rect;
use tiny_skia::{FillRule, Path, Shader, Transform};

use super::blit::{Band, Ink, Strip};
use super::cache::{Cache, Key};
use super::differ;
use super::frame::Canvas;
use super::image::{Covered, ImageStamps};
use super::marks::{LayerPaint, Mark, MarkKind, Paths, Symbols, rule};
use super::ramp::{self, Colours, Ramps};
use super::stamp::{self, Stamp};
use crate::sheet::identity::Digest;
use crate::sheet::{Coloured, ImageUse, Page, Paint, Rgb, Symbol, Turn, Use};

/// Farthest that a stamp may be from its place, mm.
const FARTHEST: f64 = 0.05;
/// Least places in a pixel, each way.
const LEAST_STEPS: f64 = 4.0;
/// Pixels from which on a stamp is made for each strip instead of being kept.
const TOO_LARGE: f64 = 1e6;
/// Pixels from which on an image is resampled for each strip instead of being kept.
const LARGE_IMAGE: f64 = 4e6;

/// Gradients whose colours are kept, at most: 12 MB.
const MOST_KEPT: u32 = 16_000;

/// Pages with every path built once; strips are drawn from it on any thread.
pub struct Scene<'a> {
    canvas: Canvas,
    /// Places in a pixel at which a stamp may be, each way.
    steps: i64,
    paths: Vec<Option<Path>>,
    ramps: Vec<Shader<'static>>,
    /// The sheet whose symbols are drawn: all have the same.
    first: Option<Coloured<'a, Rgb>>,
    /// What fills the layers of its symbols.
    paints: Vec<Vec<LayerPaint>>,
    /// The colours of each gradient, worked out when first asked for; none where there are too
    /// many gradients to keep them.
    colours: Vec<OnceLock<Box<Colours>>>,
    /// Of each page.
    marks: Vec<Vec<Mark>>,
    cache: Cache,
    images: ImageStamps,
}

/// Places in a pixel that a stamp needs to be within [`FARTHEST`] of its own.
fn steps(canvas: &Canvas) -> i64 {
    let pixel = 1.0 / canvas.scale.0.min(canvas.scale.1);
    // Half a step each way is off by that times the root of two.
    (pixel * 0.5 * std::f64::consts::SQRT_2 / FARTHEST).max(LEAST_STEPS).ceil() as i64
}

impl<'a> Scene<'a> {
    /// Prepares everything on these pages: each of a sheet of its own, all with the same parts
    /// and fonts.
    pub fn new(pages: &[(Coloured<'a, Rgb>, &Page)], canvas: Canvas) -> Scene<'a> {
        let mut ramps = Ramps::default();
        let first = pages.first().map(|(painted, _)| *painted);
        let symbols = first.map(|f| Symbols::of(f, &mut ramps)).unwrap_or_default();
        let Symbols { layers: paints, gradients } = symbols;
        let kept = if gradients <= MOST_KEPT { gradients as usize } else { 0 };
        let colours = std::iter::repeat_with(OnceLock::new).take(kept).collect();
        let mut paths = Paths::of(first.map_or(&[], |f| &f.sheet.outlines));
        let marks = pages
            .iter()
            .map(|(painted, page)| page.items.iter().map(|i| paths.mark(*painted, i)).collect())
            .collect();
        let paths = paths.all;
        let ramps = ramps.shaders();
        let steps = steps(&canvas);
        let (cache, images) = Default::default();
        Scene { canvas, steps, paths, ramps, first, paints, colours, marks, cache, images }
    }

    /// What is drawn.
    pub fn canvas(&self) -> &Canvas {
        &self.canvas
    }

    /// Which items of a page may colour a pixel of a band.
    pub fn touching(&self, page: usize, band: Band) -> impl Iterator<Item = usize> + '_ {
        let first = f64::from(band.top) - 1.0;
        let last = f64::from(band.top + band.rows) + 1.0;
        let near = move |m: &Mark| self.row(m.bounds.y1) >= first && self.row(m.bounds.y0) <= last;
        self.marks[page].iter().enumerate().filter(move |(_, m)| near(m)).map(|(i, _)| i)
    }

    /// Draws a band of a page, on white, in the memory of an older strip.
    pub fn strip(&self, memory: Vec<u8>, page: usize, band: Band) -> Vec<u8> {
        let mut strip = Strip::new(memory, band);
        for index in self.touching(page, band) {
            self.mark(&mut strip, &self.marks[page][index].kind);
        }
        strip.rgb
    }

    /// Makes what [`Scene::strip`] draws of a band, from that of another page: only the columns
    /// where the two differ are drawn. Each page comes with the digests of its items.
    pub fn turned(
        &self,
        memory: Vec<u8>,
        from: (usize, &[Digest]),
        to: (usize, &[Digest]),
        band: Band,
    ) -> Vec<u8> {
        let shown = |(page, digests): (usize, &[Digest])| -> Vec<(Digest, (i64, i64))> {
            let columns = |i: usize| self.columns(&self.marks[page][i]);
            self.touching(page, band).map(|i| (digests[i], columns(i))).collect()
        };
        let (page, _) = to;
        let Some(differing) = differ::columns(&shown(from), &shown(to)) else {
            return self.strip(memory, page, band);
        };
        let mut strip = Strip::drawn(memory, band);
        for (left, right) in differing {
            strip.open(left, right);
            for mark in self.touching(page, band).map(|i| &self.marks[page][i]) {
                let (first, last) = self.columns(mark);
                if first < right && last > left {
                    self.mark(&mut strip, &mark.kind);
                }
            }
        }
        strip.rgb
    }

    /// Pixel columns that a mark may touch: from the first to before the second.
    fn columns(&self, mark: &Mark) -> (i64, i64) {
        let pixel = |mm: f64| self.column(mm).floor() as i64;
        (pixel(mark.bounds.x0) - 2, pixel(mark.bounds.x1) + 3)
    }

    /// Pixels from the left edge of the picture to a place on the page, mm.
    fn column(&self, x: f64) -> f64 {
        (x + self.canvas.bleed) * self.canvas.scale.0
    }

    /// Pixels from its top to a place on the page, mm.
    fn row(&self, y: f64) -> f64 {
        (y + self.canvas.bleed) * self.canvas.scale.1
    }

    /// Pixels in a unit of an outline that is drawn at this scale, across and down.
    fn scaled(&self, scale: f64) -> (f64, f64) {
        (scale * self.canvas.scale.0, scale * self.canvas.scale.1)
    }

    fn mark(&self, strip: &mut Strip, mark: &MarkKind) {
        match mark {
            MarkKind::Rect(r, fill) => {
                let (x, y) = (|x| self.column(x), |y| self.row(y));
                strip.rect(Rect { x0: x(r.x0), y0: y(r.y0), x1: x(r.x1), y1: y(r.y1) }, *fill);
            }
            MarkKind::Area { path, rule, fill } => {
                let figure = Figure::new(*path, *rule, (0.0, 0.0, 1.0));
                self.once(strip, &figure, &Ink::Solid(*fill, 255));
            }
            MarkKind::Use(used) => {
                let symbols = self.first.map_or(&[][..], |painted| &painted.sheet.symbols);
                let Some(symbol) = symbols.get(used.symbol.0) else { return };
                for layer in 0..symbol.drawn().len() {
                    self.layer(strip, symbol, layer, used);
                }
            }
            MarkKind::Image(used) => self.image(strip, used),
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

    /// A picture of a part.
    fn image(&self, strip: &mut Strip, used: &ImageUse) {
        let Some(painted) = self.first else { return };
        let Some(image) = painted.sheet.images.get(used.image.0) else { return };
        let at = used.on_page(image);
        let (x, y) = (|x| self.column(x), |y| self.row(y));
        let place = Rect { x0: x(at.x0), y0: y(at.y0), x1: x(at.x1), y1: y(at.y1) };
        let mut rows = (place.y0.floor(), place.y1.ceil());
        if place.area() > LARGE_IMAGE {
            // Of the rows of this strip alone.
            let (top, bottom) = strip.rows_from(0);
            rows = (rows.0.max(top as f64), rows.1.min(bottom as f64));
        }
        if rows.0 < rows.1
            && let Some(stamp) = self.images.get(painted, used, Covered { place, rows })
        {
            strip.image(&stamp);
        }
    }

    /// One layer of a part that is used.
    fn layer(&self, strip: &mut Strip, symbol: &Symbol, n: usize, used: &Use) {
        let Some(Coloured { colours: palette, .. }) = self.first else { return };
        let (layer, paint) = (&symbol.drawn()[n], self.paints[used.symbol.0][n]);
        let at = (used.x, used.y, used.scale);
        let figure = Figure::new(layer.outline.0, rule(layer.rule), at);
        let opacity = (layer.opacity.clamp(0.0, 1.0) * 255.0).round() as u8;
        let (ramp, gradient) = match paint {
            LayerPaint::Solid(rgb) => {
                return self.print(strip, &figure, &Ink::Solid(rgb, opacity));
            }
            LayerPaint::Ramp(ramp, gradient) => (ramp as usize, gradient as usize),
        };
        let along = || match symbol.paint(n) {
            Some(Paint::Gradient(gradient)) => ramp::colours(&gradient, palette),
            Some(Paint::Solid(fill)) => ramp::plain(palette.of(fill)),
            None => ramp::plain(Rgb::WHITE),
        };
        let passing;
        let colours = match self.colours.get(gradient) {
            Some(kept) => kept.get_or_init(|| Box::new(along())),
            None => {
                passing = along();
                &passing
            }
        };
        self.print(strip, &Figure { ramp: Some(ramp), ..figure }, &Ink::Ramp(colours, opacity));
    }

    /// Prints a figure from a stamp that is kept.
    fn print(&self, strip: &mut Strip, figure: &Figure, ink: &Ink<'_>) {
        let Some(Some(outline)) = self.paths.get(figure.path) else { return };
        let Figure { path, rule, turn, at, ramp } = *figure;
        let (x, y, scale) = (self.column(at.0), self.row(at.1), self.scaled(at.2));
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
        let key = Key { path, even_odd, ramp, turn, scale: scale.0.to_bits(), phase };
        let stamp = self.cache.get(key, || {
            let (px, py) = (phase.0 as f64 / steps, phase.1 as f64 / steps);
            self.stamp(figure, outline, placed(turn, scale, px, py), None)
        });
        strip.print(&stamp, u.div_euclid(self.steps), v.div_euclid(self.steps), ink);
    }

    /// Prints a figure in its place, from a stamp of the rows of this strip alone.
    fn once(&self, strip: &mut Strip, figure: &Figure, ink: &Ink<'_>) {
        let Some(Some(outline)) = self.paths.get(figure.path) else { return };
        let (top, bottom) = strip.rows_from(0);
        let rows = (0, (bottom - top) as i32);
        let (x, y, scale) = figure.at;
        let (x, y) = (self.column(x), self.row(y) - top as f64);
        let place = placed(figure.turn, self.scaled(scale), x, y);
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

/// A path in its place on the page.
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
fn placed(turn: Turn, scale: (f64, f64), x: f64, y: f64) -> Transform {
    let (across, down, x, y) = (scale.0 as f32, scale.1 as f32, x as f32, y as f32);
    match turn {
        Turn::Level => Transform::from_row(across, 0.0, 0.0, down, x, y),
        Turn::Up => Transform::from_row(0.0, -down, across, 0.0, x, y),
    }
}
