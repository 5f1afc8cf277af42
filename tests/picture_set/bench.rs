//! A small sheet with pictures that are made up: a disc with marks at known places, a bar with a dark end.

use std::path::Path;

use kurbo::Point;
use shadecard::image::{Pixels, encode};
use shadecard::sheet::Rgb;

use super::HEAD;

pub const RANGE: &str = r##"Range(
    maker: "Base Works",
    listings: [(key: "works")],
    families: [(key: "gloss", title: "Gloss")],
    parts: [
        (key: "disc", numbers: {"works": "1"}, side: left, shape: "disc.svg"),
        (key: "bar", numbers: {"works": "2"}, side: right, shape: "bar.svg"),
    ],
    colours: [
        (key: "red", family: "gloss", names: {"works": "Red"}, value: "#c83228"),
        (key: "sea", family: "gloss", names: {"works": "Sea"}, value: "#3c96b4"),
        (key: "bone", family: "gloss", names: {"works": "Bone"}, value: "#e6dcc8"),
    ],
    made: (rows: {"red": "xx", "sea": "xx", "bone": "xx"}),
)"##;
const DISC: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="12mm" height="12mm" viewBox="0 0 12 12"><circle cx="6" cy="6" r="6"/></svg>"#;
const BAR: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="14mm" height="8mm" viewBox="0 0 14 8"><rect width="14" height="8"/></svg>"#;

pub const RED: Rgb = Rgb(0xc8, 0x32, 0x28);
pub const BONE: Rgb = Rgb(0xe6, 0xdc, 0xc8);
pub const SEA: Rgb = Rgb(0x3c, 0x96, 0xb4);

/// Marks in a picture of the disc, from its middle, mm, and their radius.
pub const MARKS: [Point; 2] = [Point::new(2.6, -1.7), Point::new(-3.1, 2.2)];
pub const RADIUS: f64 = 0.9;

/// A folder with a sheet whose editions are at true size and at 0.6 of it.
pub struct Bench {
    dir: tempfile::TempDir,
}

impl Bench {
    pub fn new() -> Bench {
        let bench = Bench { dir: tempfile::tempdir().expect("a folder") };
        std::fs::create_dir(bench.dir.path().join("pictures")).expect("made");
        for (name, text) in [("range.ron", RANGE), ("disc.svg", DISC), ("bar.svg", BAR)] {
            bench.write(name, text.as_bytes());
        }
        for (name, scale) in [("true", "True"), ("small", "Ratio(0.6)")] {
            let text = format!("Layout(title: \"A5\", page: Paper(\"A5\"), scale: {scale})");
            bench.write(&format!("{name}.ron"), text.as_bytes());
        }
        for (name, pictures) in [("sheet.ron", "pictures: \"pictures\","), ("drawn.ron", "")] {
            let only = if pictures.is_empty() { "" } else { ", only: drawings" };
            let text = format!(
                "Sheet(range: \"range.ron\", name: \"base\", title: \"Base\", {pictures} editions: [\
                 (name: \"true\", layout: \"true.ron\"), (name: \"small\", layout: \"small.ron\"), \
                 (name: \"plain\", layout: \"true.ron\"{only})])"
            );
            bench.write(name, text.as_bytes());
        }
        bench
    }

    pub fn folder(&self) -> &Path {
        self.dir.path()
    }

    pub fn write(&self, name: &str, bytes: &[u8]) {
        std::fs::write(self.dir.path().join(name), bytes).expect("written");
    }

    /// The red disc with its marks, the sea bar without a table, each with a ground of its own.
    pub fn with_pictures() -> Bench {
        let bench = Bench::new();
        let (pixels, line) = disc(400.0, RED);
        bench.write("pictures/disc.red.png", &encode(&pixels));
        bench.write("pictures/bar.sea.png", &encode(&bar(SEA, 0.5)));
        bench.write("pictures/pictures.csv", format!("{HEAD}{line}").as_bytes());
        bench
    }
}

/// A disc of 12 mm with marks, its middle not that of the picture, and its line of the table.
pub fn disc(dpi: f64, Rgb(r, g, b): Rgb) -> (Pixels, String) {
    let per_mm = dpi / 25.4;
    let (width, height) = ((15.0 * per_mm).round() as u32, (13.0 * per_mm).round() as u32);
    let centre = Point::new(8.2, 6.3);
    let colour = |x: f64, y: f64| {
        let at = Point::new(x / per_mm, y / per_mm) - centre.to_vec2();
        if at.to_vec2().hypot() > 6.0 {
            return [0, 0, 0, 0];
        }
        let marked = MARKS.iter().any(|m| m.distance(at) < RADIUS);
        if marked { [0, 0, 0, 255] } else { [r, g, b, 255] }
    };
    let mm = |n: u32| f64::from(n) / per_mm;
    let (w, h) = (mm(width), mm(height));
    let line = format!("disc,red,disc.red.png,{w:.4},{h:.4},{:.4},{:.4}\n", centre.x, centre.y);
    (drawn(width, height, colour), line)
}

/// A bar of 14 x 8 mm at 300 dpi, dark to the left, with a transparent margin of some mm.
pub fn bar(Rgb(r, g, b): Rgb, margin: f64) -> Pixels {
    let per_mm = 300.0 / 25.4;
    let size = |mm: f64| ((mm + 2.0 * margin) * per_mm).round() as u32;
    drawn(size(14.0), size(8.0), |x, y| {
        let (x, y) = (x / per_mm - margin, y / per_mm - margin);
        if !(0.0..14.0).contains(&x) || !(0.0..8.0).contains(&y) {
            return [0, 0, 0, 0];
        }
        let dark = if x < 3.0 { 3 } else { 1 };
        [r / dark, g / dark, b / dark, 255]
    })
}

/// Pixels as the mean of sixteen places each; colours by their alpha.
fn drawn(width: u32, height: u32, colour: impl Fn(f64, f64) -> [u8; 4]) -> Pixels {
    let mut rgba = Vec::new();
    for y in 0..height {
        for x in 0..width {
            let mut sum = [0u32; 4];
            for n in 0..16u32 {
                let at = |v: u32, n: u32| f64::from(v) + (f64::from(n) + 0.5) / 4.0;
                let c = colour(at(x, n % 4), at(y, n / 4));
                (0..3).for_each(|k| sum[k] += u32::from(c[k]) * u32::from(c[3]) / 255);
                sum[3] += u32::from(c[3]) / 255;
            }
            let mean = |k: usize| (sum[k] / sum[3].max(1)) as u8;
            rgba.extend([mean(0), mean(1), mean(2), (sum[3] * 255 / 16) as u8]);
        }
    }
    Pixels { width, height, rgba }
}
