//! A drawing made from bytes: shapes, paths with arcs and several subpaths, strokes with dashes, copies and
//! styles, at any scale; drawn in one of the finishes, with the work counted.

use std::fmt::Write as _;

use shadecard::finish::{Drawer, Drawing};
use shadecard::graphic::Rgb;
use shadecard::range::Finish;
use shadecard::work::{Work, WorkKind};

use super::dice::Dice;
use super::shape::{finite, read};

/// Looks at each edge that curves are fitted to.
const MOST_LOOKS: u64 = 80;
/// Corners that all offsets and booleans of a finish may take and give: ten times what was seen.
const MOST_CORNERS: u64 = 20_000_000;

pub fn entry(bytes: &[u8]) -> String {
    let mut dice = Dice::new(bytes);
    let svg = svg(&mut dice);
    if std::env::var_os("SHOWN").is_some() {
        eprintln!("{svg}");
    }
    let shape = match read(svg.as_bytes()) {
        Ok(shape) => shape,
        Err(said) => return said,
    };
    let finish = dice.pick(&Finish::ALL);
    let work = Work::default();
    let drawn = in_finish(&Drawer::new(&shape, &work), finish, &work);
    format!("{} {} {finish:?} {drawn}", shape.bounds.width(), shape.bounds.height())
}

/// Draws a shape, whose drawer counts with `work`, and counts its layers.
pub fn in_finish(drawer: &Drawer, finish: Finish, work: &Work) -> usize {
    let (drawing, done) = work.counted(|| drawer.draw(Rgb(0x8a, 0x20, 0x4c), finish, 7));
    drawn(&drawing);
    let (looks, edges) = (done(WorkKind::Fits), done(WorkKind::Smoothed));
    assert!(looks <= MOST_LOOKS * edges, "{finish:?}: {looks} looks at {edges} edges");
    assert!(done(WorkKind::Edges) <= 600_000, "{finish:?}: {} edges", done(WorkKind::Edges));
    assert!(
        done(WorkKind::Corners) <= MOST_CORNERS,
        "{finish:?}: {} corners",
        done(WorkKind::Corners)
    );
    drawing.layers.len()
}

fn drawn(drawing: &Drawing) {
    assert!(!drawing.layers.is_empty(), "nothing is drawn");
    assert!(drawing.bounds.is_finite() && drawing.extent.is_finite(), "{:?}", drawing.bounds);
    for layer in &drawing.layers {
        finite(&layer.outline);
        assert!((0.0..=1.0).contains(&layer.opacity), "opacity {}", layer.opacity);
    }
}

fn svg(dice: &mut Dice<'_>) -> String {
    // How many user units the page has, and how many millimetres.
    let units = dice.pick(&[1.0, 9.0, 24.0, 100.0, 512.0]);
    let (w, h) = (units * dice.number(0.5, 1.5), units * dice.number(0.5, 1.5));
    let mm = dice.number(2.0, 40.0);
    let mut out = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink' width='{mm:.3}mm' height='{:.3}mm' viewBox='0 0 {w:.4} {h:.4}'>",
        mm * h / w,
    );
    if dice.chance(4) {
        out += "<style>.a{fill:#336}.b{fill:none;stroke:#000}.c{fill:currentColor}</style>";
    }
    let count = 1 + dice.below(4);
    for n in 0..count {
        let transform = transform(dice, units);
        let paint = paint(dice, units);
        let body = element(dice, units, n);
        let _ = match dice.below(6) {
            0 => write!(out, "<g{transform}{paint}>{body}</g>"),
            1 => write!(
                out,
                "<defs><g id='d{n}'>{body}</g></defs><use xlink:href='#d{n}'{transform}{paint}/>"
            ),
            2 => write!(
                out,
                "<clipPath id='k{n}'>{}</clipPath><g clip-path='url(#k{n})'{paint}>{body}</g>",
                element(dice, units, n + 50)
            ),
            _ => write!(out, "<g{paint}>{body}</g>"),
        };
    }
    out + "</svg>"
}

fn transform(dice: &mut Dice<'_>, units: f64) -> String {
    match dice.below(5) {
        0 => format!(
            " transform='rotate({:.2} {:.2} {:.2})'",
            dice.number(-180.0, 180.0),
            units / 2.0,
            units / 2.0
        ),
        1 => format!(
            " transform='scale({:.3} {:.3})'",
            dice.number(-2.0, 2.0),
            dice.number(0.1, 2.0)
        ),
        2 => format!(
            " transform='translate({:.3} {:.3}) skewX({:.2})'",
            dice.number(-units, units),
            dice.number(-units, units),
            dice.number(-60.0, 60.0)
        ),
        3 => format!(
            " transform='matrix({:.3} {:.3} {:.3} {:.3} 0 0)'",
            dice.number(-1.0, 1.0),
            dice.number(-1.0, 1.0),
            dice.number(-1.0, 1.0),
            dice.number(-1.0, 1.0)
        ),
        _ => String::new(),
    }
}

fn paint(dice: &mut Dice<'_>, units: f64) -> String {
    let fill = dice.pick(&[
        "",
        " fill='#000'",
        " fill='none'",
        " class='a'",
        " class='b'",
        " fill-rule='evenodd'",
        " fill='#fff' opacity='.4'",
    ]);
    let mut out = fill.to_owned();
    if dice.chance(2) {
        let _ = write!(
            out,
            " stroke='#000' stroke-width='{:.4}' stroke-linejoin='{}' stroke-linecap='{}'",
            units * dice.number(0.001, 0.3),
            dice.pick(&["miter", "round", "bevel", "miter-clip"]),
            dice.pick(&["butt", "round", "square"]),
        );
        if dice.chance(3) {
            let _ = write!(
                out,
                " stroke-dasharray='{:.4} {:.4}' stroke-dashoffset='{:.3}'",
                units * dice.number(0.002, 0.5),
                units * dice.number(0.0, 0.5),
                dice.number(-units, units),
            );
        }
    }
    out
}

fn element(dice: &mut Dice<'_>, units: f64, n: usize) -> String {
    let mut v = |most: f64| dice.number(0.0, most * units);
    match n.wrapping_add(v(1.0).to_bits() as usize) % 6 {
        0 => format!("<circle cx='{:.4}' cy='{:.4}' r='{:.4}'/>", v(1.0), v(1.0), v(0.5)),
        1 => format!(
            "<ellipse cx='{:.4}' cy='{:.4}' rx='{:.4}' ry='{:.4}'/>",
            v(1.0),
            v(1.0),
            v(0.5),
            v(0.5)
        ),
        2 => format!(
            "<rect x='{:.4}' y='{:.4}' width='{:.4}' height='{:.4}' rx='{:.4}'/>",
            v(0.5),
            v(0.5),
            v(1.0),
            v(1.0),
            v(0.2)
        ),
        _ => format!("<path d='{}'/>", path(dice, units)),
    }
}

fn path(dice: &mut Dice<'_>, units: f64) -> String {
    let mut out = String::new();
    for _ in 0..1 + dice.below(3) {
        let n = |dice: &mut Dice<'_>| dice.number(0.0, units);
        let _ = write!(out, "M{:.4} {:.4}", n(dice), n(dice));
        for _ in 0..2 + dice.below(6) {
            let relative = dice.chance(2);
            let p = |dice: &mut Dice<'_>| match relative {
                true => dice.number(-units / 3.0, units / 3.0),
                false => dice.number(0.0, units),
            };
            let command = dice.pick(&['L', 'L', 'H', 'V', 'C', 'S', 'Q', 'T', 'A', 'A', 'Z']);
            let name = if relative { command.to_ascii_lowercase() } else { command };
            out.push(name);
            let count = match command {
                'L' | 'T' => 2,
                'H' | 'V' => 1,
                'C' => 6,
                'S' | 'Q' => 4,
                _ => 0,
            };
            (0..count).for_each(|_| {
                let _ = write!(out, "{:.4} ", p(dice));
            });
            if command == 'A' {
                let (rx, ry) = (dice.number(0.0, units), dice.number(0.0, units));
                let (turn, large, sweep) = (dice.number(-90.0, 90.0), dice.below(2), dice.below(2));
                let _ = write!(
                    out,
                    "{rx:.4} {ry:.4} {turn:.2} {large} {sweep} {:.4} {:.4}",
                    p(dice),
                    p(dice)
                );
            }
        }
        if !dice.chance(3) {
            out.push('z');
        }
    }
    out
}
