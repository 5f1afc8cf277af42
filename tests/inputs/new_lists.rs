//! What `new` writes, `make` makes: generated lists, headings, values and letters of every kind among them.
//!
//! 250 of them, or as many as `NEW_LISTS` says: `NEW_LISTS=2000 cargo test --test inputs new_lists` (some minutes).

use std::fmt::Write as _;
use std::path::Path;

use shadecard::diag::Sources;
use shadecard::edition::{Editions, Filter};
use shadecard::plan::style::Style;
use shadecard::range::load;
use shadecard::read::cells;
use shadecard::starter::{Given, begin, pages};

/// A linear congruential generator (Knuth's MMIX constants): the same lists everywhere.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % n.max(1)
    }

    fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        of[self.below(of.len())]
    }
}

const HEADINGS: &[&str] = &[
    "Name",
    "name",
    "Colour",
    "Colour name",
    "Farbe",
    "Farbname",
    "No.",
    "Art.-Nr.",
    "Code",
    "ID",
    "#",
    "Hex",
    "RGB",
    "Value",
    "L*",
    "a*",
    "b*",
    "L",
    "a",
    "b",
    "R",
    "G",
    "B",
    "Group",
    "Line",
    "Finish",
    "Oberfläche",
    "Since",
    "bis",
    "Years",
    "Note",
    "Bemerkung",
    "Price",
    "Dealer name",
    "Dealer no.",
    "Works name",
    "Name (list)",
    "Name name",
    "Number name",
    "Key",
    "10",
    "1102",
    "Button 15 mm",
    "Größe",
    "",
    "青",
    "=1+1",
    "\"quoted\"",
    "a;b",
    "key",
];

const CELLS: &[&str] = &[
    "",
    "",
    "Gannet",
    "Dulse",
    "Wreck Buoy",
    "Möwe",
    "Crème brûlée",
    "青",
    "Привет",
    "Αλς",
    "ﷺ",
    "🎨 Paint",
    "Tern\u{200b}White",
    "a\u{202e}b",
    "tab\there",
    "line\nbreak",
    "\"q\"",
    "semi;colon",
    "pipe|pipe",
    "x",
    "X",
    ".",
    "-",
    "ja",
    "nein",
    "#f8f7f3",
    "#fff",
    "f8f7f3",
    "Lab(28.4 24.1 3.9)",
    "Lab(28.4, 24.1, 3.9)",
    "rgb(20 30 40)",
    "20 30 40",
    "28,4",
    "-3.9",
    "101",
    "102",
    "0",
    "1.0",
    "2.0",
    "1e999",
    "NaN",
    "2016",
    "2016-2024",
    "2024-2016",
    "since 2018",
    "10-Dec",
    "2026-03-01",
    "Gloss",
    "Clear",
    "transparent",
    "matt",
    "gold",
    "15 mm",
    "18 x 6",
    "light blue",
    "=SUM(A1)",
    "key",
    "name",
    "Forms(\"a\", {})",
    "{title}",
    "unknown",
    "\\",
    "ÀÉÎÕÜ",
    "'",
    "a very long name that goes on and on and on, and then a little further still, without an end in sight",
    "Donaudampfschifffahrtsgesellschaftskapitänsmützenknopfloch",
    "\u{feff}",
    "\u{a0}",
    "---",
    "...",
    "%",
    "<b>",
    "&amp;",
];

fn list(dice: &mut Dice) -> String {
    let separator = [",", ";", "\t"][dice.below(3)];
    let columns = 1 + dice.below(9);
    let quoted = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
    let mut out = String::new();
    let rows = 1 + dice.below(14);
    let two = dice.below(4) == 0;
    for row in 0..rows + 1 + usize::from(two) {
        let of = if row == 0 || (two && row == 1) { HEADINGS } else { CELLS };
        let cells: Vec<String> = (0..columns).map(|_| quoted(dice.one(of))).collect();
        let _ = writeln!(out, "{}", cells.join(separator));
    }
    out
}

/// Loads what was written and plans it, as `make` does before it draws.
fn made(at: &Path, least: f64) -> Result<(), String> {
    let mut sources = Sources::default();
    let told = |f: shadecard::diag::Findings| {
        f.errors().map(|d| d.message.clone()).collect::<Vec<_>>().join("; ")
    };
    let loaded = load(&at.join("sheet.ron"), &mut sources).map_err(told)?;
    let editions = Editions::resolve(loaded, &Filter::default(), &mut sources).map_err(told)?;
    let missing = editions.missing_characters();
    if missing.failed() {
        return Err(told(missing));
    }
    let plans = editions.plan_all().map_err(told)?;
    let scale = plans.iter().map(|p| p.plan.scale).fold(f64::INFINITY, f64::min);
    if scale >= least { Ok(()) } else { Err(format!("parts at {scale}")) }
}

#[test]
fn every_list_that_is_begun_can_be_made() {
    let all = std::env::var("NEW_LISTS").map_or(250, |n| n.parse().expect("a number"));
    let faces = Style::shipped("plate").unwrap().faces().unwrap();
    let (mut begun, mut faults) = (0, Vec::new());
    for n in 0..all {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        let text = list(&mut Dice(n));
        std::fs::write(at.join("list.csv"), &text).unwrap();
        let mut sources = Sources::default();
        let Ok(grid) = cells::read(&at.join("list.csv"), None, None, &mut sources) else {
            continue;
        };
        let written = |c| faces.iter().all(|(_, face)| face.has(c));
        let found = begin(&Given::of(std::slice::from_ref(&grid), &written));
        let Ok(found) = found else { continue };
        assert!(found.findings.len() <= 16, "list {n}: {} messages", found.findings.len());
        begun += 1;
        // As the command does it, but for the small pages.
        let mut why = String::new();
        let fits = pages(usize::MAX).into_iter().any(|(page, least)| {
            for (name, text) in found.draft.files(page) {
                let path = at.join(name);
                std::fs::create_dir_all(path.parent().unwrap()).unwrap();
                std::fs::write(path, text).unwrap();
            }
            made(at, least).map_err(|fault| why = fault).is_ok()
        });
        if !fits {
            faults.push(format!("list {n}: {why}\n{text}"));
        }
    }
    assert!(
        faults.is_empty(),
        "{} lists: {}",
        faults.len(),
        faults[..faults.len().min(4)].join("\n")
    );
    assert!(2 * begun > all, "only {begun} lists hold colours");
}
