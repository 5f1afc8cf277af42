//! The promise of every drawing: at least two fifths of the part show the
//! exact value of its colour.

use std::path::Path;

use kurbo::{BezPath, PathEl};
use shadecard::finish::{Drawer, Drawing};
use shadecard::range::Finish;
use shadecard::read::shapes::{Shape, read_shape};
use shadecard::sheet::{FillRule, Paint, Ramp, Rgb};
use tiny_skia as sk;

/// Pixels in a millimetre.
const SCALE: f64 = 16.0;
/// The least share of exact pixels.
const LEAST: f64 = 0.42;

/// Whites, blacks, brights, pales and darks.
const COLOURS: [Rgb; 12] = [
    Rgb(0xff, 0xff, 0xff),
    Rgb(0xf7, 0xf4, 0xea),
    Rgb(0x00, 0x00, 0x00),
    Rgb(0x1c, 0x1e, 0x24),
    Rgb(0xc9, 0x28, 0x2d),
    Rgb(0xff, 0xd4, 0x00),
    Rgb(0x00, 0x5b, 0xbb),
    Rgb(0x2d, 0x9e, 0x54),
    Rgb(0xf2, 0xc8, 0xb8),
    Rgb(0xb9, 0xdd, 0xec),
    Rgb(0x1f, 0x2a, 0x52),
    Rgb(0x8a, 0x8c, 0x8e),
];

fn transform(drawing: &Drawing) -> (u32, u32, sk::Transform) {
    let b = drawing.bounds.inflate(0.2, 0.2);
    let px = |mm: f64| (mm * SCALE).ceil() as u32;
    let s = SCALE as f32;
    let at =
        sk::Transform::from_row(s, 0.0, 0.0, s, (-b.x0 * SCALE) as f32, (-b.y0 * SCALE) as f32);
    (px(b.width()), px(b.height()), at)
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

fn raster(drawing: &Drawing) -> sk::Pixmap {
    let (w, h, at) = transform(drawing);
    let mut map = sk::Pixmap::new(w, h).expect("a size");
    map.fill(sk::Color::WHITE);
    for layer in &drawing.layers {
        let Some(path) = sk_path(&layer.outline) else { continue };
        let colour = |c: Rgb| {
            let mut colour = sk::Color::from_rgba8(c.0, c.1, c.2, 255);
            colour.set_alpha(layer.opacity as f32);
            colour
        };
        let shader = match &layer.paint {
            Paint::Solid(c) => sk::Shader::SolidColor(colour(*c)),
            Paint::Gradient(g) => {
                let stops: Vec<sk::GradientStop> = g
                    .stops
                    .iter()
                    .map(|s| sk::GradientStop::new(s.offset as f32, colour(s.colour)))
                    .collect();
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
        };
        let paint = sk::Paint { shader, ..sk::Paint::default() };
        map.fill_path(&path, &paint, rule(layer.rule), at, None);
    }
    map
}

/// The share of the pixels inside the outline that have the exact colour.
fn flat_share(shape: &Shape, drawing: &Drawing, colour: Rgb) -> f64 {
    let map = raster(drawing);
    let (w, h, at) = transform(drawing);
    let mut mask = sk::Mask::new(w, h).expect("a size");
    let outline = sk_path(&shape.outline).expect("an outline");
    mask.fill_path(&outline, rule(shape.rule), false, at);
    let (mut inside, mut exact) = (0u32, 0u32);
    for (pixel, m) in map.pixels().iter().zip(mask.data()) {
        if *m > 0 {
            inside += 1;
            let same = (pixel.red(), pixel.green(), pixel.blue()) == (colour.0, colour.1, colour.2);
            exact += u32::from(same);
        }
    }
    f64::from(exact) / f64::from(inside)
}

/// Checks a shape in every finish and colour; gives the lowest share of each finish.
fn check(name: &str, text: &str) -> Vec<(Finish, f64)> {
    let shape = read_shape(Path::new(name), text).unwrap_or_else(|e| panic!("{name}: {e:#?}"));
    let drawer = Drawer::new(&shape);
    Finish::ALL
        .into_iter()
        .map(|finish| {
            let mut lowest = f64::MAX;
            for (n, colour) in COLOURS.into_iter().enumerate() {
                let drawing = drawer.draw(colour, finish, n as u64);
                let share = flat_share(&shape, &drawing, colour);
                lowest = lowest.min(share);
            }
            println!("{name:20} {finish:?}: {lowest:.3}");
            assert!(lowest >= LEAST, "{name} {finish:?}: {lowest:.3}");
            (finish, lowest)
        })
        .collect()
}

fn demo(f: impl Fn(&str, &str)) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/haberdashery/shapes");
    let mut names: Vec<_> = std::fs::read_dir(&folder)
        .expect("the demo's shapes")
        .map(|e| e.expect("a file").path())
        .filter(|p| p.extension().is_some_and(|e| e == "svg"))
        .collect();
    names.sort();
    assert!(names.len() >= 16);
    for path in names {
        let name = path.file_name().expect("a name").to_string_lossy().into_owned();
        f(&name, &std::fs::read_to_string(&path).expect("text"));
    }
}

#[test]
fn demo_shapes_are_flat_enough() {
    let lowest = std::cell::RefCell::new(std::collections::BTreeMap::<Finish, f64>::new());
    demo(|name, text| {
        for (finish, share) in check(name, text) {
            let mut lowest = lowest.borrow_mut();
            let l = lowest.entry(finish).or_insert(1.0);
            *l = l.min(share);
        }
    });
    println!("lowest: {:.3?}", lowest.borrow());
}

#[test]
fn plain_outlines_are_flat_enough() {
    for (name, inside) in [
        (
            "blob",
            r##"<path d="M10 2C13 2 19 14 17 17C15 20 5 19 3 16C1 13 7 2 10 2Z" fill="#888"/>"##,
        ),
        (
            "ring",
            r##"<path fill-rule="evenodd" d="M2 10A8 8 0 1 1 18 10A8 8 0 1 1 2 10ZM6 10A4 4 0 1 0 14 10A4 4 0 1 0 6 10Z" fill="#888"/>"##,
        ),
        ("rectangle", r##"<rect x="1" y="5" width="18" height="8" fill="#888"/>"##),
        (
            "button",
            r##"<circle cx="10" cy="10" r="6" fill="#888"/><circle cx="8" cy="10" r="1"/><circle cx="12" cy="10" r="1"/>"##,
        ),
    ] {
        let text = format!(
            r##"<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20">{inside}</svg>"##
        );
        check(name, &text);
    }
}

#[test]
fn demo_shapes_have_their_true_size() {
    demo(|name, text| {
        let shape = read_shape(Path::new(name), text).expect("a shape");
        let numbers: Vec<f64> =
            name.trim_end_matches(".svg").split('-').filter_map(|w| w.parse().ok()).collect();
        let longest = *numbers.last().expect("a size in the name");
        let b = shape.bounds;
        let side = if name.starts_with("star") { b.width() } else { b.width().max(b.height()) };
        assert!((side - longest).abs() < 5e-4, "{name}: {} x {}", b.width(), b.height());
    });
}

#[test]
fn colours_share_outlines() {
    demo(|name, text| {
        let drawer = Drawer::new(&read_shape(Path::new(name), text).expect("a shape"));
        for finish in Finish::ALL {
            let a = drawer.draw(Rgb(200, 30, 40), finish, 1);
            let b = drawer.draw(Rgb(20, 90, 40), finish, 2);
            let shared = a
                .layers
                .iter()
                .filter(|l| b.layers.iter().any(|m| std::sync::Arc::ptr_eq(&l.outline, &m.outline)))
                .count();
            let own = if finish == Finish::Flecked { 3 } else { 0 };
            assert!(shared + own >= a.layers.len(), "{name} {finish:?}");
            assert_eq!(a, drawer.draw(Rgb(200, 30, 40), finish, 1), "{name} {finish:?}");
        }
    });
}
