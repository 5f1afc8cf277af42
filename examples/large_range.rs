//! Writes a generated range of 5,000 colours and 200 parts with a sheet of one
//! of its families, and a second release of it: `large_range DIR`.
//!
//! For `benches/range-at-scale`.

use std::fmt::Write as _;
use std::path::Path;

const COLOURS: usize = 5_000;
const PARTS: usize = 200;
const FAMILIES: usize = 50;

const SHAPE: &str = "<svg xmlns='http://www.w3.org/2000/svg' width='9mm' height='9mm' viewBox='0 0 9 9'><circle cx='4.5' cy='4.5' r='4.5'/></svg>";
const SYLLABLES: [&str; 12] =
    ["tern", "sal", "dun", "mor", "wick", "hol", "brea", "kel", "ness", "fro", "gar", "lin"];

/// A name that looks like one, different for every number.
fn name(n: usize) -> String {
    let [a, b, c, d] = [n % 12, n / 12 % 12, n / 144 % 12, n / 1728 % 12].map(|i| SYLLABLES[i]);
    let mut name = format!("{a}{b} {c}{d}");
    name[..1].make_ascii_uppercase();
    name
}

/// `shift` renames every tenth colour and moves every third row of marks.
fn range(shift: usize) -> String {
    let mut out = format!(
        "Range(maker: \"Generated Works\", release: \"Release {shift}\", listings: [(key: \"works\"), (key: \"dealer\")],\nfamilies: [\n"
    );
    for f in 0..FAMILIES {
        let _ = writeln!(out, "(key: \"f{f}\", title: \"Family {f}\"),");
    }
    out += "],\nparts: [\n";
    for p in 0..PARTS {
        let side = if p % 2 == 0 { "left" } else { "right" };
        let _ = writeln!(
            out,
            "(key: \"p{p}\", numbers: {{\"works\": \"{}\"}}, side: {side}, shape: \"disc.svg\"),",
            1000 + p
        );
    }
    out += "],\ncolours: [\n";
    let mut rows = String::new();
    for c in 0..COLOURS {
        let works = if c % 10 == 0 { format!("{} {shift}", name(c)) } else { name(c) };
        let value = (c * 3_347_917) & 0xff_ffff;
        let family = c * FAMILIES / COLOURS;
        let _ = writeln!(
            out,
            "(key: \"c{c}\", family: \"f{family}\", names: {{\"works\": \"{works}\", \"dealer\": \"D {works}\"}}, numbers: {{\"works\": \"{c}\", \"dealer\": \"3-{c}\"}}, value: \"#{value:06x}\", first: 2001),"
        );
        let row = if c % 3 == 0 { shift } else { 0 };
        // A colour is made in the parts of its share of the range, most of them.
        let marks: String = (0..PARTS)
            .map(|p| if p % 16 == family % 16 && (c + p + row) % 5 != 0 { 'x' } else { '.' })
            .collect();
        let _ = writeln!(rows, "\"c{c}\": \"{marks}\",");
    }
    out + &format!("],\nmade: (rows: {{\n{rows}}}))\n")
}

fn main() -> std::io::Result<()> {
    let dir = std::env::args().nth(1).unwrap_or_else(|| "out/large".to_owned());
    for (folder, shift) in [("old", 0), ("new", 1)] {
        let folder = Path::new(&dir).join(folder);
        std::fs::create_dir_all(&folder)?;
        std::fs::write(folder.join("range.ron"), range(shift))?;
        std::fs::write(folder.join("disc.svg"), SHAPE)?;
        std::fs::write(
            folder.join("sheet.ron"),
            "Sheet(range: \"range.ron\", name: \"large\", title: \"Large\", families: [\"f0\"], spellings: [\"en-GB\"],\neditions: [(name: \"poster\", layout: \"poster-610x914\")])\n",
        )?;
    }
    Ok(())
}
