//! Cut files, the blade's way, and the machine's error.

mod command;
mod file;
mod machine;
mod measured;
mod travel;
mod trial;

use kurbo::{Circle, Point, Rect, RoundedRect, Shape as _};
use shadecard::labels::{Contour, Cut, CutSheet};

/// Label size and corner radius of [`grid`], mm.
pub const LABEL: (f64, f64, f64) = (38.1, 21.2, 2.5);

/// The top left corners of so many columns and rows of labels, row by row, mm.
pub fn corners(columns: usize, rows: usize) -> Vec<Point> {
    let at = |i: usize, pitch: f64, from: f64| from + pitch * i as f64;
    (0..columns * rows)
        .map(|i| Point::new(at(i % columns, 40.6, 4.7), at(i / columns, 23.3, 15.15)))
        .collect()
}

/// A rounded label with its top left corner at `at`.
pub fn label(at: Point) -> RoundedRect {
    let (w, h, r) = LABEL;
    RoundedRect::from_rect(Rect::from_origin_size(at, (w, h)), r)
}

/// A sheet of rounded labels with four registration marks.
pub fn grid(columns: usize, rows: usize) -> CutSheet {
    let corners = corners(columns, rows);
    let kiss = |(i, at): (usize, &Point)| Contour {
        label: Some(i),
        cut: Cut::Kiss,
        path: label(*at).to_path(1e-4),
    };
    let (width, height) = (9.4 + 40.6 * columns as f64, 30.3 + 23.3 * rows as f64);
    CutSheet {
        width,
        height,
        contours: corners.iter().enumerate().map(kiss).collect(),
        marks: [(4.0, 4.0), (width - 4.0, 4.0), (4.0, height - 4.0), (width - 4.0, height - 4.0)]
            .map(Point::from)
            .to_vec(),
        mark_radius: 2.0,
    }
}

/// The same cut through, a hole punched in each label, and the sheet cut off all round.
pub fn with_holes(columns: usize, rows: usize) -> CutSheet {
    let mut sheet = grid(columns, rows);
    let through = |label, path| Contour { label, cut: Cut::Through, path };
    // The worst order: the sheet first, then labels, then holes.
    let all = Rect::new(1.0, 10.0, sheet.width - 1.0, sheet.height - 10.0).to_path(1e-4);
    let holes: Vec<Contour> = corners(columns, rows)
        .iter()
        .enumerate()
        .map(|(i, at)| {
            let hole = Circle::new((at.x + 5.0, at.y + 10.6), 1.75);
            through(Some(i), hole.to_path(1e-4))
        })
        .collect();
    let outlines: Vec<Contour> =
        sheet.contours.iter().map(|c| through(c.label, c.path.clone())).collect();
    sheet.contours.push(through(None, all));
    sheet.contours.extend(outlines);
    sheet.contours.extend(holes);
    sheet
}

/// Evenly spread numbers from 0 to 1 (SplitMix64), and normal ones (Box and Muller 1958).
pub struct Chance(pub u64);

impl Chance {
    pub fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (((z ^ (z >> 31)) >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    }

    pub fn normal(&mut self) -> f64 {
        let (u, v) = (self.even(), self.even());
        (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
    }
}
