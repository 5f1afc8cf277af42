mod refused;

use super::*;
use crate::graphic::{Ramp, Rgb};
use crate::read::Finish;
use crate::work::Work;
use kurbo::Shape as _;

fn read(text: &str) -> Result<Shape, Vec<Diagnostic>> {
    read_shape(Path::new("part.svg"), text, &Session::default())
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
    let mm = |v: f64| (v * 1e6).round() / 1e6;
    (mm(s.bounds.width()), mm(s.bounds.height()))
}

#[test]
fn a_plain_outline_is_measured_and_centred() {
    let s = good(r##"<circle cx="7" cy="8" r="4.5" fill="#555"/>"##);
    assert_eq!(size(&s), (9.0, 9.0));
    assert_eq!(s.bounds.center(), kurbo::Point::ORIGIN);
    assert!(!s.own_shading);
    assert_eq!(s.layers.len(), 1);
    assert_eq!(s.layers[0].paint, TonePaint::Flat(Tone::EXACT));
}

/// A hole is what is cut out or marked, and nothing else.
#[test]
fn holes_are_cut_out_or_marked() {
    let holes = r##"<circle cx="8" cy="10" r="1"/><circle cx="12" cy="10" r="1"/>"##;
    let s = good(&format!(r##"<circle cx="10" cy="10" r="5" fill="#aaa"/>{holes}"##));
    assert_eq!(roles(&s), [LayerRole::Body, LayerRole::Relief, LayerRole::Relief]);
    let marked = good(
        r##"<g class="body"><rect width="8" height="6" fill="#777"/><circle class="hole" cx="4" cy="3" r="1" fill="#333"/></g>"##,
    );
    assert!(!marked.own_shading);
    assert_eq!(roles(&marked), [LayerRole::Body, LayerRole::Hole]);
    let cut = good(
        r##"<path fill="#777" fill-rule="evenodd" d="M2 2H12V12H2ZM5 5H9V9H5Z"/><circle cx="3" cy="3" r="0.5" fill="#fff"/>"##,
    );
    assert_eq!(crate::finish::understood(&cut, &[], &Work::default()).holes, 1);
    assert_eq!(crate::finish::understood(&marked, &[], &Work::default()).holes, 1);
    assert_eq!(crate::finish::understood(&s, &[], &Work::default()).holes, 0);
}

fn roles(s: &Shape) -> Vec<LayerRole> {
    s.layers.iter().map(|l| l.role).collect()
}

/// A disc with a highlight, a panel, a bevel: each keeps the tone it was drawn in.
#[test]
fn what_lies_on_the_body_keeps_its_tone() {
    let disc = r##"<circle cx="10" cy="10" r="9" fill="#777777"/>"##;
    for (upon, tone) in [
        (r##"<circle cx="7" cy="7" r="2" fill="#ffffff"/>"##, Tone::Shine),
        (r##"<circle cx="7" cy="7" r="2" fill="#777777"/>"##, Tone::EXACT),
    ] {
        let s = good(&format!("{disc}{upon}"));
        match tone {
            // What has the body's own tone is the body.
            Tone::EXACT => assert_eq!(roles(&s), [LayerRole::Body]),
            tone => assert_eq!(s.layers[1].paint, TonePaint::Flat(tone)),
        }
    }
    let s = good(&format!(r##"{disc}<rect x="5" y="5" width="10" height="10" fill="#a5a5a5"/>"##));
    let TonePaint::Flat(Tone::Offset { dl, .. }) = s.layers[1].paint else { panic!("an offset") };
    assert!((dl - 17.7).abs() < 0.3, "{dl}");
    let bevel = good(
        r##"<path d="M10 1L18 5.5V14.5L10 19L2 14.5V5.5Z" fill="#777"/><path d="M10 4L15 7V13L10 16L5 13V7Z" fill="none" stroke="#444" stroke-width="0.4"/>"##,
    );
    assert_eq!(crate::finish::understood(&bevel, &[], &Work::default()).holes, 0);
    assert_eq!(roles(&bevel), [LayerRole::Body, LayerRole::Relief]);
}

/// What lies between two pieces of the body's tone is neither covered nor lost.
#[test]
fn pieces_of_the_bodys_tone_are_the_body() {
    let bars = good(
        r##"<rect x="2" y="2" width="3" height="12" fill="#777"/><rect x="8" y="2" width="3" height="12" fill="#777"/>"##,
    );
    assert_eq!(size(&bars), (9.0, 12.0));
    assert_eq!(roles(&bars), [LayerRole::Body]);
    let eye = good(
        r##"<circle cx="10" cy="10" r="6" fill="#777"/><circle cx="10" cy="10" r="4" fill="#ccc"/><circle cx="10" cy="10" r="2" fill="#777"/>"##,
    );
    assert_eq!(roles(&eye), [LayerRole::Body, LayerRole::Relief, LayerRole::Relief]);
    assert_eq!(eye.layers[2].paint, TonePaint::Flat(Tone::EXACT));
}

/// A stroke of 2 mm round an outline of 18 mm makes 20 mm.
#[test]
fn the_stroke_of_the_body_counts() {
    for stroke in ["#777", "#333"] {
        let s = good(&format!(
            r##"<circle cx="10" cy="10" r="9" fill="#777" stroke="{stroke}" stroke-width="2"/>"##
        ));
        assert_eq!(size(&s), (20.0, 20.0), "{stroke}");
        assert_eq!(s.layers.len(), if stroke == "#777" { 1 } else { 2 });
    }
}

#[test]
fn a_drawing_of_lines_alone_is_an_outline() {
    let s = good(
        r##"<g fill="none" stroke="#000" stroke-width="0.2"><rect x="2" y="3" width="10" height="6"/><circle cx="7" cy="6" r="1"/></g>"##,
    );
    // To the outer edge of the stroke.
    assert_eq!(size(&s), (10.2, 6.2));
    assert_eq!(s.reading.body, BodyFrom::Lines);
    assert_eq!(roles(&s), [LayerRole::Body, LayerRole::Relief]);
    let TonePaint::Flat(Tone::Offset { dl, .. }) = s.layers[1].paint else { panic!("an offset") };
    assert!(dl < -90.0, "{dl}");
    // A line whose ends meet is closed, an open one is not.
    let ends = good(r##"<path d="M2 2H12V12H2V2" fill="none" stroke="#000"/>"##);
    assert_eq!(size(&ends), (11.0, 11.0));
    let open = bad(r##"<path d="M2 2H12V12" fill="none" stroke="#000"/>"##, "shape-empty", "line");
    assert!(open.span.is_some());
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
    assert!(!s.own_shading);
}

fn flat_tone(s: &Shape, n: usize) -> Tone {
    match s.layers[n].paint {
        TonePaint::Flat(t) => t,
        _ => panic!("flat"),
    }
}

#[test]
fn clips_and_plain_masks_cut() {
    let body = r##"<rect width="10" height="10" fill="#777"/>"##;
    let box_of = |inside: &str| {
        let s = good(&format!("{body}{inside}"));
        let b = s.layers[1].path.bounding_box() + kurbo::Vec2::new(5.0, 5.0);
        [b.x0, b.y0, b.x1, b.y1].map(|v| (v * 100.0).round() / 100.0)
    };
    let half = "<clipPath id='c'><rect width='4' height='20'/></clipPath>";
    let panel = "<rect x='2' y='2' width='6' height='6' fill='#aaa'";
    assert_eq!(box_of(&format!("{half}{panel} clip-path='url(#c)'/>")), [2.0, 2.0, 4.0, 8.0]);
    // In a style sheet, at a group, through a copy, and inside another.
    let sheet = "<style>.k{clip-path:url(#c)}</style>";
    assert_eq!(box_of(&format!("{half}{sheet}<g class='k'>{panel}/></g>")), [2.0, 2.0, 4.0, 8.0]);
    let copied = "<defs><rect id='r' width='2' height='20'/></defs><clipPath id='c'><use href='#r' x='2'/></clipPath>";
    assert_eq!(box_of(&format!("{copied}{panel} clip-path='url(#c)'/>")), [2.0, 2.0, 4.0, 8.0]);
    let both = format!(
        "{half}<clipPath id='d' clip-path='url(#c)'><rect y='5' width='9' height='9'/></clipPath>"
    );
    assert_eq!(box_of(&format!("{both}{panel} clip-path='url(#d)'/>")), [2.0, 5.0, 4.0, 8.0]);
    let mask = "<mask id='m'><rect width='20' height='20' fill='#fff'/><rect width='5' height='20' fill='#000'/></mask>";
    assert_eq!(box_of(&format!("{mask}{panel} mask='url(#m)'/>")), [5.0, 2.0, 8.0, 8.0]);
    // What a clip leaves whole keeps its curves.
    let whole = "<clipPath id='c'><rect width='20' height='20'/></clipPath>";
    let s = good(&format!(
        "{body}{whole}<circle cx='5' cy='5' r='2' fill='#aaa' clip-path='url(#c)'/>"
    ));
    let free = good(&format!("{body}<circle cx='5' cy='5' r='2' fill='#aaa'/>"));
    assert_eq!(s.layers[1].path, free.layers[1].path);
    let soft = "<mask id='m'><rect width='20' height='20' fill='#888'/></mask>";
    bad(&format!("{body}{soft}{panel} mask='url(#m)'/>"), "shape-unsupported", "masks with greys");
}

#[test]
fn symbols_are_fitted_into_their_copies() {
    let body = r##"<rect width="10" height="10" fill="#777"/>"##;
    let s = good(&format!(
        r##"{body}<symbol id="s" viewBox="0 0 100 100"><rect width="100" height="50" fill="#aaa"/></symbol><use href="#s" x="1mm" y="2" width="4" height="4"/>"##
    ));
    let b = s.layers[1].path.bounding_box() + kurbo::Vec2::new(5.0, 5.0);
    // A millimetre is 96 / 25.4 units of a drawing, whatever its viewBox makes of a unit.
    let x = 96.0 / 25.4;
    for (found, meant) in [(b.x0, x), (b.y0, 2.0), (b.x1, x + 4.0), (b.y1, 4.0)] {
        assert!((found - meant).abs() < 1e-3, "{b:?}");
    }
    let inner = good(&format!(
        r##"{body}<svg x="1" y="1" width="4" height="4" viewBox="0 0 2 2"><rect width="2" height="1" fill="#aaa"/></svg>"##
    ));
    let b = inner.layers[1].path.bounding_box();
    assert!((b.width() - 4.0).abs() < 1e-3 && (b.height() - 2.0).abs() < 1e-3, "{b:?}");
}

#[test]
fn gradients_that_fade_end_in_what_they_lie_on() {
    let s = good(
        r##"<linearGradient id="g"><stop stop-color="#fff"/><stop offset="1" stop-color="#fff" stop-opacity="0"/></linearGradient>
        <rect width="10" height="10" fill="#777777"/><rect x="5" width="5" height="10" fill="#aaaaaa"/>
        <rect x="2" y="2" width="6" height="6" fill="url(#g)"/>"##,
    );
    // One piece on the body, one on the panel; both end in what is seen through them.
    assert_eq!(s.layers.len(), 4);
    let ends: Vec<Tone> = s.layers[2..]
        .iter()
        .map(|l| match &l.paint {
            TonePaint::Gradient { stops, .. } => stops[stops.len() - 1].1,
            _ => panic!("a gradient"),
        })
        .collect();
    assert_eq!(ends[0], Tone::EXACT);
    assert_eq!(ends[1], flat_tone(&s, 1));
    let areas: f64 = s.layers[2..].iter().map(|l| l.path.area().abs()).sum();
    assert!((areas - 36.0).abs() < 0.1, "{areas}");
}

#[test]
fn a_gradient_on_the_body_counts_by_its_mean() {
    let s = good(
        r##"<linearGradient id="g"><stop stop-color="#999"/><stop offset="1" stop-color="#555"/></linearGradient>
        <rect width="10" height="10" fill="url(#g)"/><rect x="4" y="4" width="2" height="2" fill="#777777"/>"##,
    );
    assert!(s.reading.mean_of_gradient);
    assert_eq!(flat_tone(&s, 0), Tone::EXACT);
    let Tone::Offset { dl, .. } = flat_tone(&s, 1) else { return };
    assert!(dl.abs() < 0.5, "{dl}");
}

#[test]
fn of_a_coloured_drawing_lightness_counts() {
    let s = good(
        r##"<circle cx="10" cy="10" r="8" fill="#c03030"/><circle cx="10" cy="10" r="3" fill="#30c030"/>"##,
    );
    assert!(s.reading.coloured);
    let Tone::Offset { dl, da, db } = flat_tone(&s, 1) else { panic!("an offset") };
    assert!(dl > 20.0 && da == 0.0 && db == 0.0, "{dl} {da} {db}");
}

#[test]
fn lengths_in_every_unit() {
    // CSS Values and Units Level 3, 6.2: 1 in is 2.54 cm, 96 px, 72 pt and 6 pc.
    for (unit, mm) in [
        ("mm", 1.0),
        ("cm", 10.0),
        ("in", 25.4),
        ("px", 25.4 / 96.0),
        ("pt", 25.4 / 72.0),
        ("pc", 25.4 / 6.0),
    ] {
        let text = format!(
            r##"<svg xmlns="http://www.w3.org/2000/svg" width="6{unit}" height="6{unit}"><rect width="5{unit}" height="4{unit}"/></svg>"##
        );
        let s = read(&text).expect("a shape");
        assert!((s.bounds.width() - 5.0 * mm).abs() < 1e-3, "{unit}: {:?}", s.bounds);
        assert!((s.bounds.height() - 4.0 * mm).abs() < 1e-3, "{unit}: {:?}", s.bounds);
    }
}

/// As drawing programs leave them behind.
#[test]
fn leftovers_of_drawing_programs_do_no_harm() {
    let plain = r##"<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd"><svg xmlns="http://www.w3.org/2000/svg" width="12mm" height="12mm" viewBox="0 0 12 12"><circle cx="6" cy="6" r="6"/></svg>"##;
    assert_eq!(size(&read(plain).expect("a shape")), (12.0, 12.0));
    let body = r##"<rect width="9" height="9" fill="#777"/>"##;
    good(&format!("{body}<text/><text>  </text>"));
    good(&format!(
        r##"{body}<g style="display:none"><text>hidden</text><image href="a.png"/></g>"##
    ));
    good(&format!(
        r##"{body}<switch><foreignObject requiredExtensions="x"><p>a</p></foreignObject><g><rect width="2" height="2" fill="#999"/></g></switch>"##
    ));
    let two = bad(
        &format!(r##"{body}<text id="label">A</text><text>B</text><image href="a.png"/>"##),
        "shape-unsupported",
        r##"text (<text id="label"> and 1 more) or pictures (<image>)"##,
    );
    assert!(two.help.is_some_and(|h| h.contains("paths") && h.contains("trace")));
}

#[test]
fn a_drawn_shadow_is_not_the_part() {
    let s = good(
        r##"<radialGradient id="g"><stop/><stop offset="1" stop-opacity="0"/></radialGradient>
        <ellipse cx="10" cy="16" rx="9" ry="4" fill="url(#g)" opacity="0.4"/>
        <rect x="6" y="4" width="8" height="8" fill="#777777"/>"##,
    );
    assert!((s.bounds.width() - 8.0).abs() < 1e-3, "{:?}", s.bounds);
    // It takes room, but has no edge that throws a shadow of its own.
    assert!((s.extent.width() - 18.0).abs() < 1e-2, "{:?}", s.extent);
    assert!(
        (s.edge(&Work::default()).bounding_box().width() - 8.0).abs() < 1e-2,
        "{:?}",
        s.edge(&Work::default())
    );
    // Where nothing else is drawn, it is the part.
    let alone = good(r##"<circle cx="5" cy="5" r="4" fill="#777777" opacity="0.3"/>"##);
    assert!((alone.bounds.width() - 8.0).abs() < 1e-3);
}

#[test]
fn a_rim_that_is_kept_as_drawn_has_an_edge() {
    let s = good(
        r##"<linearGradient id="g"><stop stop-color="#fff"/><stop offset="1" stop-color="#888"/></linearGradient>
        <rect x="4" y="4" width="10" height="10" fill="#777777"/>
        <rect class="fixed" x="2" y="2" width="14" height="2" fill="url(#g)"/>"##,
    );
    // A white light at its end does not make it a shadow.
    assert!(
        (s.edge(&Work::default()).bounding_box().width() - 14.0).abs() < 1e-2,
        "{:?}",
        s.edge(&Work::default())
    );
}
