//! Finishes of plain outlines, as they come off a printer at 300 dpi: each told from every other,
//! no steps in what fades, no lights cut off.

use std::collections::HashMap;
use std::path::Path;

use crate::gallery::outlines::Outline;
use crate::raster::{self, Frame};
use kurbo::Shape as _;
use shadecard::colour::{difference, from_rgb};
use shadecard::finish::{Drawer, Drawing, DrawnLayer, Shade};
use shadecard::graphic::{Paint, lab};
use shadecard::range::Finish;
use shadecard::read::region::Region;
use shadecard::read::shapes::{Shape, read_shape};
use shadecard::session::Session;
use shadecard::sheet::Rgb;
use shadecard::work::Work;

/// 300 dpi.
const PER_MM: f64 = 300.0 / 25.4;

const SHAPES: [(Outline, f64, f64); 7] = [
    (Outline::Button, 11.0, 11.0),
    (Outline::Bar, 18.0, 6.0),
    (Outline::Leaf, 16.0, 9.0),
    (Outline::Ring, 13.0, 13.0),
    (Outline::Hexagon, 11.0, 9.5),
    (Outline::Disc, 3.0, 3.0),
    (Outline::Bar, 60.0, 6.0),
];

/// Red, white, black, blue, a pale and a gold.
const COLOURS: [Rgb; 6] = [
    Rgb(0xc9, 0x28, 0x2d),
    Rgb(0xf8, 0xf8, 0xf4),
    Rgb(0x1c, 0x1e, 0x24),
    Rgb(0x00, 0x5b, 0xbb),
    Rgb(0xf2, 0xc8, 0xb8),
    Rgb(0xc9, 0xa2, 0x27),
];

/// CIEDE2000 that nobody overlooks between two areas side by side: twice the 2.3 of Mahy, Van
/// Eycken and Oosterlinck (1994) for one that is just noticed (there in CIELAB; from memory).
const SEEN: f64 = 4.6;
/// The least share of a part's pixels that must differ by that; two fifths are flat and never do.
/// On a bead of 3 mm it is a fifth of a square millimetre, 30 pixels, of which an eye at 300 mm
/// resolves each (a minute of arc is 0.09 mm).
const SHARE: f64 = 0.03;

fn shape((outline, w, h): (Outline, f64, f64)) -> Shape {
    read_shape(Path::new("outline.svg"), &outline.svg(w, h), &Session::default()).expect("a shape")
}

/// Differences of pairs of colours, each worked out once.
#[derive(Default)]
struct Differences(HashMap<(Rgb, Rgb), f64>);

impl Differences {
    fn of(&mut self, a: Rgb, b: Rgb) -> f64 {
        let new = || difference(from_rgb(a), from_rgb(b));
        if a == b { 0.0 } else { *self.0.entry((a, b)).or_insert_with(new) }
    }
}

#[test]
fn every_finish_is_told_from_every_other() {
    let mut differences = Differences::default();
    let mut least: Vec<(f64, String)> = Vec::new();
    for what in SHAPES {
        let shape = shape(what);
        let drawer = Drawer::new(&shape, &Work::default());
        let frame = Frame { area: shape.bounds.inflate(0.1, 0.1), per_mm: PER_MM };
        let inside = frame.inside(&shape);
        let count = inside.iter().filter(|i| **i).count() as f64;
        for colour in COLOURS {
            let picture = |finish: Finish| {
                let mut map = frame.paper();
                frame.draw(&mut map, &drawer.draw(colour, finish, 7).layers, colour);
                raster::colours(&map)
            };
            let all: Vec<(Finish, Vec<Rgb>)> =
                Finish::ALL.into_iter().map(|f| (f, picture(f))).collect();
            for (n, (a, one)) in all.iter().enumerate() {
                for (b, other) in &all[n + 1..] {
                    let pairs = one.iter().zip(other).zip(&inside).filter(|(_, i)| **i);
                    let seen = pairs.filter(|((p, q), _)| differences.of(**p, **q) > SEEN).count();
                    let (name, hex) = (what.0.word(), colour.hex());
                    let words = format!("{name} {} mm, {hex}: {a:?}, {b:?}", what.1);
                    least.push((seen as f64 / count, words));
                }
            }
        }
    }
    least.sort_by(|a, b| a.0.total_cmp(&b.0));
    least.iter().take(40).for_each(|(share, words)| println!("{share:.3} {words}"));
    let alike: Vec<_> = least.iter().filter(|(share, _)| *share < SHARE).collect();
    assert!(alike.is_empty(), "{alike:#?}");
}

/// What a step of shade or light may change at most where it is more than two pixels wide,
/// CIEDE2000. Own judgement, no source: at four times the size up to 10 looks smooth, since edges
/// are spread over a pixel, and 24, from which shade began, looks like bands.
const STEP: f64 = 11.0;

/// The layers of shade and light whose steps are wide enough to be seen as bands.
fn wide_steps(drawing: &Drawing) -> Vec<bool> {
    let veil = |l: &DrawnLayer| l.opacity < 0.5;
    let area = |l: &DrawnLayer| Region::of(&l.outline, l.rule, &Work::default());
    let layers = &drawing.layers;
    let wide = |n: usize| {
        let own = area(&layers[n]);
        let bare = match layers.get(n + 1) {
            Some(next) if veil(next) => own.without(&area(next)),
            _ => own,
        };
        bare.inradius() > 1.0 / PER_MM
    };
    (0..layers.len()).map(|n| veil(&layers[n]) && wide(n)).collect()
}

#[test]
fn shade_has_no_steps() {
    let mut differences = Differences::default();
    let mut steps: Vec<(f64, String)> = Vec::new();
    // All the shade of the bead is five pixels wide: no step in it is seen.
    for what in SHAPES.into_iter().filter(|s| s.1 > 5.0) {
        let shape = shape(what);
        let drawer = Drawer::new(&shape, &Work::default());
        let frame = Frame { area: shape.bounds.inflate(0.1, 0.1), per_mm: PER_MM };
        let inside = frame.inside(&shape);
        let wide = Finish::ALL.map(|f| wide_steps(&drawer.draw(COLOURS[0], f, 7)));
        for (colour, n) in COLOURS.iter().flat_map(|c| (0..wide.len()).map(move |n| (*c, n))) {
            let finish = Finish::ALL[n];
            let mut map = frame.paper();
            let mut before = raster::colours(&map);
            let mut worst = 0.0_f64;
            for (k, layer) in drawer.draw(colour, finish, 7).layers.into_iter().enumerate() {
                frame.draw(&mut map, std::slice::from_ref(&layer), colour);
                let after = raster::colours(&map);
                if wide[n].get(k) == Some(&true) {
                    let pairs = before.iter().zip(&after).zip(&inside).filter(|(_, i)| **i);
                    let step = pairs.map(|((p, q), _)| differences.of(*p, *q)).fold(0.0, f64::max);
                    worst = worst.max(step);
                }
                before = after;
            }
            let (name, hex) = (what.0.word(), colour.hex());
            steps.push((worst, format!("{name} {} mm, {hex}, {finish:?}", what.1)));
        }
    }
    steps.sort_by(|a, b| b.0.total_cmp(&a.0));
    steps.iter().take(30).for_each(|(step, words)| println!("{step:.2} {words}"));
    let largest = &steps[0];
    assert!(largest.0 <= STEP, "{largest:?}");
    assert!(steps.iter().filter(|s| s.0 > 0.5).count() > steps.len() / 2, "few were looked at");
}

/// A light that runs out to points loses much of itself where it is narrower than half its
/// greatest width; one that is cut off square loses its corners only, under 2 % where it is four
/// times as long as wide.
const TAPERS: f64 = 0.06;

fn lights(drawing: &Drawing, sample: Rgb) -> impl Iterator<Item = Region> {
    let bright = move |shade: Shade| lab(shade.on(sample)).l > 85.0;
    let light = move |paint: &Paint<Shade>| matches!(paint, Paint::Solid(s) if bright(*s));
    let lights = drawing.layers.iter().filter(move |l| l.opacity < 1.0 && light(&l.paint));
    lights.flat_map(|l| Region::of(&l.outline, l.rule, &Work::default()).pieces())
}

#[test]
fn no_light_is_cut_off_square() {
    let black = Rgb(0x1c, 0x1e, 0x24);
    let mut looked_at = 0;
    for what in SHAPES.into_iter().filter(|s| s.0 != Outline::Button) {
        let drawer = Drawer::new(&shape(what), &Work::default());
        for finish in [Finish::Opaque, Finish::Metal, Finish::Clear] {
            for light in lights(&drawer.draw(black, finish, 7), black) {
                let half = light.inradius();
                let open = light.grown(-0.5 * half).grown(0.5 * half);
                let lost = 1.0 - open.area() / light.area();
                let long = light.outline().bounding_box();
                println!("{} {finish:?} {:.2}: {lost:.3}", what.0.word(), long.width());
                assert!(lost >= TAPERS, "{} {} mm, {finish:?}: {lost:.3}", what.0.word(), what.1);
                looked_at += 1;
            }
        }
    }
    assert!(looked_at >= 3 * (SHAPES.len() - 1), "{looked_at}");
}

/// Drawings of more layers make heavy files.
const LAYERS: usize = 26;

#[test]
fn drawings_are_light() {
    for what in SHAPES {
        let drawer = Drawer::new(&shape(what), &Work::default());
        for (colour, finish) in COLOURS.iter().flat_map(|c| Finish::ALL.map(|f| (*c, f))) {
            let layers = drawer.draw(colour, finish, 7).layers.len();
            // Flecks and the line of whites come on top.
            let more = if finish == Finish::Flecked { 4 } else { 1 };
            assert!(layers <= LAYERS + more, "{} {finish:?}: {layers}", what.0.word());
        }
    }
}
