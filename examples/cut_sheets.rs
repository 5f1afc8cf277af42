//! Writes cut files, and beside each a JSON text of what must be in it: `cut_sheets FOLDER`.
//!
//! Everything in the JSON follows from the sizes below, not from the files.

use std::f64::consts::PI;
use std::path::Path;

use kurbo::{Affine, Circle, Point, Rect, RoundedRect, Shape as _};
use serde_json::{Value, json};
use shadecard::labels::cut::{Corners, svg};
use shadecard::labels::travel::way;
use shadecard::labels::{Contour, Cut, CutSheet};
use shadecard::work::Work;

/// Width, height and corner radius of a label, mm.
const LABEL: (f64, f64, f64) = (58.0, 35.0, 2.5);
/// Radius of the hole in each label.
const HOLE: f64 = 2.0;

fn main() -> std::io::Result<()> {
    let folder = std::env::args().nth(1).unwrap_or_else(|| ".".into());
    let bent = Affine::translate((0.6, -0.3)) * Affine::new([1.003, 0.007, -0.008, 0.998, 0., 0.]);
    for (name, corners, map) in [
        ("arcs", Corners::Arcs, Affine::IDENTITY),
        ("lines", Corners::Lines, Affine::IDENTITY),
        ("corrected", Corners::Arcs, bent),
    ] {
        let (sheet, told) = sheet(map);
        let folder = Path::new(&folder);
        let text = svg(&sheet, &way(&sheet, Point::ORIGIN, &Work::default()), corners);
        std::fs::write(folder.join(format!("{name}.svg")), text)?;
        std::fs::write(folder.join(format!("{name}.json")), format!("{told:#}\n"))?;
    }
    Ok(())
}

/// An A4 sheet of 21 labels, each with a hole, and the block cut out.
fn sheet(map: Affine) -> (CutSheet, Value) {
    let (w, h, r) = LABEL;
    let corners: Vec<Point> = (0..21)
        .map(|i| Point::new(15.0 + 61.0 * f64::from(i % 3), 17.0 + 38.0 * f64::from(i / 3)))
        .collect();
    let contour = |label, cut, path| Contour { label, cut, path: map * path };
    let mut contours = Vec::new();
    let frame = Rect::new(13.0, 15.0, 197.0, 282.0);
    contours.push(contour(None, Cut::Through, frame.to_path(1e-4)));
    for (i, at) in corners.iter().enumerate() {
        let label = RoundedRect::from_rect(Rect::from_origin_size(*at, (w, h)), r);
        contours.push(contour(Some(i), Cut::Kiss, label.to_path(1e-4)));
        let hole = Circle::new((at.x + 6.0, at.y + 17.5), HOLE);
        contours.push(contour(Some(i), Cut::Through, hole.to_path(1e-4)));
    }
    let marks = [(8.0, 8.0), (202.0, 8.0), (8.0, 289.0), (202.0, 289.0)].map(Point::from).to_vec();
    let sheet = CutSheet { width: 210.0, height: 297.0, contours, marks, mark_radius: 2.5 };
    // A map stretches all areas alike.
    let k = map.determinant();
    let told = json!({
        "width": 210.0, "height": 297.0, "tolerance": 0.005,
        "groups": {
            "registration-marks": { "count": 4, "areas": [2.5 * 2.5 * PI] },
            "kiss-cuts": { "count": 21, "areas": [(w * h - (4.0 - PI) * r * r) * k] },
            "through-cuts": { "count": 22, "areas": [HOLE * HOLE * PI * k, frame.area() * k] },
        },
    });
    (sheet, told)
}
