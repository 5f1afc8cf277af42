//! A CSV file in every place where a table can stand.

use std::fmt::Write as _;
use std::path::Path;

use kurbo::Point;
use shadecard::diag::Sources;
use shadecard::labels::offset::{self, Mark, Reading};
use shadecard::labels::used;
use shadecard::proofread::against::against;
use shadecard::range::{ListingId, load};
use shadecard::read::cells::{self, Grid};
use shadecard::read::limits;
use shadecard::spelling::Spelling;
use shadecard::starter::{Given, Page, begin};
use shadecard::supplies::{Naming, Stock};

use super::desk::{self, Desk, plain};
use super::range::looked_over;
use super::told::{errors, told};

pub fn entry(bytes: &[u8]) -> String {
    desk::with(&[("list.csv", bytes)], |desk| {
        let out = grid(&desk.file("list.csv")) + &lists("list.csv", desk) + &besides(desk);
        plain(&out, desk)
    })
}

/// Reads a table by itself, and begins a range with it.
pub fn grid(file: &Path) -> String {
    let mut sources = Sources::default();
    let grid = match cells::read(file, None, None, &mut sources) {
        Ok(grid) => grid,
        Err(fault) => return errors(fault.into(), &sources),
    };
    whole(&grid);
    let given = Given {
        tables: std::slice::from_ref(&grid),
        names: &[],
        chosen: None,
        parts: None,
        folder: None,
        headings: &[],
        written: &|c| c.is_ascii(),
    };
    let begun = match begin(&given) {
        Ok(begun) => {
            let mut out = told(begun.findings, &sources);
            for (name, text) in begun.draft.files(Page::Many) {
                let _ = write!(out, "{name}: {text:?}");
            }
            out
        }
        Err(findings) => errors(findings, &sources),
    };
    told(grid.notes.clone(), &sources) + &begun
}

/// Every cell stands where it says.
fn whole(grid: &Grid) {
    assert!(grid.rows.len() <= limits::ROWS.now(), "{} rows", grid.rows.len());
    let mut last = 0;
    for (r, row) in grid.rows.iter().enumerate() {
        assert!(row.len() <= limits::COLUMNS.now(), "{} columns", row.len());
        for (c, cell) in row.iter().enumerate() {
            let range = cell.range();
            assert!(grid.text.get(range.clone()).is_some(), "cell {r},{c} outside: {range:?}");
            assert!(range.start >= last, "cell {r},{c} before the last one: {range:?}");
            last = range.start;
            let text = grid.at(r, c);
            assert_eq!(text, text.trim(), "blanks around cell {r},{c}");
        }
    }
}

/// The table as colours, as parts, and as what is made in which colour.
pub fn lists(table: &str, desk: &Desk) -> String {
    let colours = desk::RANGE.find("    colours: [").expect("colours");
    let made = desk::RANGE.find("    made: (").expect("made");
    let parts = desk::RANGE.find("    parts: [").expect("parts");
    let (head, tail) = (&desk::RANGE[..colours], &desk::RANGE[made..]);
    let list = desk::RANGE[colours..made].trim_end();
    let as_colours = format!(
        "{head}colours: Table(file: \"{table}\"), made: (parts: [\"disc\"], rows: {{\"red\": \"x\"}}))"
    );
    let as_made = format!("{head}{list} made: Table(file: \"{table}\"))");
    let as_parts =
        format!("{}parts: Table(file: \"{table}\"),\n{list}\n{tail}", &desk::RANGE[..parts]);
    let mut out = String::new();
    for range in [as_colours, as_made, as_parts] {
        desk.put("range.ron", range);
        let mut sources = Sources::default();
        out += &match load(&desk.file("sheet.ron"), &mut sources) {
            Ok(loaded) => looked_over(&loaded, &sources, desk),
            Err(findings) => errors(findings, &sources),
        };
    }
    desk.put("range.ron", desk::RANGE);
    out
}

/// The table as a published list, as stock, as places used and as what was measured of a machine.
fn besides(desk: &Desk) -> String {
    let file = desk.file("list.csv");
    let mut sources = Sources::default();
    let loaded = load(&desk.file("sheet.ron"), &mut sources).expect("the base");
    let mut out = String::new();
    if let Ok(published) = cells::read(&file, None, None, &mut sources) {
        out += &told(against(&loaded.range, ListingId(0), &published), &sources);
    }
    let spelling = Spelling::shipped("en-GB").expect("shipped");
    let naming = Naming {
        range: &loaded.range,
        sheet: &loaded.sheet,
        listing: ListingId(0),
        spelling: &spelling,
    };
    out += &match Stock::read(&file, &naming, &mut sources) {
        Ok((stock, notes)) => format!("{stock:?}") + &told(notes, &sources),
        Err(findings) => errors(findings, &sources),
    };
    out += &match used::read(&file, 21, &mut sources) {
        Ok(places) => {
            assert!(places.iter().all(|p| (0..21).contains(p)), "no such place: {places:?}");
            format!("{places:?}")
        }
        Err(findings) => errors(findings, &sources),
    };
    let marks = [(1, 10.0, 10.0), (2, 200.0, 10.0), (3, 10.0, 287.0), (4, 200.0, 287.0)];
    let marks = marks.map(|(number, x, y)| Mark { number, at: Point::new(x, y) });
    out + &match offset::read(&file, &marks, (210.0, 297.0), &mut sources) {
        Ok((measured, notes)) => {
            let finite = |r: &Reading| r.off.x.is_finite() && r.off.y.is_finite();
            assert!(measured.readings.iter().all(finite), "no length");
            format!("{} read", measured.readings.len()) + &told(notes, &sources)
        }
        Err(findings) => errors(findings, &sources),
    }
}
