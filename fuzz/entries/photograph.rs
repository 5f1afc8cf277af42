//! A small picture, made of patches, noise and a page that may or may not be what lies there: where the page is, its
//! light, its faces, its chart, the parts cut out and traced.

use shadecard::capture::cut::{Order, Outline, Sight, cut, svg, together};
use shadecard::capture::{
    Chart, CodeMark, Ground, Limits, PartPlace, Rect, Scene, StagePage, decode, read_seen,
    see_corners,
};

use super::dice::Dice;

/// Sides of the picture in pixels, at most.
const MOST: usize = 300;

pub fn entry(bytes: &[u8]) -> String {
    let mut dice = Dice::new(bytes);
    let size = (120 + dice.below(MOST - 120), 120 + dice.below(MOST - 120));
    let file = picture(&mut dice, size);
    let picture = decode(&file, &Limits::default()).expect("a PNG");
    let per_mm = dice.number(6.0, 14.0);
    let page = page(&mut dice, (size.0 as f64 / per_mm, size.1 as f64 / per_mm));
    let (w, h) = (size.0 as f64, size.1 as f64);
    let off = |dice: &mut Dice| if dice.chance(3) { dice.number(-30.0, 30.0) } else { 0.0 };
    let corners = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)]
        .map(|(x, y)| ((x + off(&mut dice)).clamp(0.0, w), (y + off(&mut dice)).clamp(0.0, h)));
    let seen = match see_corners(&picture, &corners, &page) {
        Ok(seen) => seen,
        Err(fault) => return format!("{fault}: {}", fault.help()),
    };
    let read = read_seen(&picture, &seen, &page);
    for reading in &read.readings {
        let finite =
            reading.lab.is_none_or(|c| c.l.is_finite() && c.a.is_finite() && c.b.is_finite());
        assert!(finite && reading.spread.is_finite(), "{reading:?}");
        assert!(reading.lab.is_some() || !reading.doubts.is_empty(), "no colour, and no reason");
    }
    let sight =
        Sight::of(Scene { picture: &picture, lens: seen.lens(), light: seen.light() }, &page);
    let mut outlines: Vec<Outline> = Vec::new();
    let mut told = format!("{} read", read.readings.len());
    for place in &page.places {
        let clear = dice.chance(4);
        let order = Order { place, value: [50.0, 10.0, -20.0], thick: None, clear };
        match cut(&sight, &order) {
            Ok(cut) => {
                assert!(cut.outline.iter().flatten().all(|p| p.0.is_finite() && p.1.is_finite()));
                cut.image.png().expect("a picture");
                outlines.push(cut.outline);
            }
            Err(fault) => told += &format!("; {fault}"),
        }
    }
    if let Some((outline, apart)) = together(&outlines) {
        assert!(apart.is_finite());
        told += &svg(&outline).unwrap_or_default();
    }
    told
}

/// Patches of colours on something even, with noise, as PNG.
fn picture(dice: &mut Dice, (width, height): (usize, usize)) -> Vec<u8> {
    let ground = [dice.byte(), dice.byte(), dice.byte()].map(|v| v | 0x80);
    let mut pixels: Vec<[u8; 3]> = vec![ground; width * height];
    for _ in 0..dice.below(12) {
        let colour = [dice.byte(), dice.byte(), dice.byte()];
        let (x, y) = (dice.number(0.0, width as f64), dice.number(0.0, height as f64));
        let (rx, ry) = (dice.number(2.0, 60.0), dice.number(2.0, 60.0));
        let is_round = dice.chance(2);
        for (i, pixel) in pixels.iter_mut().enumerate() {
            let (dx, dy) = ((i % width) as f64 - x, (i / width) as f64 - y);
            let (dx, dy) = (dx / rx, dy / ry);
            let far = if is_round { dx.hypot(dy) } else { dx.abs().max(dy.abs()) };
            if far < 1.0 {
                *pixel = colour;
            }
        }
    }
    let noise = dice.below(24) as u8;
    let mut rng = fastrand::Rng::with_seed(u64::from(dice.byte()));
    let data: Vec<u8> = pixels
        .into_iter()
        .flatten()
        .map(|v| if noise > 0 { v.saturating_sub(rng.u8(..noise)) } else { v })
        .collect();
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, width as u32, height as u32);
    encoder.set_color(png::ColorType::Rgb);
    let mut writer = encoder.write_header().expect("a head");
    writer.write_image_data(&data).expect("pixels");
    writer.finish().expect("an end");
    out
}

fn page(dice: &mut Dice, size: (f64, f64)) -> StagePage {
    let places = (0..dice.below(6)).map(|_| place(dice, size)).collect();
    let chart = dice.chance(4).then(|| Chart {
        rect: rect(dice, size),
        columns: 1 + dice.below(6),
        patches: (0..dice.below(20))
            .map(|_| [dice.number(0.0, 100.0), dice.number(-90.0, 90.0), dice.number(-90.0, 90.0)])
            .collect(),
    });
    StagePage {
        size,
        code: CodeMark { left: 0.0, top: 0.0, side: 0.0, text: String::new() },
        dots: Vec::new(),
        dot_radius: 0.0,
        patches: Vec::new(),
        places,
        chart,
        covered: (0..dice.below(3)).map(|_| rect(dice, size)).collect(),
        prints: Vec::new(),
    }
}

fn rect(dice: &mut Dice, (width, height): (f64, f64)) -> Rect {
    let (left, top) = (dice.number(0.0, width * 0.8), dice.number(0.0, height * 0.8));
    let side = |dice: &mut Dice, room: f64| dice.number(0.01, 1.0) * room;
    Rect { left, top, width: side(dice, width - left), height: side(dice, height - top) }
}

fn place(dice: &mut Dice, size: (f64, f64)) -> PartPlace {
    let frame = rect(dice, size);
    let ring = |dice: &mut Dice, count: usize| {
        let at = |dice: &mut Dice| {
            (
                frame.left + dice.number(0.0, 1.0) * frame.width,
                frame.top + dice.number(0.0, 1.0) * frame.height,
            )
        };
        (0..count).map(|_| at(dice)).collect::<Vec<_>>()
    };
    let mut outline = vec![match dice.below(3) {
        0 => ring(dice, 3),
        1 => ring(dice, 12),
        _ => {
            let (cx, cy) = frame.centre();
            let turn = |i: u32| f64::from(i) / 40.0 * std::f64::consts::TAU;
            let at = |i| {
                (cx + 0.4 * frame.width * turn(i).cos(), cy + 0.4 * frame.height * turn(i).sin())
            };
            (0..40).map(at).collect()
        }
    }];
    if dice.chance(3) {
        outline.push(ring(dice, 4));
    }
    PartPlace {
        part: ["a", "b"][dice.below(2)].to_owned(),
        colour: dice.byte().to_string(),
        number: String::new(),
        frame,
        ground: [Ground::White, Ground::Grey, Ground::Black][dice.below(3)],
        outline,
        known: dice.chance(2).then(|| [dice.number(0.0, 100.0), 20.0, -30.0]),
        boxed: dice.chance(3),
    }
}
