//! Parts and their shapes.

use std::path::Path;
use std::sync::Arc;

use crate::diag::{Diagnostic, Findings, Located, Span};
use crate::range::{Part, Side, Words};
use crate::read::ron::Place;
use crate::read::shapes::{LARGEST, Shape};
use crate::read::{inside, outside, raw, read_text};

use super::keys::{Keys, fill, per_listing, text, words};
use super::tables::Files;

pub fn check(
    files: &mut Files<'_>,
    raw: Vec<raw::Part>,
    place: Place,
    listings: &Keys,
    findings: &mut Findings,
) -> Vec<Part> {
    raw.into_iter()
        .enumerate()
        .map(|(i, p)| one(files, p, place.item(i), listings, findings))
        .collect()
}

fn one(
    files: &mut Files<'_>,
    raw: raw::Part,
    place: Place,
    listings: &Keys,
    findings: &mut Findings,
) -> Part {
    let key = raw.key.unwrap_or_default();
    let numbers =
        per_listing(raw.numbers.unwrap_or_default().0, place.field("numbers"), listings, findings);
    let numbers = numbers
        .into_iter()
        .map(|n| {
            n.map(|(n, at)| {
                text(&n, at, findings);
                n
            })
        })
        .collect();
    let shape_file = raw.shape.clone().unwrap_or_default();
    let sides = box_of(&shape_file);
    let shape = match (raw.shape, sides) {
        (Some(_), Some(sides)) => boxed(files, (&key, sides), place.field("shape"), findings),
        (Some(name), None) => shape(files, &name, place.field("shape"), findings),
        (None, _) => {
            if !place.faulted("shape") {
                findings.push(
                    Diagnostic::error("missing-field", format!("the part '{key}' has no shape"))
                        .at(place.head())
                        .help(fill(
                            place,
                            "shape",
                            "add shape: \"shapes/....svg\", a drawing of the part in millimetres, or shape: \"18x9\", its width and height until there is one",
                        )),
                );
            }
            None
        }
    };
    let shape = shape.unwrap_or_else(|| Arc::new(Shape::none()));
    let role = raw.role.unwrap_or_else(|| key.clone());
    text(&role, place.field("role"), findings);
    let size = match raw.size {
        Some(size) => words(size, place.field("size"), findings),
        None => Words::plain(&measured(&shape)),
    };
    let title = raw.title.map(|t| words(t, place.field("title"), findings));
    let title = title.unwrap_or_else(|| Words::plain(&key));
    Part {
        title: Located::new(title, place.or_head("title")),
        key: Located::new(key, place.field("key").span()),
        numbers,
        role,
        side: raw.side.unwrap_or(Side::Left),
        size,
        shape,
        shape_file,
        boxed: sides.is_some(),
    }
}

/// The sides of a part without a drawing, in mm: '18x9'.
fn box_of(shape: &str) -> Option<(f64, f64)> {
    let (width, height) = shape.split_once(['x', '×'])?;
    let side = |text: &str| text.trim().parse::<f64>().ok().filter(|v| v.is_finite());
    Some((side(width)?, side(height.trim_end_matches("mm"))?))
}

/// A box in place of a drawing.
fn boxed(
    files: &mut Files<'_>,
    (key, (width, height)): (&str, (f64, f64)),
    place: Place,
    findings: &mut Findings,
) -> Option<Arc<Shape>> {
    if ![width, height].iter().all(|side| (SMALLEST_BOX..=LARGEST).contains(side)) {
        let message = format!("a part of {width} x {height} mm cannot be drawn");
        let help = format!("use sides from {SMALLEST_BOX} to {LARGEST} mm");
        findings.push(Diagnostic::error("out-of-bounds", message).at(place.span()).help(help));
        return None;
    }
    let message =
        format!("the part '{key}' has no drawing: a box of {width} x {height} mm is drawn");
    let help = "draw it, or trace it from a photograph: 'shadecard stage', then 'shadecard capture --outlines shapes'";
    findings.push(Diagnostic::warning("no-drawing", message).at(place.span()).help(help));
    let text: Arc<str> = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"0 0 {width} {height}\"><rect width=\"{width}\" height=\"{height}\" fill=\"#808080\"/></svg>"
    )
    .into();
    files.shapes.read(Path::new("box.svg"), &text, &files.sources.session).ok()
}

/// The shortest side of a part without a drawing, mm.
const SMALLEST_BOX: f64 = 1.0;

/// '9' or '18 × 6': whole millimetres where they are, else one decimal.
fn measured(shape: &Shape) -> String {
    let one = |v: f64| {
        let tenths = (v * 10.0).round() / 10.0;
        if tenths.fract() == 0.0 { format!("{tenths:.0}") } else { format!("{tenths:.1}") }
    };
    let (w, h) = (one(shape.extent.width()), one(shape.extent.height()));
    if w == h { w } else { format!("{w} × {h}") }
}

fn shape(
    files: &mut Files<'_>,
    name: &str,
    place: Place,
    findings: &mut Findings,
) -> Option<Arc<Shape>> {
    let folder = files.range.parent().unwrap_or(Path::new(""));
    let Some(path) = inside(folder, name, &files.sources.session.files) else {
        findings.push(outside(name, place.span()));
        return None;
    };
    let text = match read_text(&path, place.span(), &files.sources.session) {
        Ok(text) => text,
        Err(d) if !files.sources.session.files.exists(&path) => {
            findings.push(d);
            return None;
        }
        Err(d) => {
            // Several parts may share the drawing: its fault is reported once.
            findings.push(d.at(Some(Span { file: path.as_path().into(), range: 0..0 })));
            return None;
        }
    };
    files.sources.add(&path, Arc::clone(&text));
    match files.shapes.read(&path, &text, &files.sources.session) {
        Ok(shape) => Some(shape),
        Err(faults) => {
            for d in faults {
                let at = d.span.clone().or_else(|| place.span());
                findings.push(d.at(at));
            }
            None
        }
    }
}
