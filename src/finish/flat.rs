//! How much of a part shows its colour's exact value.

use kurbo::{BezPath, PathEl};
use tiny_skia as sk;

use crate::graphic::{FillRule, Paint, Ramp, Rgb, Stop};
use crate::read::shapes::Shape;

use super::tone::Base;
use super::{Drawing, DrawnLayer, Shade};

/// Pixels of a part's box, and the most along its longer side.
const PIXELS: f64 = 160.0 * 160.0;
const LONGEST: f64 = 1600.0;

/// The share of the pixels inside the outline that have the exact colour, 0 to 1.
pub fn share(shape: &Shape, drawing: &Drawing, colour: Rgb) -> f64 {
    let b = shape.bounds.inflate(0.02, 0.02);
    let scale = (PIXELS / b.area().max(1e-9)).sqrt().min(LONGEST / b.width().max(b.height()));
    let size = |mm: f64| (mm * scale).ceil().max(1.0) as u32;
    let (w, h) = (size(b.width()), size(b.height()));
    let s = scale as f32;
    let at =
        sk::Transform::from_row(s, 0.0, 0.0, s, (-b.x0 * scale) as f32, (-b.y0 * scale) as f32);
    let (Some(mut map), Some(mut mask)) = (sk::Pixmap::new(w, h), sk::Mask::new(w, h)) else {
        return 0.0;
    };
    map.fill(sk::Color::WHITE);
    let base = Base::new(colour);
    drawing.layers.iter().for_each(|layer| fill(&mut map, layer, &base, at));
    if let Some(outline) = path(&shape.outline) {
        mask.fill_path(&outline, rule(shape.rule), false, at);
    }
    let (mut inside, mut exact) = (0.0, 0.0);
    for (pixel, _) in map.pixels().iter().zip(mask.data()).filter(|(_, m)| **m > 0) {
        inside += 1.0;
        let same = (pixel.red(), pixel.green(), pixel.blue()) == (colour.0, colour.1, colour.2);
        exact += f64::from(u8::from(same));
    }
    if inside > 0.0 { exact / inside } else { 0.0 }
}

fn fill(map: &mut sk::Pixmap, layer: &DrawnLayer, base: &Base, at: sk::Transform) {
    let colour = |shade: Shade| {
        let c = base.shade(shade);
        let mut colour = sk::Color::from_rgba8(c.0, c.1, c.2, 255);
        colour.set_alpha(layer.opacity as f32);
        colour
    };
    let shader = match &layer.paint {
        Paint::Solid(c) => Some(sk::Shader::SolidColor(colour(*c))),
        Paint::Gradient(g) => {
            let stop = |s: &Stop<Shade>| sk::GradientStop::new(s.offset as f32, colour(s.colour));
            let stops = g.stops.iter().map(stop).collect();
            let [a, b, c, d, e, f] = g.transform.as_coeffs().map(|v| v as f32);
            let own = sk::Transform::from_row(a, b, c, d, e, f);
            let p = |x: f64, y: f64| sk::Point::from_xy(x as f32, y as f32);
            let pad = sk::SpreadMode::Pad;
            match g.ramp {
                Ramp::Linear { x1, y1, x2, y2 } => {
                    sk::LinearGradient::new(p(x1, y1), p(x2, y2), stops, pad, own)
                }
                Ramp::Radial { cx, cy, r, fx, fy } => {
                    sk::RadialGradient::new(p(fx, fy), 0.0, p(cx, cy), r as f32, stops, pad, own)
                }
            }
        }
    };
    if let (Some(shader), Some(path)) = (shader, path(&layer.outline)) {
        let paint = sk::Paint { shader, ..sk::Paint::default() };
        map.fill_path(&path, &paint, rule(layer.rule), at, None);
    }
}

fn path(path: &BezPath) -> Option<sk::Path> {
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
