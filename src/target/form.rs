//! The form for what is seen by eye: which patch is most like the part.

use std::path::Path;

use super::wanted::CellWanted;
use crate::diag::{Diagnostic, Findings, Sources};
use crate::read::cells;
use crate::read::cells::heads::{self, Head};
use crate::supplies::Naming;

/// Its columns.
const HEADINGS: [&str; 5] = ["place", "number", "colour", "part", "nearest"];

/// What somebody saw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
    /// One of the patches; 0 is the middle.
    Patch(usize),
    /// Between two of them.
    Between(usize, usize),
    /// None of them is like it.
    None,
}

/// A line of the form that has an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormLine {
    /// The number of the place, from 1.
    pub place: usize,
    pub answer: Answer,
}

/// The form, to be filled in: CSV with a mark, as spreadsheets know it.
///
/// # Errors
/// It cannot be written; a plain sentence gives the reason.
pub fn form(cells: &[CellWanted], naming: &Naming<'_>) -> Result<Vec<u8>, String> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer("\u{feff}".as_bytes().to_vec());
    writer.write_record(HEADINGS).map_err(|e| e.to_string())?;
    for (i, cell) in cells.iter().enumerate() {
        let number = naming.colour_number(cell.colour).unwrap_or_default().to_owned();
        let name = naming.colour_name(cell.colour);
        let row = [(i + 1).to_string(), number, name, naming.part(cell.part), String::new()];
        writer.write_record(&row).map_err(|e| e.to_string())?;
    }
    writer.into_inner().map_err(|e| e.to_string())
}

/// Reads a form that was filled in; `places` is how many the target has. Lines without an answer are left out.
///
/// # Errors
/// Every line that cannot be understood.
pub fn read_form(
    file: &Path,
    places: usize,
    sources: &mut Sources,
) -> Result<Vec<FormLine>, Findings> {
    let grid = cells::read(file, None, None, sources)?;
    let mut findings = grid.remarks();
    let wanted = [Head::new("place", &[]).needed(), Head::new("nearest", &["answer"]).needed()];
    let own = heads::Own::Renamed("name the columns 'place' and 'nearest', each once");
    let heads = heads::find(&grid, &wanted, own, &mut findings);
    let Some(heads) = heads else { return Err(findings) };
    let [Some(place), Some(nearest)] = heads.columns[..] else { return Err(findings) };
    let mut lines: Vec<FormLine> = Vec::new();
    for row in heads.rows(&grid) {
        let text = grid.at(row, nearest).trim();
        if text.is_empty() {
            continue;
        }
        let number = grid.at(row, place).trim().parse::<usize>().ok();
        let Some(number) = number.filter(|n| (1..=places).contains(n)) else {
            let message = format!("the target has no place '{}'", grid.at(row, place));
            let help = format!("write a number from 1 to {places}, as printed under the place");
            let d = Diagnostic::error("bad-place", message).at(grid.span(row, place));
            findings.push(d.help(help));
            continue;
        };
        if lines.iter().any(|line| line.place == number) {
            let message = format!("place {number} appears a second time");
            let d = Diagnostic::error("double-place", message).at(grid.span(row, place));
            findings.push(d.help("keep the line that is right"));
            continue;
        }
        match answer(text) {
            Some(answer) => lines.push(FormLine { place: number, answer }),
            None => {
                let message = format!("'{text}' is not an answer");
                let help = "write the number of the patch (0 is the middle), 3-4 for between 3 and 4, or none";
                let d = Diagnostic::error("bad-answer", message).at(grid.span(row, nearest));
                findings.push(d.help(help));
            }
        }
    }
    if findings.failed() { Err(findings) } else { Ok(lines) }
}

/// '3', '3-4', 'between 3 and 4', 'none'.
fn answer(text: &str) -> Option<Answer> {
    let text = text.to_lowercase();
    if matches!(text.as_str(), "none" | "-" | "no") {
        return Some(Answer::None);
    }
    let words = text.split(|c: char| !c.is_alphanumeric());
    let words: Vec<&str> = words.filter(|w| !["", "between", "and", "to"].contains(w)).collect();
    let patch = |word: &str| word.parse::<usize>().ok().filter(|n| *n <= 8);
    match words[..] {
        [one] => patch(one).map(Answer::Patch),
        [one, other] => match (patch(one)?, patch(other)?) {
            (a, b) if a != b => Some(Answer::Between(a, b)),
            _ => None,
        },
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn answers_as_people_write_them() {
        for (text, wanted) in [
            ("3", Some(Answer::Patch(3))),
            ("0", Some(Answer::Patch(0))),
            ("3-4", Some(Answer::Between(3, 4))),
            ("Between 3 and 4", Some(Answer::Between(3, 4))),
            ("3 / 8", Some(Answer::Between(3, 8))),
            ("None", Some(Answer::None)),
            ("9", None),
            ("3-3", None),
            ("3-4-5", None),
            ("light", None),
        ] {
            assert_eq!(answer(text), wanted, "{text}");
        }
    }
}
