//! The promise of every drawing: at least two fifths of the part show the
//! exact value of its colour.

use std::path::Path;

use crate::raster::{self, Frame};
use shadecard::finish::{Drawer, Drawing};
use shadecard::range::Finish;
use shadecard::read::shapes::{Shape, read_shape};
use shadecard::session::Session;
use shadecard::sheet::Rgb;
use shadecard::work::Work;

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

/// The share of the pixels inside the outline that have the exact colour.
fn flat_share(shape: &Shape, drawing: &Drawing, colour: Rgb) -> f64 {
    let frame = Frame { area: drawing.bounds.inflate(0.2, 0.2), per_mm: SCALE };
    let mut map = frame.paper();
    frame.draw(&mut map, &drawing.layers, colour);
    let (mut inside, mut exact) = (0u32, 0u32);
    for (pixel, m) in raster::colours(&map).iter().zip(frame.mask(shape, false)) {
        if m > 0 {
            inside += 1;
            exact += u32::from(*pixel == colour);
        }
    }
    f64::from(exact) / f64::from(inside)
}

/// Checks a shape in every finish and colour; gives the lowest share of each finish.
fn check(name: &str, text: &str) -> Vec<(Finish, f64)> {
    let shape = read_shape(Path::new(name), text, &Session::default())
        .unwrap_or_else(|e| panic!("{name}: {e:#?}"));
    let drawer = Drawer::new(&shape, &Work::default());
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
        ("bead", r##"<circle cx="10" cy="10" r="1.5" fill="#888"/>"##),
        ("long bar", r##"<rect x="-20" y="5" width="60" height="6" rx="3" fill="#888"/>"##),
        ("leaf", r##"<path d="M2 10Q10 1 18 10Q10 19 2 10Z" fill="#888"/>"##),
        ("hexagon", r##"<path d="M2 10L6 3H14L18 10L14 17H6Z" fill="#888"/>"##),
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
        let shape = read_shape(Path::new(name), text, &Session::default()).expect("a shape");
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
        let drawer = Drawer::new(
            &read_shape(Path::new(name), text, &Session::default()).expect("a shape"),
            &Work::default(),
        );
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
