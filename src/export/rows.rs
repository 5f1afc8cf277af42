//! The range as rows of cells under their headings.

use std::collections::{BTreeMap, BTreeSet};

use super::cell::{Cell, identifiers, kept};
use super::table::Table;
use crate::measured;
use crate::range::{Colour, ColourId, ColourRange, MadeYears, PartId, Side, Value, Words};

/// The name of the table of measured values.
pub const VALUES: &str = "values";

/// Three tables, and a fourth where values are measured.
pub fn tables(range: &ColourRange) -> Vec<Table> {
    let measured = range.colours().iter().any(|c| c.measured().is_some());
    let mut all = vec![colours(range), parts(range), made(range)];
    all.extend(measured.then(|| values(range)));
    all
}

/// What was measured, a colour a row.
fn values(range: &ColourRange) -> Table {
    let [key, l, a, b, rest @ ..] = measured::HEADINGS.map(str::to_owned);
    let head = [vec![key, "value".to_owned(), l, a, b], rest.to_vec()].concat();
    let row = |colour: &Colour| {
        let of = colour.measured().as_ref()?;
        let value = colour.value();
        let mut row = vec![Cell::text(colour.key())];
        row.push(written(Some(value)));
        row.extend(lab_cells(Some(value)));
        row.push(of.spread().map_or(Cell::Empty, decimal));
        row.push(Cell::measure(&of.readings().to_string()));
        row.push(Cell::text(&of.source().value));
        row.push(of.note().as_ref().map_or(Cell::Empty, Cell::text));
        Some(row)
    };
    Table { name: VALUES, rows: range.colours().iter().filter_map(row).collect(), head }
}

/// The value that a colour has in the range itself.
fn typed(colour: &Colour) -> Option<&Value> {
    match colour.measured() {
        Some(of) => of.typed().as_ref(),
        None => Some(colour.value()),
    }
}

/// A number, where a spreadsheet keeps all its digits, else its text.
fn decimal(number: f64) -> Cell {
    if kept(number) { Cell::Number(number) } else { Cell::text(number.to_string()) }
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
    let measured = all.iter().any(|c| typed(c).is_some_and(|v| lab(v).is_some()));
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
        let value = typed(colour);
        row.push(written(value));
        if measured {
            row.extend(lab_cells(value));
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
fn lab(value: &Value) -> Option<[f64; 3]> {
    match value {
        Value::LabD50 { l, a, b } => Some([*l, *a, *b]).filter(|lab| lab.iter().all(|n| kept(*n))),
        _ => None,
    }
}

/// The cells of L*, a* and b*.
fn lab_cells(value: Option<&Value>) -> [Cell; 3] {
    let lab = value.and_then(lab);
    lab.map_or([Cell::Empty, Cell::Empty, Cell::Empty], |l| l.map(Cell::Number))
}

/// The cell of a value that is not in the columns of L*, a* and b*.
fn written(value: Option<&Value>) -> Cell {
    let here = value.filter(|v| lab(v).is_none());
    here.map_or(Cell::Empty, |v| Cell::text(self::value(v)))
}

/// As the range file writes it.
fn value(value: &Value) -> String {
    match value {
        Value::Srgb(rgb) => rgb.hex(),
        Value::Unknown => "unknown".to_owned(),
        Value::LabD50 { l, a, b } => format!("Lab({l}, {a}, {b})"),
        Value::Spectrum { from, step, values } => {
            let list: Vec<String> = values.iter().map(f64::to_string).collect();
            format!("Spectrum(from: {from}, step: {step}, values: [{}])", list.join(", "))
        }
    }
}
