//! Cells as years, words and values.

use super::Row;
use crate::diag::{Diagnostic, Findings, Severity, nearest};
use crate::read::cells::heads::spoiled;
use crate::read::{raw, ron};

/// Texts with their forms: column, and (tag, column) of each form.
pub struct TextColumns {
    pub name: String,
    pub column: Option<usize>,
    pub forms: Vec<(String, usize)>,
}

/// A whole number; a point and zeros behind it do not count.
pub fn whole(
    row: &mut Row<'_>,
    name: &str,
    column: Option<usize>,
    f: &mut Findings,
) -> Option<i64> {
    let text = row.take(name, column, f)?;
    let plain = text.split_once('.').filter(|(_, z)| z.bytes().all(|b| b == b'0'));
    let number = plain.map_or(text, |(whole, _)| whole).parse().ok();
    if number.is_none() {
        let message = format!("'{name}' must be a whole number, not {text}");
        fault(row, name, column, Fault::value(message, DIGITS), f);
    }
    number
}

/// The number of a text, with a point or a comma.
pub fn parse_decimal(text: &str) -> Option<f64> {
    text.trim().replace(',', ".").parse().ok().filter(|n: &f64| n.is_finite())
}

/// A decimal number, with a point or a comma.
pub fn decimal(
    row: &mut Row<'_>,
    name: &str,
    column: Option<usize>,
    f: &mut Findings,
) -> Option<f64> {
    let text = row.take(name, column, f)?;
    let number = parse_decimal(text);
    if number.is_none() {
        let message = format!("'{name}' must be a number, not {text}");
        fault(row, name, column, Fault::value(message, DIGITS), f);
    }
    number
}

/// One of a few words.
pub fn word<T: Copy>(
    row: &mut Row<'_>,
    name: &str,
    column: Option<usize>,
    known: &[(&str, T)],
    f: &mut Findings,
) -> Option<T> {
    let text = row.take(name, column, f)?;
    let lower = text.to_lowercase();
    let found = known.iter().find(|(w, _)| *w == lower).map(|(_, v)| *v);
    if found.is_none() {
        let list: Vec<&str> = known.iter().map(|(w, _)| *w).collect();
        let near = nearest(text, list.iter().copied());
        let hint = near.map_or(String::new(), |n| format!("did you mean '{n}'? "));
        let help = format!("{hint}The values are: {}", list.join(", "));
        let message = format!("'{text}' is not a value of '{name}'");
        fault(row, name, column, Fault { code: "unknown-word", message, help }, f);
    }
    found
}

/// A text with the forms it has in other spellings.
pub fn words(row: &mut Row<'_>, of: &TextColumns, f: &mut Findings) -> Option<raw::Words> {
    let text = row.take(&of.name, of.column, f)?.to_owned();
    let mut forms = Vec::new();
    for (tag, column) in &of.forms {
        let form = row.grid.at(row.row, *column);
        if form.is_empty() {
            continue;
        }
        match spoiled(row.grid, row.row, *column) {
            Some(fault) if fault.severity == Severity::Error => f.push(fault),
            _ => forms.push((tag.clone(), form.to_owned())),
        }
    }
    Some(raw::Words { text, forms: raw::Pairs(forms) })
}

/// The value that 'Lab(l, a, b)' or 'Spectrum(...)' writes.
pub fn parse_value(text: &str) -> Option<raw::Value> {
    ron::decode_value(text)
}

/// '#rrggbb', 'Lab(l, a, b)' or 'Spectrum(...)'.
pub fn value(
    row: &mut Row<'_>,
    name: &str,
    column: Option<usize>,
    f: &mut Findings,
) -> Option<raw::Value> {
    let text = row.take(name, column, f)?;
    let bracket = text.find('(').map(|i| text[..i].trim());
    if !matches!(bracket, Some("Lab" | "Spectrum")) {
        return Some(raw::Value::Text(text.to_owned()));
    }
    let value = parse_value(text);
    if value.is_none() {
        let message = format!("'{text}' is not a colour value");
        let help = "write #rrggbb, Lab(62.5, 10, -4), or fill the columns L*, a* and b*";
        fault(row, name, column, Fault::value(message, help), f);
    }
    value
}

/// What numbers are written with.
const DIGITS: &str = "write digits only";

/// What is wrong with a cell.
struct Fault {
    code: &'static str,
    message: String,
    help: String,
}

impl Fault {
    fn value(message: String, help: &str) -> Fault {
        Fault { code: "wrong-value", message, help: help.to_owned() }
    }
}

fn fault(
    row: &mut Row<'_>,
    name: &str,
    column: Option<usize>,
    Fault { code, message, help }: Fault,
    f: &mut Findings,
) {
    let Some(column) = column else { return };
    let place = row.grid.span(row.row, column);
    f.push(Diagnostic::error(code, message).at(place).help(help));
    row.fault(name, column);
}
