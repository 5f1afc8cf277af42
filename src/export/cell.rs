//! What a cell holds: a quantity as a number, all else as text.

use std::fmt;

/// A spreadsheet keeps so many digits of a number; what has more is written as text.
const DIGITS: usize = 15;

/// One cell of a table.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Cell {
    #[default]
    Empty,
    Text(String),
    /// A number whose shortest decimal form is that of the range.
    Number(f64),
}

impl Cell {
    /// A text; empty where there is none.
    pub fn text(text: impl Into<String>) -> Cell {
        let text = text.into();
        if text.is_empty() { Cell::Empty } else { Cell::Text(text) }
    }

    /// A year.
    pub fn year(year: Option<u16>) -> Cell {
        year.map_or(Cell::Empty, |year| Cell::Number(f64::from(year)))
    }

    /// A text that is a number where nothing of it is lost: `9.5` is, `007`, `4.0` and `1E5` are not.
    pub fn measure(text: &str) -> Cell {
        match text.parse::<f64>() {
            Ok(n) if plain(text) && kept(n) && n.to_string() == text => Cell::Number(n),
            _ => Cell::text(text),
        }
    }

    /// Does it hold nothing?
    pub fn is_empty(&self) -> bool {
        *self == Cell::Empty
    }
}

/// The cells of a column of names or numbers of things: numbers where every one of them is a whole number
/// without zeros before it, so that a spreadsheet sorts the column in one way.
pub fn identifiers<'a>(texts: impl Iterator<Item = Option<&'a String>> + Clone) -> Vec<Cell> {
    let whole =
        |text: &String| !text.contains('.') && matches!(Cell::measure(text), Cell::Number(_));
    let all = texts.clone().flatten().all(whole);
    let cell = |text: &String| if all { Cell::measure(text) } else { Cell::text(text) };
    texts.map(|text| text.map_or(Cell::Empty, cell)).collect()
}

/// Can a spreadsheet keep this number to its last digit?
pub fn kept(number: f64) -> bool {
    let text = number.to_string();
    number.is_finite() && text.bytes().filter(u8::is_ascii_digit).count() <= DIGITS
}

/// Digits, and at most one point among them.
fn plain(text: &str) -> bool {
    let ends = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    ends(text.chars().next())
        && ends(text.chars().next_back())
        && text.bytes().all(|b| b.is_ascii_digit() || b == b'.')
}

impl fmt::Display for Cell {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Cell::Empty => Ok(()),
            Cell::Text(text) => f.write_str(text),
            Cell::Number(n) => n.fmt(f),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_those_of_which_nothing_is_lost() {
        for number in ["0", "7", "101", "9.5", "0.25", "123456789012345"] {
            assert_eq!(Cell::measure(number), Cell::Number(number.parse().unwrap()), "{number}");
        }
        for text in [
            "007",
            "1E5",
            "1e5",
            "4.0",
            "+3",
            "-3",
            "15 × 5",
            "1.",
            ".5",
            "1.2.3",
            "inf",
            "NaN",
            "0x10",
            "1234567890123456",
            "10-12",
            "1,5",
            "٣",
        ] {
            assert_eq!(Cell::measure(text), Cell::Text(text.to_owned()), "{text}");
        }
        assert_eq!(Cell::measure(""), Cell::Empty);
    }

    #[test]
    fn one_text_among_identifiers_makes_all_of_them_text() {
        let cells = |texts: &[&str]| {
            let texts: Vec<String> = texts.iter().map(|t| (*t).to_owned()).collect();
            identifiers(texts.iter().map(Some).chain([None]))
        };
        assert_eq!(cells(&["7", "42"]), [Cell::Number(7.0), Cell::Number(42.0), Cell::Empty]);
        assert_eq!(cells(&["007", "42"])[1], Cell::Text("42".to_owned()));
        assert_eq!(cells(&["9.5", "42"])[1], Cell::Text("42".to_owned()));
    }
}
