//! Drawings of other people as parts: what is drawn of them must cover what
//! resvg, which shares no code with the reader but its parser, paints of them.

use std::path::Path;

use kurbo::{BezPath, PathEl, Vec2};
use resvg::{tiny_skia as sk, usvg};
use shadecard::finish::Drawer;
use shadecard::graphic::{FillRule, Ramp, Rgb};
use shadecard::range::Finish;
use shadecard::read::shapes::{BodyFrom, Shape, Tone, TonePaint, read_placed};
use shadecard::session::Session;
use shadecard::work::Work;

/// Pixels along the longer side of a page.
const PIXELS: f64 = 320.0;
/// Pixels looked at around the page.
const MARGIN: u32 = 80;
/// Share of the pixels that may be on one side alone, farther than a pixel
/// from the other's.
const LEAST_ALIKE: f64 = 0.995;

/// What became of a drawing at a size.
pub enum Came {
    /// Covered alike: pixels of both over pixels of either, edges left out.
    Used(f64),
    /// Refused with a message.
    Refused(String),
    /// Nothing is to be seen in it.
    Blank,
    /// Something else is drawn.
    Wrong(f64),
}

/// The drawing with its longer side as long as this, mm.
pub fn sized(text: &str, mm: f64) -> Option<String> {
    let opt = usvg::roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() };
    let doc = usvg::roxmltree::Document::parse_with_options(text, opt).ok()?;
    let root = doc.root_element();
    let number = |name: &str| {
        let v = root.attribute(name)?.trim().trim_end_matches("px");
        v.parse::<f64>().ok().filter(|v| *v > 0.0)
    };
    let frame: Option<Vec<f64>> = root.attribute("viewBox").map(|v| {
        v.split([' ', ',']).filter(|n| !n.is_empty()).filter_map(|n| n.parse().ok()).collect()
    });
    let (w, h) = match (number("width"), number("height"), &frame) {
        (Some(w), Some(h), _) => (w, h),
        (_, _, Some(f)) if f.len() == 4 && f[2] > 0.0 && f[3] > 0.0 => (f[2], f[3]),
        _ => return None,
    };
    let k = mm / w.max(h);
    let mut head = format!(" width=\"{}mm\" height=\"{}mm\"", w * k, h * k);
    if frame.is_none() {
        head += &format!(" viewBox=\"0 0 {w} {h}\"");
    }
    let start = root.range().start;
    let name =
        start + 1 + text[start + 1..].find(|c: char| c.is_whitespace() || c == '>' || c == '/')?;
    let mut out = text[..name].to_owned() + &head;
    let mut at = name;
    for a in root.attributes().filter(|a| matches!(a.name(), "width" | "height")) {
        out += &text[at..a.range().start];
        at = a.range().end;
    }
    Some(out + &text[at..])
}

/// Reads a drawing as a part, draws it in every finish, and compares.
pub fn came(name: &Path, text: &str) -> Came {
    let (shape, centre) = match read_placed(name, text, &Session::default()) {
        Ok(read) => read,
        Err(faults) => {
            assert_eq!(faults.iter().filter(|d| d.code == "shape-unsupported").count().max(1), 1);
            assert!(faults.iter().all(|d| d.help.is_some()), "{faults:?}");
            return Came::Refused(faults[0].message.clone());
        }
    };
    let drawer = Drawer::new(&shape, &Work::default());
    for finish in Finish::ALL {
        let drawing = drawer.draw(Rgb(0xc9, 0x28, 0x2d), finish, 7);
        assert!(drawing.bounds.is_finite() && !drawing.layers.is_empty(), "{}", name.display());
        assert!(drawing.layers.iter().all(|l| l.outline.is_finite()), "{}", name.display());
    }
    let opt = usvg::Options::default();
    let Ok(tree) = usvg::Tree::from_str(text, &opt) else {
        return Came::Wrong(0.0);
    };
    let (w, h) = (f64::from(tree.size().width()), f64::from(tree.size().height()));
    let scale = PIXELS / w.max(h);
    let side = |v: f64| (v * scale).ceil() as u32 + 2 * MARGIN;
    let (width, height) = (side(w), side(h));
    let mut theirs = sk::Pixmap::new(width, height).expect("a size");
    let s = scale as f32;
    let at = sk::Transform::from_row(s, 0.0, 0.0, s, MARGIN as f32, MARGIN as f32);
    resvg::render(&tree, at, &mut theirs.as_mut());
    let white = |p: &sk::PremultipliedColorU8| {
        p.red().min(p.green()).min(p.blue()) + (255 - p.alpha()) >= 250 && p.alpha() > 5
    };
    let white: Vec<bool> = theirs.pixels().iter().map(white).collect();
    let mut theirs: Vec<bool> = theirs.pixels().iter().map(|p| p.alpha() > 5).collect();
    let mut ours = silhouette(&shape, centre, scale * 96.0 / 25.4, (width, height));
    if !theirs.contains(&true) {
        return Came::Blank;
    }
    // A white glow on the white paper is not to be seen.
    for (n, _) in white.iter().enumerate().filter(|(_, white)| **white) {
        theirs[n] = ours[n];
    }
    let body_fades = shape.reading.mean_of_gradient && text.contains("stop-opacity");
    if shape.reading.body == BodyFrom::Lines || body_fades {
        // The inside of the outline is the part's, which resvg leaves open; so is an end of the
        // body that fades, since the body's gradient counts by its mean.
        ours.iter_mut().zip(&theirs).for_each(|(a, b)| *a &= b);
    }
    let alike = alike(&ours, &theirs, width as usize);
    if alike >= LEAST_ALIKE { Came::Used(alike) } else { Came::Wrong(alike) }
}

/// The pixels that any layer covers.
fn silhouette(shape: &Shape, centre: Vec2, per_mm: f64, size: (u32, u32)) -> Vec<bool> {
    let mut map = sk::Pixmap::new(size.0, size.1).expect("a size");
    let s = per_mm as f32;
    let margin = f64::from(MARGIN);
    let (x, y) = ((centre.x * per_mm + margin) as f32, (centre.y * per_mm + margin) as f32);
    let at = sk::Transform::from_row(s, 0.0, 0.0, s, x, y);
    for layer in &shape.layers {
        let rule = match layer.rule {
            FillRule::NonZero => sk::FillRule::Winding,
            FillRule::EvenOdd => sk::FillRule::EvenOdd,
        };
        let shader = shadow(&layer.paint).unwrap_or(sk::Shader::SolidColor(sk::Color::BLACK));
        let paint = sk::Paint { shader, ..sk::Paint::default() };
        if let Some(path) = sk_path(&layer.path) {
            map.fill_path(&path, &paint, rule, at, None);
        }
    }
    map.pixels().iter().map(|p| p.alpha() > 5).collect()
}

/// A shadow that fades into the white paper, as far as it can be seen: nothing is drawn where it
/// is as white as the paper.
fn shadow(paint: &TonePaint) -> Option<sk::Shader<'static>> {
    let TonePaint::Gradient { ramp, transform, stops } = paint else { return None };
    let stop = |(offset, tone): &(f64, Tone)| match tone {
        Tone::Fixed(Rgb(r, g, b)) => {
            let seen = 255 - *r.min(g).min(b);
            let colour = sk::Color::from_rgba8(0, 0, 0, seen);
            Some(sk::GradientStop::new(*offset as f32, colour))
        }
        _ => None,
    };
    let stops: Vec<sk::GradientStop> = stops.iter().map(stop).collect::<Option<_>>()?;
    let [a, b, c, d, e, f] = transform.as_coeffs().map(|v| v as f32);
    let own = sk::Transform::from_row(a, b, c, d, e, f);
    let p = |x: f64, y: f64| sk::Point::from_xy(x as f32, y as f32);
    let pad = sk::SpreadMode::Pad;
    match *ramp {
        Ramp::Linear { x1, y1, x2, y2 } => {
            sk::LinearGradient::new(p(x1, y1), p(x2, y2), stops, pad, own)
        }
        Ramp::Radial { cx, cy, r, fx, fy } => {
            sk::RadialGradient::new(p(fx, fy), 0.0, p(cx, cy), r as f32, stops, pad, own)
        }
    }
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

/// Pixels of both over pixels of either; a pixel next to one of the other's counts as of both.
fn alike(a: &[bool], b: &[bool], width: usize) -> f64 {
    let near = |of: &[bool], n: usize| {
        let (x, y) = ((n % width) as i64, (n / width) as i64);
        (-1..=1).flat_map(|dy| (-1..=1).map(move |dx| (x + dx, y + dy))).any(|(x, y)| {
            let inside = (0..width as i64).contains(&x) && y >= 0;
            inside && of.get(y as usize * width + x as usize).copied().unwrap_or(false)
        })
    };
    let (mut either, mut apart) = (0.0, 0.0);
    for n in 0..a.len() {
        if a[n] || b[n] {
            either += 1.0;
            apart += f64::from(u8::from(!near(if a[n] { b } else { a }, n)));
        }
    }
    1.0 - apart / f64::max(either, 1.0)
}
