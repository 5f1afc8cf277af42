//! Measured values of a range: an instrument's file as CGATS, as CxF, as a table, and as a text that says what it is.

use super::desk;
use super::range::looked_over;
use super::told::{errors, ways};

/// What the bytes are read as.
const FILES: [&str; 4] = ["list.ti3", "list.cxf", "list.csv", "list.txt"];

pub fn entry(bytes: &[u8]) -> String {
    let (ways, bytes) = ways(bytes, FILES.len());
    ways.map(|which| read(FILES[which], bytes)).collect()
}

fn read(name: &str, bytes: &[u8]) -> String {
    let whole = desk::RANGE.trim_end().strip_suffix(')').expect("a bracket");
    let range = format!("{whole} values: Table(file: \"{name}\"))");
    let mut sources = desk::sources(&[(name, bytes), ("range.ron", range.as_bytes())]);
    match desk::load(&desk::file("sheet.ron"), &mut sources) {
        Ok(loaded) => looked_over(&loaded, &sources, bytes),
        Err(findings) => errors(findings, &sources),
    }
}
