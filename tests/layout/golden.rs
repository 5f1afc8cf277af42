//! Text dumps of small positioned sheets, one feature each.
//!
//! `UPDATE_GOLDEN=1 cargo test --test layout golden` writes them anew.

use std::fmt::Write as _;
use std::path::Path;

use crate::positions::{ids, open};
use shadecard::range::ColourRange;
use shadecard::sheet::{Coloured, Item, ItemKind, Rgb, Turn};

/// Hundredths of a millimetre, without a minus before zero.
fn mm(v: f64) -> String {
    let text = format!("{v:.2}");
    if text == "-0.00" { "0.00".to_owned() } else { text }
}

fn line(range: &ColourRange, painted: Coloured<'_, Rgb>, item: &Item) -> String {
    let Coloured { sheet, colours } = painted;
    let role = format!("{:?}", item.role).to_lowercase();
    let origin = item.origin.as_deref().unwrap_or("-");
    let b = item.bounds;
    match &item.kind {
        ItemKind::Area(area) => format!(
            "{role} {origin} area {} {} {} {} {}",
            mm(b.x0),
            mm(b.y0),
            mm(b.width()),
            mm(b.height()),
            colours.of(area.fill).hex()
        ),
        ItemKind::Use(used) => {
            let name = &sheet.symbols[used.symbol.0].name;
            let (part, colour) = ids(name).expect("a part's symbol");
            format!(
                "{role} {origin} part {} in {} at {} {} x {:.3}",
                range.parts()[part].key(),
                range.colours()[colour].key(),
                mm(used.x),
                mm(used.y),
                used.scale
            )
        }
        ItemKind::Image(used) => {
            format!("image {} at {:.3} {:.3} x {:.4}", used.image.0, used.x, used.y, used.scale)
        }
        ItemKind::Text(text) => format!(
            "{role} {origin} text {:?} at {} {} size {} width {}{}",
            text.string,
            mm(text.x),
            mm(text.y),
            mm(text.size),
            mm(text.advance),
            if text.turn == Turn::Up { " up" } else { "" }
        ),
    }
}

fn dump(feature: &str) -> String {
    let editions = open(&Path::new("tests/golden").join(feature).join("sheet.ron"), None);
    let planned = editions
        .plan(editions.variants().next().expect("an edition"))
        .unwrap_or_else(|d| panic!("{}", d.message));
    let sheet = planned.place(&editions.workshop());
    let colours = sheet.palette.published();
    let mut out = format!("sheet {} x {} mm\n", mm(sheet.width), mm(sheet.height));
    for (i, page) in sheet.pages.iter().enumerate() {
        writeln!(out, "page {}", i + 1).expect("a string");
        for item in &page.items {
            out += &line(&editions.range, sheet.coloured(&colours), item);
            out.push('\n');
        }
    }
    out
}

/// Compares, or writes; tells the first line that differs.
fn check(feature: &str, shows: &dyn Fn(&str) -> bool) {
    let got = dump(feature);
    assert!(shows(&got), "{feature}: the sheet does not show it\n{got}");
    let file = Path::new("tests/golden").join(format!("{feature}.txt"));
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        std::fs::write(&file, &got).expect("written");
        return;
    }
    let want = std::fs::read_to_string(&file).unwrap_or_default().replace("\r\n", "\n");
    if got == want {
        return;
    }
    let first = got.lines().zip(want.lines()).position(|(a, b)| a != b);
    let n = first.unwrap_or(got.lines().count().min(want.lines().count()));
    panic!(
        "{} line {}:\n  was {:?}\n  is  {:?}\nIf this is meant: UPDATE_GOLDEN=1 cargo test --test layout golden",
        file.display(),
        n + 1,
        want.lines().nth(n),
        got.lines().nth(n)
    );
}

#[test]
fn grid_with_a_gap() {
    // The mark of the gap: furniture of the row itself, beside its rule.
    check("gap", &|t| !t.contains("part square in dusk") && t.contains("part square in dawn"));
}

#[test]
fn stand_in() {
    check("stand-in", &|t| {
        t.contains("part round-7 in dusk") && t.contains("part round-8 in dawn")
    });
}

#[test]
fn loose_rows() {
    check("loose", &|t| t.contains("label dusk text \"12\""));
}

#[test]
fn two_pages() {
    check("pages", &|t| t.contains("page 2") && !t.contains("page 3"));
}

#[test]
fn a_split_goes_on_under_a_second_heading() {
    check("split", &|t| t.contains("continued") || t.contains("rows "));
}
