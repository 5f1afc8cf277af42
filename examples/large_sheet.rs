//! Writes a generated sheet that shows all of a large range:
//! `large_sheet DIR COLOURS [wall|posters|WIDTHxHEIGHT [PAGES]] [FAMILIES] [PARTS]`.
//!
//! For `benches/planning-at-scale`.

#[path = "../tests/large/mod.rs"]
mod large;

use std::path::Path;

use large::Large;

fn asked(args: &[String]) -> Option<(&str, Large)> {
    let (dir, colours) = (args.first()?, args.get(1)?.parse().ok()?);
    let mut rest = args[2..].iter();
    let mut out = match rest.next().map(String::as_str) {
        None | Some("posters") => Large::posters(colours),
        Some("wall") => Large::wall(colours),
        Some(size) => {
            let (width, height) = size.split_once('x')?;
            let page = (width.parse().ok()?, height.parse().ok()?);
            let pages = rest.next().map_or(Some(1), |p| p.parse().ok())?;
            Large { page, pages, rows_sized_for: None, ..Large::wall(colours) }
        }
    };
    if let Some(families) = rest.next() {
        out.families = families.parse().ok()?;
    }
    if let Some(parts) = rest.next() {
        out.parts = parts.parse().ok()?;
    }
    Some((dir, out))
}

fn main() -> std::io::Result<()> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let Some((dir, what)) = asked(&args) else {
        return Err(std::io::Error::other(
            "give a folder, a number of colours, and then wall, posters or WIDTHxHEIGHT PAGES, families, parts",
        ));
    };
    large::write(Path::new(dir), &what)
}
