//! The range as rows of cells under their headings.

use std::collections::{BTreeMap, BTreeSet};

use super::cell::{Cell, identifiers, kept};
use super::table::Table;
use crate::range::{Colour, ColourId, ColourRange, MadeYears, PartId, Side, Value, Words};

pub fn tables(range: &ColourRange) -> [Table; 3] {
    [colours(range), parts(range), made(range)]
}

fn colours(range: &ColourRange) -> Table {
    let all = range.colours();
    let names = |l: usize| all.iter().filter_map(move |c| c.names()[l].as_ref());
    let mut head: Vec<String> = ["key", "family"].map(str::to_owned).to_vec();
    let tags: Vec<Vec<String>> = (0..range.listings().len()).map(|l| tags(names(l))).collect();
    let numbers: Vec<Vec<Cell>> = (0..range.listings().len())
        .map(|l| identifiers(all.iter().map(|c| c.numbers()[l].as_ref())))
        .collect();
    for (listing, tags) in range.listings().iter().zip(&tags) {
        head.push(format!("{} number", listing.key()));
        head.push(format!("{} name", listing.key()));
        head.extend(tags.iter().map(|t| format!("{} name {t}", listing.key())));
    }
    let note_tags = self::tags(all.iter().filter_map(|c| c.note().as_ref()));
    let measured = all.iter().any(|c| lab(c).is_some());
    head.push("value".to_owned());
    head.extend(["L*", "a*", "b*"].into_iter().filter(|_| measured).map(str::to_owned));
    head.extend(["finish", "first", "last", "note"].map(str::to_owned));
    head.extend(note_tags.iter().map(|t| format!("note {t}")));
    let rows = all.iter().enumerate().map(|(i, colour)| {
        let family = range.family(colour.family());
        let mut row = vec![Cell::text(colour.key()), Cell::text(family.key())];
        for (l, tags) in tags.iter().enumerate() {
            row.push(numbers[l][i].clone());
            row.extend(with_forms(colour.names()[l].as_ref(), tags));
        }
        let lab = lab(colour);
        row.push(if lab.is_some() { Cell::Empty } else { Cell::text(value(colour)) });
        if measured {
            row.extend(
                lab.map_or([Cell::Empty, Cell::Empty, Cell::Empty], |l| l.map(Cell::Number)),
            );
        }
        // A finish that is the family's own is left to the family.
        let own = colour.finish() != family.finish();
        row.push(if own { Cell::text(colour.finish().word()) } else { Cell::Empty });
        row.push(Cell::year(colour.first_year()));
        row.push(Cell::year(colour.last_year()));
        row.extend(with_forms(colour.note().as_ref(), &note_tags));
        row
    });
    Table { name: "colours", rows: rows.collect(), head }
}

fn parts(range: &ColourRange) -> Table {
    let all = range.parts();
    let size_tags = tags(all.iter().map(|p| p.size()));
    let tags = tags(all.iter().map(|p| &p.title().value));
    let numbers: Vec<Vec<Cell>> = (0..range.listings().len())
        .map(|l| identifiers(all.iter().map(|p| p.numbers()[l].as_ref())))
        .collect();
    let mut head = vec!["key".to_owned()];
    head.extend(range.listings().iter().map(|l| format!("{} number", l.key())));
    head.push("title".to_owned());
    head.extend(tags.iter().map(|t| format!("title {t}")));
    head.extend(["role", "side", "size"].map(str::to_owned));
    head.extend(size_tags.iter().map(|t| format!("size {t}")));
    head.push("shape".to_owned());
    let rows = all.iter().enumerate().map(|(i, part)| {
        let mut row = vec![Cell::text(part.key())];
        row.extend(numbers.iter().map(|of| of[i].clone()));
        row.extend(with_forms(Some(part.title()), &tags));
        let side = if part.side() == Side::Left { "left" } else { "right" };
        row.extend([part.role(), side].map(Cell::text));
        row.push(Cell::measure(&part.size().text));
        row.extend(with_forms(Some(part.size()), &size_tags).into_iter().skip(1));
        row.push(Cell::text(part.shape_file()));
        row
    });
    Table { name: "parts", rows: rows.collect(), head }
}

fn made(range: &ColourRange) -> Table {
    let mut head = vec!["key".to_owned()];
    head.extend(range.parts().iter().map(|p| p.key().clone()));
    let years: BTreeMap<(ColourId, PartId), String> =
        range.years().iter().map(|y| ((y.colour, y.part), years_text(y))).collect();
    let rows = range.colours().iter().enumerate().map(|(c, colour)| {
        let mut row = vec![Cell::text(colour.key())];
        row.extend((0..range.parts().len()).map(|p| {
            let at = (ColourId(c), PartId(p));
            match years.get(&at) {
                Some(years) => Cell::text(years),
                None if range.is_made(at.0, at.1) => Cell::text("x"),
                None => Cell::Empty,
            }
        }));
        row
    });
    Table { name: "made", rows: rows.collect(), head }
}

/// The spellings in which any of the texts has a form of its own.
fn tags<'a>(texts: impl Iterator<Item = &'a Words>) -> Vec<String> {
    let tags: BTreeSet<&String> = texts.flat_map(|w| w.forms.keys()).collect();
    tags.into_iter().cloned().collect()
}

/// A text, then its form for each tag.
fn with_forms(words: Option<&Words>, tags: &[String]) -> Vec<Cell> {
    let mut out = vec![words.map_or(Cell::Empty, |w| Cell::text(&w.text))];
    let form = |t: &String| words.and_then(|w| w.forms.get(t));
    out.extend(tags.iter().map(|t| form(t).map_or(Cell::Empty, Cell::text)));
    out
}

/// In words where one end is open: a spreadsheet reads 2019- as a number, -2019.
fn years_text(y: &MadeYears) -> String {
    match (y.from, y.to) {
        (Some(from), Some(to)) => format!("{from}-{to}"),
        (Some(from), None) => format!("from {from}"),
        (None, to) => format!("to {}", year(to)),
    }
}

fn year(year: Option<u16>) -> String {
    year.map_or(String::new(), |y| y.to_string())
}

/// L*, a* and b* of a measured colour, where a spreadsheet keeps all their digits.
fn lab(colour: &Colour) -> Option<[f64; 3]> {
    match colour.value() {
        Value::LabD50 { l, a, b } => Some([*l, *a, *b]).filter(|lab| lab.iter().all(|n| kept(*n))),
        _ => None,
    }
}

/// As the range file writes it.
fn value(colour: &Colour) -> String {
    match colour.value() {
        Value::Srgb(rgb) => rgb.hex(),
        Value::Unknown => "unknown".to_owned(),
        Value::LabD50 { l, a, b } => format!("Lab({l}, {a}, {b})"),
        Value::Spectrum { from, step, values } => {
            let list: Vec<String> = values.iter().map(f64::to_string).collect();
            format!("Spectrum(from: {from}, step: {step}, values: [{}])", list.join(", "))
        }
    }
}
