//! Invented pages: six by seven or eight places with round, oval, long and toggle parts of 8 to 22 mm in colours of all hues.

use crate::render::draw::between;
use crate::render::page::*;
use crate::render::raster::circle;
use fastrand::Rng;

/// Invented colours, CIELAB, over the gamut of dyed plastics.
pub const COLOURS: [[f64; 3]; 48] = [
    [95.2, -0.4, 2.1],
    [91.0, 0.3, 8.5],
    [87.5, -1.2, 16.0],
    [81.0, 3.0, 11.0],
    [73.0, 0.2, 1.0],
    [62.0, -0.5, -1.5],
    [50.0, 0.4, 0.8],
    [39.0, -0.8, -2.0],
    [27.0, 0.5, 0.3],
    [18.5, 0.2, -0.6],
    [86.0, -6.0, 62.0],
    [80.0, 8.0, 78.0],
    [72.0, 24.0, 70.0],
    [62.0, 45.0, 58.0],
    [55.0, 55.0, 42.0],
    [46.0, 62.0, 38.0],
    [38.0, 55.0, 27.0],
    [29.0, 38.0, 15.0],
    [44.0, 63.0, 10.0],
    [53.0, 58.0, -6.0],
    [68.0, 34.0, 3.0],
    [82.0, 15.0, 4.0],
    [76.0, 20.0, -9.0],
    [48.0, 42.0, -26.0],
    [34.0, 34.0, -30.0],
    [24.0, 24.0, -24.0],
    [70.0, 10.0, -20.0],
    [31.0, 14.0, -46.0],
    [24.0, 10.0, -34.0],
    [19.0, 3.0, -16.0],
    [45.0, -4.0, -42.0],
    [57.0, -14.0, -36.0],
    [71.0, -13.0, -23.0],
    [83.0, -8.0, -11.0],
    [61.0, -28.0, -20.0],
    [49.0, -31.0, -9.0],
    [37.0, -24.0, -8.0],
    [78.0, -24.0, 2.0],
    [60.0, -45.0, 14.0],
    [46.0, -42.0, 22.0],
    [33.0, -26.0, 13.0],
    [24.0, -12.0, 6.0],
    [72.0, -34.0, 48.0],
    [56.0, -22.0, 42.0],
    [44.0, -8.0, 26.0],
    [58.0, 12.0, 38.0],
    [40.0, 18.0, 26.0],
    [27.0, 11.0, 13.0],
];

const COLUMNS: usize = 6;
const PITCH: (f64, f64) = (31.6, 30.4);
const SIDE: f64 = 24.0;
const FIRST: (f64, f64) = (14.0, 46.0);

/// An A4 page of a seed: which colour stands where, which shapes; all values known, or none.
pub fn page(seed: u64, known: bool) -> StagePage {
    page_of((210.0, 297.0), 8, (seed, known))
}

/// The same on US letter, with a row less.
pub fn letter(seed: u64, known: bool) -> StagePage {
    page_of((215.9, 279.4), 7, (seed, known))
}

fn page_of(size: (f64, f64), rows: usize, of: (u64, bool)) -> StagePage {
    let (seed, known) = of;
    let rng = &mut Rng::with_seed(seed ^ 0xa4a4);
    let mut order: Vec<usize> = (0..COLOURS.len()).collect();
    rng.shuffle(&mut order);
    let places = order
        .iter()
        .take(rows * COLUMNS)
        .enumerate()
        .map(|(at, &colour)| place(at, colour, known, rng))
        .collect();
    let id = rng.u64(..) & 0xff_ffff_ffff;
    StagePage {
        size,
        code: CodeMark {
            left: 14.0,
            top: 14.0,
            side: 18.0,
            text: format!("SC1:{id:010x}:1/2:2026"),
        },
        dots: dots(size, rows),
        dot_radius: 1.25,
        patches: patches(),
        places,
        chart: None,
        prints: Vec::new(),
    }
}

/// The CIELAB value of every place.
pub fn labs(page: &StagePage) -> Vec<[f64; 3]> {
    page.places
        .iter()
        .map(|place| {
            COLOURS[place.colour.trim_start_matches("colour-").parse::<usize>().unwrap_or(0)]
        })
        .collect()
}

fn place(at: usize, colour: usize, known: bool, rng: &mut Rng) -> PartPlace {
    let (left, top) =
        (FIRST.0 + PITCH.0 * (at % COLUMNS) as f64, FIRST.1 + PITCH.1 * (at / COLUMNS) as f64);
    let frame = Rect::new(left, top, SIDE, SIDE);
    let lab = COLOURS[colour];
    let ground = if lab[0] < 45.0 {
        Ground::White
    } else if lab[0] < 70.0 {
        Ground::Grey
    } else {
        Ground::Black
    };
    let shape = rng.usize(0..5);
    PartPlace {
        part: ["round", "oval", "ring", "long", "toggle"][shape].to_owned(),
        colour: format!("colour-{colour}"),
        number: format!("{}", 1001 + 7 * colour),
        frame,
        ground,
        outline: outline(shape, frame.centre(), rng),
        known: known.then_some(lab),
    }
}

fn outline(shape: usize, centre: (f64, f64), rng: &mut Rng) -> Vec<Polygon> {
    let wide = between(rng, 8.0, 20.0);
    let stretched = |w: f64, h: f64| -> Polygon {
        circle((0.0, 0.0), 1.0)
            .into_iter()
            .map(|p| (centre.0 + p.0 * w / 2.0, centre.1 + p.1 * h / 2.0))
            .collect()
    };
    let hole = |dx: f64, dy: f64, r: f64| circle((centre.0 + dx, centre.1 + dy), r);
    match shape {
        0 => vec![stretched(wide, wide)],
        1 => vec![stretched(wide.max(12.0), wide.max(12.0) * between(rng, 0.55, 0.8))],
        2 => {
            let wide = wide.max(13.0);
            let (r, d) = (wide * 0.055, wide * 0.11);
            vec![
                stretched(wide, wide),
                hole(-d, -d, r),
                hole(d, -d, r),
                hole(-d, d, r),
                hole(d, d, r),
            ]
        }
        3 => vec![rounded(centre, (between(rng, 14.0, 20.0), between(rng, 8.0, 11.0)), 2.5)],
        _ => vec![toggle(centre, between(rng, 17.0, 20.5))],
    }
}

/// A rectangle with round corners.
fn rounded(centre: (f64, f64), size: (f64, f64), radius: f64) -> Polygon {
    let quarter = |i: usize| circle((0.0, 0.0), radius).into_iter().skip(12 * i).take(12);
    let signs = [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)];
    let inner = (size.0 / 2.0 - radius, size.1 / 2.0 - radius);
    let corner = |(i, s): (usize, (f64, f64))| {
        quarter(i).map(move |p| (centre.0 + s.0 * inner.0 + p.0, centre.1 + s.1 * inner.1 + p.1))
    };
    signs.into_iter().enumerate().flat_map(corner).collect()
}

/// A bar that is thicker in the middle.
fn toggle(centre: (f64, f64), length: f64) -> Polygon {
    let half = |t: f64| {
        let end = (1.0 - (2.0 * t - 1.0).powi(8)).max(0.0).sqrt();
        end * (3.2 + 1.3 * (std::f64::consts::TAU * (t - 0.5)).cos())
    };
    let at = |i: usize| i as f64 / 40.0;
    let upper = (0..=40).map(|i| (centre.0 + length * (at(i) - 0.5), centre.1 - half(at(i))));
    let lower = (0..=40).rev().map(|i| (centre.0 + length * (at(i) - 0.5), centre.1 + half(at(i))));
    upper.chain(lower).collect()
}

fn patches() -> Vec<Patch> {
    let greys = [255, 232, 208, 184, 160, 136, 112, 88, 64, 40, 26, 200];
    let patch = |(i, grey): (usize, u8)| Patch {
        rect: Rect::new(44.0 + 12.4 * i as f64, 16.0, 10.0, 12.0),
        grey,
    };
    greys.into_iter().enumerate().map(patch).collect()
}

/// Dots along the margins, 6 mm from the edge, and in the gutters between rows where columns part.
fn dots(size: (f64, f64), rows: usize) -> Vec<(f64, f64)> {
    let mut dots = Vec::new();
    let along = |length: f64| {
        let steps = ((length - 12.0) / 18.0).round();
        (0..=steps as usize).map(move |i| 6.0 + (length - 12.0) / steps * i as f64)
    };
    for x in along(size.0) {
        dots.extend([(x, 6.0), (x, size.1 - 6.0)]);
    }
    for y in along(size.1).filter(|y| *y > 7.0 && *y < size.1 - 7.0) {
        dots.extend([(6.0, y), (size.0 - 6.0, y)]);
    }
    for row in 0..rows {
        for column in 1..COLUMNS {
            let gap = ((PITCH.0 - SIDE) / 2.0, (PITCH.1 - SIDE) / 2.0);
            dots.push((
                FIRST.0 + PITCH.0 * column as f64 - gap.0,
                FIRST.1 + PITCH.1 * row as f64 - gap.1,
            ));
        }
    }
    dots
}
