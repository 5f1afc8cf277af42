//! A CSV file in the places where a table is beside a range: a published list, what is in stock, places of a
//! sheet of labels that are used, and what was measured of a cutting machine.

use kurbo::Point;
use shadecard::labels::offset::{self, Mark, Reading};
use shadecard::labels::used;
use shadecard::proofread::against::against;
use shadecard::range::{ListingId, Loaded};
use shadecard::read::cells;
use shadecard::spelling::Spelling;
use shadecard::supplies::{Naming, Stock};

use super::desk;
use super::told::{errors, told};

/// The table as a published list.
pub fn published(bytes: &[u8]) -> String {
    let mut sources = desk::sources(&[("list.csv", bytes)]);
    let list = cells::read(&desk::file("list.csv"), None, None, &mut sources);
    list.map_or(String::new(), |list| {
        told(against(&desk::base().range, ListingId(0), &list), &sources)
    })
}

/// What is in stock.
pub fn stock(bytes: &[u8]) -> String {
    let mut sources = desk::sources(&[("list.csv", bytes)]);
    let Loaded { range, sheet, .. } = desk::base();
    let spelling = Spelling::shipped("en-GB").expect("shipped");
    let naming = Naming { range, sheet, listing: ListingId(0), spelling: &spelling };
    match Stock::read(&desk::file("list.csv"), &naming, &mut sources) {
        Ok((stock, notes)) => format!("{stock:?}") + &told(notes, &sources),
        Err(findings) => errors(findings, &sources),
    }
}

/// Places that are used.
pub fn places(bytes: &[u8]) -> String {
    let mut sources = desk::sources(&[("list.csv", bytes)]);
    match used::read(&desk::file("list.csv"), 21, &mut sources) {
        Ok(places) => {
            assert!(places.iter().all(|p| (0..21).contains(p)), "no such place: {places:?}");
            format!("{places:?}")
        }
        Err(findings) => errors(findings, &sources),
    }
}

/// What was measured of a machine.
pub fn measured(bytes: &[u8]) -> String {
    // A RON file says so by its name, as a table does.
    let name = if bytes.starts_with(b"Offset") { "list.ron" } else { "list.csv" };
    let mut sources = desk::sources(&[(name, bytes)]);
    let marks = [(1, 10.0, 10.0), (2, 200.0, 10.0), (3, 10.0, 287.0), (4, 200.0, 287.0)];
    let marks = marks.map(|(number, x, y)| Mark { number, at: Point::new(x, y) });
    match offset::read(&desk::file(name), &marks, kurbo::Size::new(210.0, 297.0), &mut sources) {
        Ok((measured, notes)) => {
            let finite = |r: &Reading| r.off.x.is_finite() && r.off.y.is_finite();
            assert!(measured.readings.iter().all(finite), "no length");
            format!("{} read", measured.readings.len()) + &told(notes, &sources)
        }
        Err(findings) => errors(findings, &sources),
    }
}
