//! The range as rows of texts, the first row the headings.

use std::collections::{BTreeMap, BTreeSet};

use super::Table;
use crate::range::{Colour, ColourId, MadeYears, PartId, Range, Side, Value, Words};

pub fn tables(range: &Range) -> [Table; 3] {
    [
        Table { name: "colours", rows: colours(range) },
        Table { name: "parts", rows: parts(range) },
        Table { name: "made", rows: made(range) },
    ]
}

fn colours(range: &Range) -> Vec<Vec<String>> {
    let all = range.colours();
    let names = |l: usize| all.iter().filter_map(move |c| c.names()[l].as_ref());
    let mut head: Vec<String> = ["key", "family"].map(str::to_owned).to_vec();
    let tags: Vec<Vec<String>> = (0..range.listings().len()).map(|l| tags(names(l))).collect();
    for (listing, tags) in range.listings().iter().zip(&tags) {
        head.push(format!("{} number", listing.key()));
        head.push(format!("{} name", listing.key()));
        head.extend(tags.iter().map(|t| format!("{} name {t}", listing.key())));
    }
    let note_tags = self::tags(all.iter().filter_map(|c| c.note().as_ref()));
    head.extend(["value", "finish", "first", "last", "note"].map(str::to_owned));
    head.extend(note_tags.iter().map(|t| format!("note {t}")));
    let mut rows = vec![head];
    for colour in all {
        let family = range.family(colour.family());
        let mut row = vec![colour.key().clone(), family.key().clone()];
        for (l, tags) in tags.iter().enumerate() {
            row.push(colour.numbers()[l].clone().unwrap_or_default());
            row.extend(with_forms(colour.names()[l].as_ref(), tags));
        }
        row.push(value(colour));
        // A finish that is the family's own is left to the family.
        let own = colour.finish() != family.finish();
        row.push(if own { colour.finish().word().to_owned() } else { String::new() });
        row.push(year(colour.first_year()));
        row.push(year(colour.last_year()));
        row.extend(with_forms(colour.note().as_ref(), &note_tags));
        rows.push(row);
    }
    rows
}

fn parts(range: &Range) -> Vec<Vec<String>> {
    let tags = tags(range.parts().iter().map(|p| p.title()));
    let mut head = vec!["key".to_owned()];
    head.extend(range.listings().iter().map(|l| format!("{} number", l.key())));
    head.push("title".to_owned());
    head.extend(tags.iter().map(|t| format!("title {t}")));
    head.extend(["role", "side", "size", "shape"].map(str::to_owned));
    let mut rows = vec![head];
    for part in range.parts() {
        let mut row = vec![part.key().clone()];
        row.extend(part.numbers().iter().map(|n| n.clone().unwrap_or_default()));
        row.extend(with_forms(Some(part.title()), &tags));
        let side = if part.side() == Side::Left { "left" } else { "right" };
        row.extend([part.role(), side, part.size(), part.shape_file()].map(str::to_owned));
        rows.push(row);
    }
    rows
}

fn made(range: &Range) -> Vec<Vec<String>> {
    let mut head = vec!["key".to_owned()];
    head.extend(range.parts().iter().map(|p| p.key().clone()));
    let years: BTreeMap<(ColourId, PartId), String> =
        range.years().iter().map(|y| ((y.colour, y.part), years_text(y))).collect();
    let mut rows = vec![head];
    for (c, colour) in range.colours().iter().enumerate() {
        let mut row = vec![colour.key().clone()];
        row.extend((0..range.parts().len()).map(|p| {
            let at = (ColourId(c), PartId(p));
            match years.get(&at) {
                Some(years) => years.clone(),
                None if range.is_made(at.0, at.1) => "x".to_owned(),
                None => String::new(),
            }
        }));
        rows.push(row);
    }
    rows
}

/// The spellings in which any of the texts has a form of its own.
fn tags<'a>(texts: impl Iterator<Item = &'a Words>) -> Vec<String> {
    let tags: BTreeSet<&String> = texts.flat_map(|w| w.forms.keys()).collect();
    tags.into_iter().cloned().collect()
}

/// A text, then its form for each tag.
fn with_forms(words: Option<&Words>, tags: &[String]) -> Vec<String> {
    let mut out = vec![words.map_or(String::new(), |w| w.text.clone())];
    out.extend(
        tags.iter().map(|t| words.and_then(|w| w.forms.get(t)).cloned().unwrap_or_default()),
    );
    out
}

/// In words where one end is open: a spreadsheet takes 2019- for a number, -2019.
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
