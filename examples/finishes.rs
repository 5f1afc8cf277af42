//! Draws a grid of parts in finishes and colours, for looking at.
//!
//! `cargo run --example finishes -- OUT.png PX_PER_MM FINISH:RRGGBB[,..] SHAPE.svg..`

use std::path::{Path, PathBuf};

use kurbo::{BezPath, PathEl};
use shadecard::finish::{Drawer, Drawing, Shade};
use shadecard::graphic::Paint;
use shadecard::range::Finish;
use shadecard::read::shapes::read_shape;
use shadecard::session::Session;
use shadecard::sheet::{FillRule, Ramp, Rgb};
use shadecard::work::Work;
use tiny_skia as sk;

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let [out, scale, rows, files @ ..] = &args[..] else {
        eprintln!("finishes OUT.png PX_PER_MM FINISH:RRGGBB[,FINISH:RRGGBB..] SHAPE.svg..");
        std::process::exit(2);
    };
    let scale: f32 = scale.parse().expect("a number of pixels");
    let rows: Vec<(Finish, Rgb)> = rows
        .split(',')
        .map(|r| {
            let (f, c) = r.split_once(':').expect("finish:colour");
            (Finish::parse(f).expect("a finish"), Rgb::parse(&format!("#{c}")).expect("a colour"))
        })
        .collect();
    let files: Vec<PathBuf> = files.iter().map(PathBuf::from).collect();
    let drawers: Vec<Drawer> = files.iter().map(|f| drawer(f)).collect();

    let first: Vec<Drawing> =
        drawers.iter().map(|d| d.draw(Rgb::WHITE, Finish::Opaque, 0)).collect();
    let gap = 2.0;
    let width: f64 = first.iter().map(|d| d.extent.width() + gap).sum::<f64>() + gap;
    let pitch = first.iter().map(|d| d.extent.height()).fold(0.0, f64::max) + gap;
    let height = pitch * rows.len() as f64 + gap;
    let px = |mm: f64| (mm * f64::from(scale)).ceil() as u32;
    let mut map = sk::Pixmap::new(px(width), px(height)).expect("a size");
    map.fill(sk::Color::WHITE);
    let mut count = Vec::new();
    for (row, (finish, colour)) in rows.iter().enumerate() {
        let mut x = gap;
        for (n, drawer) in drawers.iter().enumerate() {
            let drawing = drawer.draw(*colour, *finish, (row * 100 + n) as u64);
            count.push(drawing.layers.len());
            let y = gap / 2.0 + pitch * (row as f64 + 0.5);
            let at = sk::Transform::from_row(
                scale,
                0.0,
                0.0,
                scale,
                (x + drawing.extent.width() / 2.0) as f32 * scale,
                y as f32 * scale,
            );
            draw(&mut map, &drawing, *colour, at);
            x += drawing.extent.width() + gap;
        }
    }
    map.save_png(out).expect("the picture can be written");
    println!(
        "layers: least {}, most {}, mean {:.1}",
        count.iter().min().unwrap_or(&0),
        count.iter().max().unwrap_or(&0),
        count.iter().sum::<usize>() as f64 / count.len().max(1) as f64
    );
}

fn drawer(file: &Path) -> Drawer {
    let text = std::fs::read_to_string(file).expect("a readable file");
    match read_shape(file, &text, &Session::default()) {
        Ok(shape) => Drawer::new(&shape, &Work::default()),
        Err(found) => {
            for d in found {
                eprintln!(
                    "{}: {}: {} {}",
                    file.display(),
                    d.code,
                    d.message,
                    d.help.unwrap_or_default()
                );
            }
            std::process::exit(1);
        }
    }
}

fn draw(map: &mut sk::Pixmap, drawing: &Drawing, sample: Rgb, at: sk::Transform) {
    for layer in &drawing.layers {
        let Some(path) = sk_path(&layer.outline) else { continue };
        let alpha = layer.opacity as f32;
        let colour = |shade: Shade, a: f32| {
            let c = shade.on(sample);
            let mut c = sk::Color::from_rgba8(c.0, c.1, c.2, 255);
            c.set_alpha(a);
            c
        };
        let shader = match &layer.paint {
            Paint::Solid(c) => sk::Shader::SolidColor(colour(*c, alpha)),
            Paint::Gradient(g) => {
                let stops = g
                    .stops
                    .iter()
                    .map(|s| sk::GradientStop::new(s.offset as f32, colour(s.colour, alpha)))
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
        let paint = sk::Paint { shader, anti_alias: true, ..sk::Paint::default() };
        let rule = match layer.rule {
            FillRule::NonZero => sk::FillRule::Winding,
            FillRule::EvenOdd => sk::FillRule::EvenOdd,
        };
        map.fill_path(&path, &paint, rule, at, None);
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
            PathEl::CurveTo(a, c, d) => {
                b.cubic_to(p(a).0, p(a).1, p(c).0, p(c).1, p(d).0, p(d).1);
            }
            PathEl::ClosePath => b.close(),
        }
    }
    b.finish()
}
