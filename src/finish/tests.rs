//! What all drawings of parts have in common, whatever their outline.

use super::*;
use crate::session::Session;
use std::path::Path;

fn drawer(inside: &str) -> Drawer {
    let svg = format!(
        r##"<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="0 0 400 400">{inside}</svg>"##
    );
    let shape = crate::read::shapes::read_shape(Path::new("x.svg"), &svg, &Session::default());
    Drawer::new(&shape.unwrap_or_else(|e| panic!("{e:?}")), &Work::default())
}

/// Outlines that no one means to draw, but that come.
#[test]
fn odd_outlines_are_drawn_without_harm() {
    let zigzag: String = (0..1200)
        .map(|n| format!("L{} {}", 20.0 + f64::from(n) * 0.01, 10 + (n % 2) * 5))
        .collect();
    for inside in [
        "<rect width='390' height='0.3'/>".to_owned(),
        "<rect width='0.25' height='0.25'/>".to_owned(),
        "<rect width='400' height='400'/>".to_owned(),
        "<path d='M0 0L10 10L10 0L0 10Z'/>".to_owned(),
        "<path d='M0 0L10 0L10 0.000001L0 10Z'/>".to_owned(),
        "<path d='M0 0H5V5H0ZM20 20H25V25H20Z'/>".to_owned(),
        "<path fill-rule='evenodd' d='M0 0H9V9H0ZM0 0H9V9H0.5V0.5Z'/>".to_owned(),
        "<circle cx='9' cy='9' r='5'/><circle cx='9' cy='9' r='4.9'/>".to_owned(),
        "<circle cx='9' cy='9' r='5'/><circle cx='90' cy='90' r='1'/>".to_owned(),
        format!("<path d='M20 30{zigzag}L110 30Z'/>"),
    ] {
        let drawer = drawer(&inside);
        for finish in Finish::ALL {
            let drawing = drawer.draw(Rgb(0x12, 0x80, 0xc0), finish, 7);
            assert!(!drawing.layers.is_empty());
            assert!(drawing.bounds.is_finite(), "{inside:.60}");
            assert!(drawing.layers.iter().all(|l| l.outline.is_finite()), "{inside:.60}");
        }
    }
}

/// Icons of other people whose offsets keep folds of some micrometres at
/// sharp inner corners, at sizes at which the fit of curves never ended.
#[test]
fn smoothing_takes_bounded_work() {
    use crate::work::WorkKind;
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/drawings/folds");
    let mut bounded = 0;
    for name in ["arrow-up-circle", "lungs", "van-utility", "cricket"] {
        let text = std::fs::read_to_string(folder.join(format!("{name}.svg"))).expect("text");
        let text = text.replace("\n  width=\"24\"\n  height=\"24\"", "");
        for mm in ["5mm", "24px", "9mm", "12mm", "18mm"] {
            let sized = text.replacen("<svg", &format!("<svg width='{mm}' height='{mm}'"), 1);
            let (session, work) = (Session::default(), Work::default());
            let shape = crate::read::shapes::read_shape(Path::new(name), &sized, &session);
            let shape = shape.unwrap_or_else(|e| panic!("{name}: {e:?}"));
            let drawer = Drawer::new(&shape, &work);
            for finish in Finish::ALL {
                let red = Rgb(0xc9, 0x28, 0x2d);
                let (drawing, done) = work.counted(|| drawer.draw(red, finish, 7));
                assert!(drawing.layers.iter().all(|l| l.outline.is_finite()));
                let (looks, edges) = (done(WorkKind::Fits), done(WorkKind::Smoothed));
                // A stretch that ends as it should takes less than two looks an edge.
                bounded += u32::from(looks > 3 * edges);
                assert!(looks <= 80 * edges, "{name} {mm} {finish:?}: {looks}, {edges} edges");
            }
        }
    }
    // Somewhere the bound was needed, or this would prove nothing.
    assert!(bounded > 0);
}

/// A drawing that fuzzing found: its shades, put together on grids that differed by nanometres, came apart into
/// thousands of slivers, and an offset of these never ended.
#[test]
fn shades_of_crossing_curves_stay_few_corners() {
    use crate::work::WorkKind;
    let file = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("fuzz/regressions/shape/shades-of-crossing-curves");
    let text = std::fs::read_to_string(&file).expect("text");
    let (session, work) = (Session::default(), Work::default());
    let shape = crate::read::shapes::read_shape(&file, &text, &session).expect("a shape");
    let drawer = Drawer::new(&shape, &work);
    for finish in Finish::ALL {
        let (drawing, done) = work.counted(|| drawer.draw(Rgb(0xc9, 0x28, 0x2d), finish, 7));
        assert!(drawing.layers.iter().all(|l| l.outline.is_finite()));
        // 0.03 to 1.4 million when this was written.
        assert!(done(WorkKind::Corners) < 3_000_000, "{finish:?}: {}", done(WorkKind::Corners));
    }
}

#[test]
fn the_body_keeps_its_exact_outline_and_colour() {
    let drawer = drawer("<circle cx='9' cy='9' r='4.5'/>");
    let colour = Rgb(0xc9, 0x28, 0x2d);
    for finish in Finish::ALL {
        let drawing = drawer.draw(colour, finish, 0);
        assert_eq!((drawing.extent.width(), drawing.extent.height()), (9.0, 9.0));
        let body = drawing.layers.iter().find(|l| l.paint == Paint::Solid(Shade::Exact));
        let b = body.expect("a body").outline.bounding_box();
        assert_eq!((b.width(), b.height()), (9.0, 9.0), "{finish:?}");
    }
}

#[test]
fn flecks_follow_the_seed_and_spare_the_centre() {
    let drawer = drawer("<circle cx='9' cy='9' r='6'/>");
    let colour = Rgb(0x6b, 0x9f, 0xd4);
    let draw = |seed| drawer.draw(colour, Finish::Flecked, seed);
    assert_eq!(draw(3), draw(3));
    assert_ne!(draw(3), draw(4));
    let clear = drawer.draw(colour, Finish::Clear, 3);
    assert_eq!(draw(3).layers.len(), clear.layers.len() + 3);
    let centre = kurbo::Point::ORIGIN;
    for layer in draw(3).layers.iter().filter(|l| l.outline.bounding_box().width() < 12.0) {
        if layer.outline.elements().len() > 40 && layer.opacity < 1.0 {
            assert_eq!(layer.outline.winding(centre), 0);
        }
    }
}

#[test]
fn whites_have_a_line_inside_their_edge() {
    let drawer = drawer("<circle cx='9' cy='9' r='4.5'/>");
    let edge = |c| {
        let drawing = drawer.draw(c, Finish::Opaque, 0);
        let last = drawing.layers.last().expect("a layer").clone();
        (Arc::ptr_eq(&last.outline, &drawer.edge), last.outline.bounding_box().width())
    };
    let (is_edge, width) = edge(Rgb(0xf8, 0xf8, 0xf4));
    assert!(is_edge && width <= 9.005, "{width}");
    assert!(!edge(Rgb(0xc9, 0x28, 0x2d)).0);
}
