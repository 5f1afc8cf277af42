//! What spreadsheets do to numbers on their way through a CSV file.

use std::path::Path;

use super::grid::{Cell, CellKind};
use crate::diag::{Diagnostic, Findings, Span};

/// Marks cells that look like dates, and takes the point from columns in which
/// every number has been given one: 4.0 was typed as 4. `notes`: which these are.
pub fn plain(text: &str, rows: &mut [Vec<Cell>], file: &Path, notes: &mut Findings) {
    let shown = |cell: &Cell| cell.own.as_deref().unwrap_or(&text[cell.range()]).to_owned();
    for cell in rows.iter_mut().flatten() {
        if looks_like_date(&shown(cell)) {
            cell.kind = CellKind::DateLike;
        }
    }
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    for column in 0..columns {
        let floats = |cell: &Cell| whole_float(&shown(cell)).is_some();
        let digits = |cell: &Cell| {
            let text = shown(cell);
            !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())
        };
        let of_column = || rows.iter().filter_map(|r| r.get(column));
        let Some(first) = of_column().find(|c| floats(c)).map(Cell::range) else { continue };
        if of_column().filter(|c| floats(c)).count() < 2 || of_column().any(digits) {
            continue;
        }
        notes.push(
            Diagnostic::hint(
                "float-numbers",
                "the numbers in this column end in .0, which is ignored",
            )
            .at(Some(Span { file: file.into(), range: first }))
            .help("format the column as text before you save it"),
        );
        for cell in rows.iter_mut().filter_map(|r| r.get_mut(column)) {
            if let Some(whole) = whole_float(&shown(cell)) {
                cell.own = Some(whole.into());
            }
        }
    }
}

/// '4' of '4.0' or '4.00'.
fn whole_float(text: &str) -> Option<&str> {
    let (whole, rest) = text.split_once('.')?;
    let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    (digits(whole) && !rest.is_empty() && rest.bytes().all(|b| b == b'0')).then_some(whole)
}

/// 10-Dec, Dec-26, 2026-12-10, 10/12/2026.
fn looks_like_date(text: &str) -> bool {
    if text.len() < 5 || text.len() > 11 || !text.is_ascii() {
        return false;
    }
    let parts: Vec<&str> = text.split(['-', '/']).collect();
    let number = |s: &str, lengths: &[usize]| {
        lengths.contains(&s.len()) && s.bytes().all(|b| b.is_ascii_digit())
    };
    let month = |s: &str| {
        ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
            .contains(&s.to_lowercase().as_str())
    };
    match parts.as_slice() {
        [d, m] => (number(d, &[1, 2]) && month(m)) || (month(d) && number(m, &[2])),
        [a, b, c] => {
            (number(a, &[4]) && number(b, &[2]) && number(c, &[2]))
                || (number(a, &[1, 2]) && (number(b, &[1, 2]) || month(b)) && number(c, &[2, 4]))
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_known_by_their_look() {
        for date in ["10-Dec", "Dec-26", "2026-12-10", "10/12/2026", "1-Feb-26"] {
            assert!(looks_like_date(date), "{date}");
        }
        for other in ["10-12", "b-9", "1990-2001", "1990-", "11-104-2", "May", "3/4", "12-345"] {
            assert!(!looks_like_date(other), "{other}");
        }
    }
}
