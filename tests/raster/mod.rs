//! A part's drawing as pixels, by tiny-skia from its layers.
#![allow(dead_code, reason = "each test file uses its part")]

use kurbo::{BezPath, PathEl, Rect};
use shadecard::finish::{DrawnLayer, Shade};
use shadecard::graphic::Paint;
use shadecard::read::shapes::Shape;
use shadecard::sheet::{FillRule, Ramp, Rgb};
use tiny_skia as sk;

/// A part of the plane, mm, and how many pixels a millimetre of it has.
#[derive(Debug, Clone, Copy)]
pub struct Frame {
    pub area: Rect,
    pub per_mm: f64,
}

impl Frame {
    /// Width and height, pixels.
    pub fn size(&self) -> (u32, u32) {
        let px = |mm: f64| (mm * self.per_mm).ceil() as u32;
        (px(self.area.width()), px(self.area.height()))
    }

    fn transform(&self) -> sk::Transform {
        let (s, b) = (self.per_mm as f32, self.area);
        let (x, y) = ((-b.x0 * self.per_mm) as f32, (-b.y0 * self.per_mm) as f32);
        sk::Transform::from_row(s, 0.0, 0.0, s, x, y)
    }

    /// White paper.
    pub fn paper(&self) -> sk::Pixmap {
        let (w, h) = self.size();
        let mut map = sk::Pixmap::new(w, h).expect("a size");
        map.fill(sk::Color::WHITE);
        map
    }

    /// Which pixels an outline covers in full.
    pub fn inside(&self, shape: &Shape) -> Vec<bool> {
        self.mask(shape, true).into_iter().map(|m| m == 255).collect()
    }

    /// How much of each pixel an outline covers; all or nothing without
    /// smoothing.
    pub fn mask(&self, shape: &Shape, smooth: bool) -> Vec<u8> {
        let (w, h) = self.size();
        let mut mask = sk::Mask::new(w, h).expect("a size");
        let outline = sk_path(&shape.outline).expect("an outline");
        mask.fill_path(&outline, rule(shape.rule), smooth, self.transform());
        mask.data().to_vec()
    }

    /// Draws layers in a sample, the first at the bottom.
    pub fn draw(&self, map: &mut sk::Pixmap, layers: &[DrawnLayer], sample: Rgb) {
        for layer in layers {
            let Some(path) = sk_path(&layer.outline) else { continue };
            let paint = sk::Paint { shader: shader(layer, sample), ..sk::Paint::default() };
            map.fill_path(&path, &paint, rule(layer.rule), self.transform(), None);
        }
    }
}

/// The colours of a picture.
pub fn colours(map: &sk::Pixmap) -> Vec<Rgb> {
    map.pixels().iter().map(|p| Rgb(p.red(), p.green(), p.blue())).collect()
}

fn shader(layer: &DrawnLayer, sample: Rgb) -> sk::Shader<'static> {
    let colour = |shade: Shade| {
        let c = shade.on(sample);
        let mut colour = sk::Color::from_rgba8(c.0, c.1, c.2, 255);
        colour.set_alpha(layer.opacity as f32);
        colour
    };
    let g = match &layer.paint {
        Paint::Solid(c) => return sk::Shader::SolidColor(colour(*c)),
        Paint::Gradient(g) => g,
    };
    let stops: Vec<sk::GradientStop> =
        g.stops.iter().map(|s| sk::GradientStop::new(s.offset as f32, colour(s.colour))).collect();
    let [a, b, c, d, e, f] = g.transform.as_coeffs().map(|v| v as f32);
    let ts = sk::Transform::from_row(a, b, c, d, e, f);
    let p = |x: f64, y: f64| sk::Point::from_xy(x as f32, y as f32);
    let pad = sk::SpreadMode::Pad;
    match g.ramp {
        Ramp::Linear { x1, y1, x2, y2 } => {
            sk::LinearGradient::new(p(x1, y1), p(x2, y2), stops, pad, ts)
        }
        Ramp::Radial { cx, cy, r, fx, fy } => {
            sk::RadialGradient::new(p(fx, fy), 0.0, p(cx, cy), r as f32, stops, pad, ts)
        }
    }
    .expect("a gradient")
}

fn sk_path(path: &BezPath) -> Option<sk::Path> {
    let mut b = sk::PathBuilder::new();
    let p = |p: kurbo::Point| (p.x as f32, p.y as f32);
    for e in path.iter() {
        match e {
            PathEl::MoveTo(a) => b.move_to(p(a).0, p(a).1),
            PathEl::LineTo(a) => b.line_to(p(a).0, p(a).1),
            PathEl::QuadTo(a, c) => b.quad_to(p(a).0, p(a).1, p(c).0, p(c).1),
            PathEl::CurveTo(a, c, d) => b.cubic_to(p(a).0, p(a).1, p(c).0, p(c).1, p(d).0, p(d).1),
            PathEl::ClosePath => b.close(),
        }
    }
    b.finish()
}

fn rule(rule: FillRule) -> sk::FillRule {
    match rule {
        FillRule::NonZero => sk::FillRule::Winding,
        FillRule::EvenOdd => sk::FillRule::EvenOdd,
    }
}
