//! Every edition of the demo in both styles: what a reader of the page relies on.

use std::collections::BTreeMap;
use std::path::Path;

use crate::positions::*;
use kurbo::{BezPath, Shape as _};
use shadecard::diag::Findings;
use shadecard::edition::{Editions, Planned};
use shadecard::read::raw;
use shadecard::read::ron::decode;
use shadecard::sheet::{ItemKind, Sheet};
use usvg::roxmltree;

/// 5 pt, the least type on any page: 5 x 25.4 / 72 mm.
const FLOOR: f64 = 5.0 * 25.4 / 72.0;

fn each(file: &str, check: &dyn Fn(&str, &Editions, &Planned<'_>, &Sheet) -> Vec<String>) {
    let mut faults = Vec::new();
    for style in ["plate", "catalogue"] {
        let editions = open(Path::new(file), Some(style));
        let workshop = editions.workshop();
        for entry in editions.variants() {
            let name = format!("{style} {}", entry.stem());
            let planned = editions.plan(entry).unwrap_or_else(|d| panic!("{name}: {}", d.message));
            let sheet = planned.place(&workshop);
            let found = check(&name, &editions, &planned, &sheet);
            faults.extend(found.into_iter().map(|f| format!("{name}: {f}")));
        }
    }
    none(file, faults);
}

fn all_that_holds(editions: &Editions, planned: &Planned<'_>, sheet: &Sheet) -> Vec<String> {
    let mut faults = colours_once_in_order(editions, planned, sheet);
    faults.extend(inside_the_page(sheet));
    faults.extend(samples_apart(sheet));
    faults.extend(texts_clear(sheet));
    faults.extend(readable(sheet, FLOOR));
    faults.extend(exact_colours(editions, sheet));
    faults
}

/// The size of the outline in each part's shape file, mm: its body's box in
/// the user units of the viewBox, or the whole file where it marks none.
fn file_sizes(range_file: &str) -> BTreeMap<String, (f64, f64)> {
    let text = std::fs::read_to_string(range_file).expect("a range file");
    let doc = decode(Path::new(range_file), &text, "Range", &mut Findings::default());
    let range: raw::Range = doc.expect("a range").value;
    let folder = Path::new(range_file).parent().expect("a folder");
    let size = |part: raw::Part| {
        let svg = std::fs::read_to_string(folder.join(part.shape.expect("a shape")));
        let size = file_size(&svg.expect("a shape file"));
        // The size in words: '18 × 6', or the longer side.
        let words = part.size.expect("a size").text;
        let said: Vec<f64> = words.split(" × ").map(|n| n.parse().expect("a number")).collect();
        match said[..] {
            [longest] => assert!((longest - size.0.max(size.1)).abs() < 0.02, "{words} {size:?}"),
            [width, height] => {
                let off = (width - size.0).abs().max((height - size.1).abs());
                assert!(off < 0.02, "{words} {size:?}");
            }
            _ => panic!("{words}"),
        }
        (part.key.expect("a key"), size)
    };
    let Some(shadecard::read::raw::Rows::List(parts)) = range.parts else { panic!("a list") };
    parts.into_iter().map(size).collect()
}

fn file_size(svg: &str) -> (f64, f64) {
    let document = roxmltree::Document::parse(svg).expect("XML");
    let root = document.root_element();
    let length = |name| {
        let text = root.attribute(name).expect("a size");
        text.strip_suffix("mm").expect("millimetres").parse::<f64>().expect("a number")
    };
    let (width, height) = (length("width"), length("height"));
    let bodies = root
        .descendants()
        .filter(|n| n.attribute("class").is_some_and(|c| c.split(' ').any(|c| c == "body")));
    let outlines = bodies.map(|n| {
        let path = BezPath::from_svg(n.attribute("d").expect("a path")).expect("a path");
        path.bounding_box()
    });
    let Some(outline) = outlines.reduce(|a, b| a.union(b)) else { return (width, height) };
    let view = root.attribute("viewBox").expect("a viewBox");
    let view: Vec<f64> = view.split(' ').map(|n| n.parse().expect("a number")).collect();
    (outline.width() * width / view[2], outline.height() * height / view[3])
}

/// At true scale nothing is scaled, and every outline has its file's size.
fn true_size(
    editions: &Editions,
    planned: &Planned<'_>,
    sheet: &Sheet,
    files: &BTreeMap<String, (f64, f64)>,
) -> Vec<String> {
    let mut faults = Vec::new();
    for symbol in &sheet.symbols {
        let (part, _) = ids(&symbol.name).expect("a part's symbol");
        let key = editions.range.parts()[part].key();
        let (width, height) = files[key];
        let body = symbol.extent;
        if (body.width() - width).abs() > 0.02 || (body.height() - height).abs() > 0.02 {
            faults.push(format!(
                "{key} is drawn {:.3} x {:.3} mm, its file says {width} x {height}",
                body.width(),
                body.height()
            ));
        }
    }
    if planned.plan.scale == 1.0 {
        for item in sheet.pages.iter().flat_map(|p| &p.items) {
            if let ItemKind::Use(used) = &item.kind
                && used.scale != 1.0
            {
                faults.push(format!("a sample of {:?} is drawn at {}", item.origin, used.scale));
            }
        }
    }
    faults
}

fn check_file(file: &str, range_file: &str) {
    let sizes = file_sizes(range_file);
    each(file, &|name, editions, planned, sheet| {
        if name.contains("true-scale") {
            assert_eq!(planned.plan.scale, 1.0, "{name}");
        }
        let mut faults = all_that_holds(editions, planned, sheet);
        faults.extend(true_size(editions, planned, sheet, &sizes));
        faults
    });
}

#[test]
fn the_haberdashery_holds_in_every_edition() {
    check_file("demo/haberdashery/sheet.ron", "demo/haberdashery/range.ron");
}

#[test]
fn the_gloss_colours_hold_in_every_edition() {
    check_file("demo/haberdashery/gloss-only.ron", "demo/haberdashery/range.ron");
}

#[test]
fn the_named_colours_hold_in_every_edition() {
    check_file("demo/css-colours/sheet.ron", "demo/css-colours/range.ron");
}
