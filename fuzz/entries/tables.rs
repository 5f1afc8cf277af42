//! A CSV file as the colours of a range, as its parts, and as what is made in which colour.

use super::desk;
use super::range::looked_over;
use super::told::{errors, ways};

pub fn entry(bytes: &[u8]) -> String {
    let (ways, bytes) = ways(bytes, 3);
    ways.map(|which| list(which, ("list.csv", bytes))).collect()
}

/// One of the three lists from a table.
pub fn list(which: usize, (table, bytes): (&str, &[u8])) -> String {
    let range = range(which, table);
    let mut sources = desk::sources(&[(table, bytes), ("range.ron", range.as_bytes())]);
    match desk::load(&desk::file("sheet.ron"), &mut sources) {
        Ok(loaded) => looked_over(&loaded, &sources, bytes),
        Err(findings) => errors(findings, &sources),
    }
}

fn range(which: usize, table: &str) -> String {
    let colours = desk::RANGE.find("    colours: [").expect("colours");
    let made = desk::RANGE.find("    made: (").expect("made");
    let parts = desk::RANGE.find("    parts: [").expect("parts");
    let (head, tail) = (&desk::RANGE[..colours], &desk::RANGE[made..]);
    let list = desk::RANGE[colours..made].trim_end();
    match which {
        0 => format!(
            "{head}colours: Table(file: \"{table}\"), made: (parts: [\"disc\"], rows: {{\"red\": \"x\"}}))"
        ),
        1 => format!("{head}{list} made: Table(file: \"{table}\"))"),
        _ => format!("{}parts: Table(file: \"{table}\"),\n{list}\n{tail}", &desk::RANGE[..parts]),
    }
}
