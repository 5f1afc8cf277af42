use super::*;
use crate::graphic::{Ramp, Rgb};
use kurbo::Shape as _;

fn read(text: &str) -> Result<Shape, Vec<Diagnostic>> {
    read_shape(Path::new("part.svg"), text)
}

/// A drawing of 20 x 20 mm with the origin at the upper left.
fn svg(inside: &str) -> String {
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="20mm" height="20mm" viewBox="0 0 20 20">{inside}</svg>"#
    )
}

fn good(inside: &str) -> Shape {
    read(&svg(inside)).unwrap_or_else(|e| panic!("{e:#?}"))
}

fn bad(inside: &str, code: &str, word: &str) -> Diagnostic {
    let found = read(&svg(inside)).expect_err("an error");
    let d = &found[0];
    assert_eq!(d.code, code, "{d:?}");
    assert!(d.message.contains(word), "{d:?}");
    assert!(d.help.is_some(), "{d:?}");
    d.clone()
}

fn size(s: &Shape) -> (f64, f64) {
    (s.bounds.width(), s.bounds.height())
}

#[test]
fn a_plain_outline_is_measured_and_centred() {
    let s = good(r##"<circle cx="7" cy="8" r="4.5" fill="#555"/>"##);
    assert_eq!(size(&s), (9.0, 9.0));
    assert_eq!(s.bounds.center(), kurbo::Point::ORIGIN);
    assert!(s.is_plain());
    assert_eq!(s.layers.len(), 1);
    assert_eq!(s.layers[0].paint, TonePaint::Flat(Tone::EXACT));
}

#[test]
fn holes_of_a_plain_outline() {
    let holes = r##"<circle cx="8" cy="10" r="1"/><circle cx="12" cy="10" r="1"/>"##;
    let s = good(&format!(r##"<circle cx="10" cy="10" r="5" fill="#aaa"/>{holes}"##));
    assert!(s.is_plain());
    assert_eq!(s.layers.iter().filter(|l| l.role == LayerRole::Hole).count(), 2);
    let marked = good(
        r##"<g class="body"><rect width="8" height="6" fill="#777"/><circle class="hole" cx="4" cy="3" r="1" fill="#333"/></g>"##,
    );
    assert!(marked.is_plain());
    assert_eq!(marked.layers[1].role, LayerRole::Hole);
}

#[test]
fn a_drawing_of_lines_alone_is_an_outline() {
    let s = good(
        r##"<g fill="none" stroke="#000" stroke-width="0.2"><rect x="2" y="3" width="10" height="6"/><circle cx="7" cy="6" r="1"/></g>"##,
    );
    assert_eq!(size(&s), (10.0, 6.0));
    assert!(s.is_plain());
    assert_eq!(s.layers.len(), 2);
}

#[test]
fn units_follow_the_size_and_the_view_box() {
    let px = read(r##"<svg xmlns="http://www.w3.org/2000/svg" width="96" height="96"><rect width="48" height="24"/></svg>"##)
        .expect("a shape");
    assert_eq!(size(&px), (12.7, 6.35));
    let half = read(r##"<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="10mm" viewBox="0 0 20 20"><rect width="20" height="10"/></svg>"##)
        .expect("a shape");
    assert_eq!(size(&half), (10.0, 5.0));
    let inch = read(r##"<svg xmlns="http://www.w3.org/2000/svg" width="1in" height="1in" viewBox="0 0 1 1"><rect width="1" height="0.5"/></svg>"##)
        .expect("a shape");
    assert_eq!(size(&inch), (25.4, 12.7));
}

#[test]
fn transforms_groups_and_copies() {
    let s = good(
        r##"<defs><symbol id="s"><rect width="2" height="1" fill="#999"/></symbol></defs>
        <g transform="translate(3 4)"><g transform="scale(2)"><rect class="body" width="4" height="3" fill="#777"/></g></g>
        <use xlink:href="#s" x="3" y="4" transform="translate(1 1)"/>"##,
    );
    assert_eq!(size(&s), (8.0, 6.0));
    let copy = s.layers[1].path.bounding_box();
    // The body's centre is at (7, 7); the copy's corner at (4, 5).
    assert!((copy.x0 + 3.0).abs() < 1e-4 && (copy.y0 + 2.0).abs() < 1e-4, "{copy:?}");
    assert!((copy.width() - 2.0).abs() < 1e-4);
}

#[test]
fn strokes_become_areas() {
    let s = good(
        r##"<rect class="body" x="2" y="2" width="10" height="10" fill="#777"/>
        <path d="M4 7H10" fill="none" stroke="#999" stroke-width="0.5" class="opaque"/>"##,
    );
    let b = s.layers[1].path.bounding_box();
    assert!((b.width() - 6.0).abs() < 1e-3 && (b.height() - 0.5).abs() < 1e-3, "{b:?}");
    assert_eq!(s.layers[1].finishes, [Finish::Opaque]);
    assert_eq!(s.layers[1].role, LayerRole::Relief);
}

#[test]
fn tones_are_differences_from_the_body() {
    let s = good(
        r##"<rect class="body" width="10" height="10" fill="#777777"/>
        <rect width="5" height="5" fill="#777777"/>
        <rect width="5" height="5" fill="#ffffff"/>
        <rect width="5" height="5" fill="#a5a5a5"/>
        <g class="fixed"><rect width="5" height="5" fill="#e9e9e7"/></g>
        <rect width="5" height="5" fill="#8a6f6f"/>"##,
    );
    let tone = |n: usize| match s.layers[n].paint {
        TonePaint::Flat(t) => t,
        _ => panic!("flat"),
    };
    assert_eq!(tone(1), Tone::EXACT);
    assert_eq!(tone(2), Tone::Shine);
    let Tone::Offset { dl, da, db } = tone(3) else { panic!("offset") };
    assert!((dl - 17.7).abs() < 0.3 && da.abs() < 0.01 && db.abs() < 0.02, "{dl} {da} {db}");
    assert_eq!(tone(4), Tone::Fixed(Rgb(0xe9, 0xe9, 0xe7)));
    assert!(matches!(tone(5), Tone::Offset { da, .. } if da > 5.0));
}

#[test]
fn gradients_come_in_millimetres() {
    let s = good(
        r##"<defs><linearGradient id="g"><stop offset="0" stop-color="#777"/><stop offset="1" stop-color="#fff"/></linearGradient>
        <radialGradient id="r" gradientUnits="userSpaceOnUse" cx="5" cy="5" r="2" xlink:href="#g"/></defs>
        <rect class="body" width="10" height="10" fill="#777"/>
        <g transform="translate(1 0)"><rect width="4" height="10" fill="url(#g)"/></g>
        <rect width="4" height="4" fill="url(#r)"/>"##,
    );
    let TonePaint::Gradient { ramp: Ramp::Linear { x1, y1, x2, y2 }, transform, stops } =
        &s.layers[1].paint
    else {
        panic!("linear")
    };
    let (a, b) =
        (*transform * kurbo::Point::new(*x1, *y1), *transform * kurbo::Point::new(*x2, *y2));
    assert!((a.x + 4.0).abs() < 1e-4 && b.x.abs() < 1e-4, "{a:?} {b:?}");
    assert_eq!(stops[0].1, Tone::EXACT);
    assert_eq!(stops[1].1, Tone::Shine);
    assert!(matches!(s.layers[2].paint, TonePaint::Gradient { ramp: Ramp::Radial { .. }, .. }));
}

#[test]
fn classes_are_inherited_and_style_sheets_work() {
    let s = good(
        r##"<style>.st0{fill:#777777} .st1{fill:#999999;fill-opacity:0.5}</style>
        <rect class="st0 body" width="10" height="10"/>
        <g class="clear flecked"><rect class="st1" width="5" height="5"/><g class="clear"><rect width="3" height="3" class="st1"/></g></g>"##,
    );
    assert_eq!(s.layers[1].finishes, [Finish::Clear, Finish::Flecked]);
    assert!((s.layers[1].opacity - 0.5).abs() < 0.01);
    assert_eq!(s.layers[2].finishes, [Finish::Clear]);
}

#[test]
fn a_layered_drawing_without_words_takes_its_largest_outline() {
    let s = good(
        r##"<rect x="4" y="4" width="3" height="3" fill="#333"/><circle cx="10" cy="10" r="6" fill="#777"/><circle cx="10" cy="10" r="4" fill="#999"/>"##,
    );
    assert_eq!(size(&s), (12.0, 12.0));
    assert!(!s.is_plain());
}

#[test]
fn refused_content_is_named() {
    let body = r##"<rect class="body" width="10" height="10" fill="#777"/>"##;
    let with = |s: &str| format!("{body}{s}");
    bad(&with(r##"<image href="x.png" width="1" height="1"/>"##), "shape-unsupported", "pictures");
    bad(&with("<text>A</text>"), "shape-unsupported", "text");
    bad(
        &with(r##"<filter id="f"/><rect width="1" height="1" filter="url(#f)"/>"##),
        "shape-unsupported",
        "filters",
    );
    bad(
        &with(r##"<mask id="m"/><rect width="1" height="1" style="mask: url(#m)"/>"##),
        "shape-unsupported",
        "masks",
    );
    bad(
        &with(r##"<clipPath id="c"/><rect width="1" height="1" clip-path="url(#c)"/>"##),
        "shape-unsupported",
        "clipping",
    );
    bad(
        &with(r##"<pattern id="p"/><rect width="1" height="1" fill="url(#p)"/>"##),
        "shape-unsupported",
        "patterns",
    );
    bad(
        &with(r##"<rect width="1" height="1" style="mix-blend-mode:multiply"/>"##),
        "shape-unsupported",
        "blend",
    );
    bad(
        &with(
            r##"<linearGradient id="g"><stop stop-color="#fff"/><stop offset="1" stop-opacity="0"/></linearGradient><rect width="1" height="1" fill="url(#g)"/>"##,
        ),
        "shape-unsupported",
        "see-through",
    );
    bad(r##"<rect class="bodi" width="9" height="9"/>"##, "shape-class", "bodi");
    bad(
        r##"<rect class="body" width="9" height="9"/><rect class="body" width="2" height="2"/>"##,
        "shape-unsupported",
        "More than one",
    );
    bad("", "shape-empty", "no filled outline");
    bad(r##"<rect width="900" height="9"/>"##, "shape-too-large", "900.0");
    bad(r##"<rect width="9" height="0.01"/>"##, "shape-too-small", "0.010");
    bad(r##"<use href="#nothing"/>"##, "shape-broken", "copy");
    // Definitions that nothing uses do no harm: editors leave them behind.
    good(&with(r##"<defs><clipPath id="old"/><filter id="blur"/></defs>"##));
}

#[test]
fn places_are_byte_ranges() {
    let text = svg(r##"<rect width="9" height="9"/><text x="1">A</text>"##);
    let found = read(&text).expect_err("an error");
    let span = found[0].span.clone().expect("a place");
    assert_eq!(&text[span.range], r##"<text x="1">"##);
}

#[test]
fn broken_files_are_errors() {
    for text in [
        "",
        "hello",
        "<svg",
        "<html/>",
        "<svg xmlns='http://www.w3.org/2000/svg' width='-1' height='2'/>",
    ] {
        let found = read(text).expect_err("an error");
        assert!(found[0].code.starts_with("shape-"), "{text}: {found:?}");
    }
    let dtd = format!("<!DOCTYPE svg [<!ENTITY a 'b'>]>{}", svg("<rect width='1' height='1'/>"));
    assert!(read(&dtd).expect_err("an error")[0].message.contains("document type"));
}

#[test]
fn deep_nesting_is_refused() {
    for depth in [100, 90_000] {
        let text = svg(&format!(
            "{}<rect width='9' height='9'/>{}",
            "<g>".repeat(depth),
            "</g>".repeat(depth)
        ));
        let found = read(&text).expect_err("an error");
        assert!(found[0].message.contains("nested"), "{found:?}");
    }
}

#[test]
fn long_chains_are_refused() {
    // Pattern n is filled with pattern n + 1: this overflows the stack of an unguarded reader.
    let patterns: String = (0..400)
        .map(|n| format!(r##"<pattern id="p{n}" width="1" height="1"><rect width="1" height="1" fill="url(#p{})"/></pattern>"##, n + 1))
        .collect();
    let text = svg(&format!(r##"{patterns}<rect width="9" height="9" fill="url(#p0)"/>"##));
    assert!(read(&text).expect_err("an error")[0].message.contains("patterns"));
    let copies: String =
        (0..400).map(|n| format!(r##"<g id="c{n}"><use href="#c{}"/></g>"##, n + 1)).collect();
    let text = svg(&format!("<defs>{copies}</defs><rect width='9' height='9'/><use href='#c0'/>"));
    assert!(read(&text).expect_err("an error")[0].message.contains("nested"));
    let circle = svg(r##"<g id="a"><rect width="9" height="9"/><use href="#a"/></g>"##);
    assert!(read(&circle).is_err());
    // Each copy holds two of the next: two to the power of thirty rectangles.
    let doubling: String = (0..30)
        .map(|n| format!(r##"<g id="d{n}"><use href="#d{0}"/><use href="#d{0}"/></g>"##, n + 1))
        .collect();
    let text = svg(&format!(
        "<defs>{doubling}<rect id='d30' width='1' height='1'/></defs><use href='#d0'/>"
    ));
    assert!(read(&text).expect_err("an error")[0].message.contains("elements"));
    let gradients: String =
        (0..400).map(|n| format!(r##"<linearGradient id="l{n}" href="#l{}"/>"##, n + 1)).collect();
    let text = svg(&format!("{gradients}<rect width='9' height='9' fill='url(#l0)'/>"));
    assert!(read(&text).expect_err("an error")[0].message.contains("nested"));
}

#[test]
fn fine_dashes_are_refused() {
    let d = bad(
        r##"<rect width="9" height="9"/><path d="M0 0H9" stroke="#000" stroke-dasharray="0.0001"/>"##,
        "shape-unsupported",
        "dashes",
    );
    assert!(d.span.is_some());
}
