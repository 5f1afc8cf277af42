//! Made-up large ranges with a sheet that shows all of each: as many colours,
//! families and parts as asked, the same for the same figures.
#![allow(dead_code, reason = "each user takes its part")]

use std::fmt::Write as _;
use std::path::Path;

/// How large a range, and on which pages.
#[derive(Debug, Clone, Copy)]
pub struct Large {
    pub colours: usize,
    pub families: usize,
    pub parts: usize,
    /// Width and height of the page, mm.
    pub page: (f64, f64),
    /// How many pages the edition may take.
    pub pages: usize,
    /// A paper whose rows the page has, where not its own.
    pub rows_sized_for: Option<&'static str>,
    /// Names and numbers of one listing are in the centre, or of both.
    pub both: bool,
}

impl Large {
    /// On one page of 1200 x 1800 mm.
    pub fn wall(colours: usize) -> Large {
        let families = (colours / 50).clamp(1, 200);
        Large {
            colours,
            families,
            parts: 16,
            page: (1200.0, 1800.0),
            pages: 1,
            rows_sized_for: Some("A3"),
            both: false,
        }
    }

    /// On as many pages of 610 x 914 mm as it takes.
    pub fn posters(colours: usize) -> Large {
        Large {
            page: (610.0, 914.0),
            pages: 500,
            rows_sized_for: None,
            both: true,
            ..Large::wall(colours)
        }
    }
}

/// Left and right parts in turn: role, width and height in mm. Neighbours of a
/// role are near enough in size to stand in for each other.
const PARTS: [(&str, f64, f64); 8] = [
    ("small", 6.0, 6.0),
    ("small", 7.0, 7.0),
    ("round", 9.0, 9.0),
    ("round", 11.0, 11.0),
    ("long", 15.0, 5.0),
    ("long", 18.0, 6.0),
    ("drop", 6.0, 10.0),
    ("cube", 8.0, 8.0),
];
const SYLLABLES: [&str; 12] =
    ["tern", "sal", "dun", "mor", "wick", "hol", "brea", "kel", "ness", "fro", "gar", "lin"];
/// Some are spelled otherwise elsewhere, so that one spelling is the wider one.
const SECOND: [&str; 8] = ["Grey", "Mist", "Harbour", "Gold", "Theatre", "Foam", "Centre", "Red"];

/// A number that looks thrown, the same for the same two.
fn thrown(a: usize, b: usize) -> usize {
    let mut x = (a as u64 + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ (b as u64 + 7) << 17;
    x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    (x ^ (x >> 31)) as usize
}

fn name(n: usize) -> String {
    let [a, b, c] = [n % 12, n / 12 % 12, n / 144 % 12].map(|i| SYLLABLES[i]);
    let mut name = format!("{a}{b} {c} {}", SECOND[thrown(n, 3) % 8]);
    if n >= 1728 {
        let _ = write!(name, " {}", n / 1728);
    }
    name[..1].make_ascii_uppercase();
    name
}

/// Is a part made in a colour? The first of each side in nearly all, the last
/// in about a third; a family has one that it hardly knows.
fn is_made(large: &Large, part: usize, colour: usize, family: usize) -> bool {
    let place = part / 2;
    let last = (large.parts / 2).max(2) - 1;
    let mut share = 97 - 62 * place.min(last) / last;
    if part == 2 + thrown(family, 5) % large.parts.max(4) {
        share = 12;
    }
    part == 0 || thrown(colour, 100 + part) % 100 < share
}

/// Writes `range.ron`, `page.ron`, `sheet.ron` and the shapes into a folder.
pub fn write(folder: &Path, large: &Large) -> std::io::Result<()> {
    std::fs::create_dir_all(folder)?;
    for (n, (_, w, h)) in PARTS.iter().enumerate() {
        let (x, y) = (w / 2.0, h / 2.0);
        let svg = format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='{w}mm' height='{h}mm' viewBox='0 0 {w} {h}'><ellipse cx='{x}' cy='{y}' rx='{x}' ry='{y}'/></svg>"
        );
        std::fs::write(folder.join(format!("s{n}.svg")), svg)?;
    }
    std::fs::write(folder.join("range.ron"), range(large))?;
    let ((width, height), pages) = (large.page, large.pages);
    let rows = large
        .rows_sized_for
        .map_or_else(String::new, |p| format!("rows_sized_for: Paper(\"{p}\"), "));
    std::fs::write(
        folder.join("page.ron"),
        format!(
            "Layout(title: \"Large\", page: Mm({width}, {height}), scale: Fit, least_scale: 0.1, {rows}minimum: (coverage: 0.7, columns: 2), pages: {pages}, page_columns: 12)\n"
        ),
    )?;
    let dealer = if large.both { ", (listing: \"dealer\")" } else { "" };
    std::fs::write(
        folder.join("sheet.ron"),
        format!(
            "Sheet(range: \"range.ron\", name: \"large\", title: \"Large\", headings: \"works\", centre: [(listing: \"works\"){dealer}],\nspellings: [\"en-GB\", \"en-US\"], editions: [(name: \"large\", layout: \"page.ron\")])\n"
        ),
    )
}

fn range(large: &Large) -> String {
    let mut out = String::from(
        "Range(maker: \"Generated Works\", release: \"Release 1\", listings: [(key: \"works\"), (key: \"dealer\")],\nfamilies: [\n",
    );
    for f in 0..large.families {
        let _ = writeln!(out, "(key: \"f{f}\", title: \"Family {f}\", note: \"generated\"),");
    }
    out += "],\nparts: [\n";
    for p in 0..large.parts {
        let side = if p % 2 == 0 { "left" } else { "right" };
        let shape = p / 2 % PARTS.len();
        let _ = writeln!(
            out,
            "(key: \"p{p}\", numbers: {{\"works\": \"{}\"}}, role: \"{}\", side: {side}, shape: \"s{shape}.svg\"),",
            1000 + p,
            PARTS[shape].0
        );
    }
    out += "],\ncolours: [\n";
    let mut rows = String::new();
    for c in 0..large.colours {
        let family = c * large.families / large.colours;
        let value = thrown(c, 1) & 0xff_ffff;
        let _ = writeln!(
            out,
            "(key: \"c{c}\", family: \"f{family}\", names: {{\"works\": \"{}\", \"dealer\": \"{}\"}}, numbers: {{\"works\": \"{c}\", \"dealer\": \"3-{c}\"}}, value: \"#{value:06x}\"),",
            name(c),
            name(large.colours * 2 - c)
        );
        let made = |p: usize| if is_made(large, p, c, family) { 'x' } else { '.' };
        let marks: String = (0..large.parts).map(made).collect();
        let _ = writeln!(rows, "\"c{c}\": \"{marks}\",");
    }
    out + &format!("],\nmade: (rows: {{\n{rows}}}))\n")
}
