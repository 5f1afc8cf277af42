//! What a cell holds: values, sizes, years and marks, in the forms in which people write them.

use super::headings;
use crate::graphic::Rgb;
use crate::read::raw;
use crate::read::table::{self, Mark};

/// Which of the two a bare triple of numbers is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Triple {
    /// Lab where it cannot be red, green and blue.
    Either,
    Rgb,
    Lab,
}

/// A colour value as range tables write it: `#rrggbb`, `Lab(l, a, b)` or a spectrum.
pub fn value(text: &str, triple: Triple) -> Option<String> {
    let text = text.trim();
    if let Some(hex) = hex(text) {
        return Some(hex);
    }
    let lower = text.to_lowercase();
    if lower.starts_with("spectrum") {
        return table::parse_value(text).filter(sensible).map(|_| text.to_owned());
    }
    if let Some(rest) = ["cielab", "cie lab", "lab"].iter().find_map(|w| lower.strip_prefix(w)) {
        return lab(three(rest)?);
    }
    if let Some(rest) = lower.strip_prefix("rgb").or_else(|| lower.strip_prefix("srgb")) {
        return rgb(three(rest)?);
    }
    let [x, y, z] = three(&lower)?;
    match triple {
        Triple::Lab => lab([x, y, z]),
        Triple::Rgb => rgb([x, y, z]),
        Triple::Either => rgb([x, y, z]).or_else(|| lab([x, y, z])),
    }
}

/// Does it look like a value in any column? Six digits may be a number as well.
pub fn surely_value(text: &str) -> bool {
    let marked = text.starts_with('#') || text.contains('(');
    marked && value(text, Triple::Either).is_some()
}

/// `#rrggbb` of `#rrggbb`, `#rgb`, `rrggbb` and `0xrrggbb`.
fn hex(text: &str) -> Option<String> {
    let bare = text.strip_prefix("0x").or_else(|| text.strip_prefix('#'));
    let digits = bare.unwrap_or(text).trim();
    if !digits.bytes().all(|b| b.is_ascii_hexdigit()) {
        return None;
    }
    let long: String = match digits.len() {
        6 => digits.to_owned(),
        3 if bare.is_some() => digits.chars().flat_map(|c| [c, c]).collect(),
        // The last two mean that nothing shows through.
        8 if bare.is_some() && digits.to_lowercase().ends_with("ff") => digits[..6].to_owned(),
        _ => return None,
    };
    Some(format!("#{}", long.to_lowercase()))
}

/// `Lab(l, a, b)`, if the numbers can be that.
pub fn lab([l, a, b]: [f64; 3]) -> Option<String> {
    let strong = |v: f64| (-160.0..=160.0).contains(&v);
    ((0.0..=100.0).contains(&l) && strong(a) && strong(b)).then(|| format!("Lab({l}, {a}, {b})"))
}

/// `#rrggbb`, if the numbers are whole and from 0 to 255.
pub fn rgb(numbers: [f64; 3]) -> Option<String> {
    let byte = |v: f64| (v.fract() == 0.0 && (0.0..=255.0).contains(&v)).then_some(v as u8);
    let [r, g, b] = numbers.map(byte);
    Some(Rgb(r?, g?, b?).hex())
}

/// A number with a point or a comma, as range tables read it.
pub fn number(text: &str) -> Option<f64> {
    table::parse_decimal(&text.replace(['\u{2212}', '\u{2013}'], "-"))
}

/// Three numbers: with blanks, commas or semicolons between, decimal points or commas in them,
/// brackets around and letters before them.
fn three(text: &str) -> Option<[f64; 3]> {
    let inner = text.trim().trim_matches(['(', ')', '[', ']', ':', '=']).trim();
    let cut: Vec<&str> = if inner.contains([';', '/']) {
        inner.split([';', '/']).collect()
    } else if inner.split_whitespace().count() == 3 {
        inner.split_whitespace().map(|part| part.trim_end_matches(',')).collect()
    } else {
        inner.split(',').collect()
    };
    let bare = |part: &str| {
        let part = part.trim();
        number(part.trim_start_matches(|c: char| c.is_alphabetic() || "*=: ".contains(c)))
    };
    let numbers: Vec<f64> = cut.into_iter().map(bare).collect::<Option<_>>()?;
    <[f64; 3]>::try_from(numbers).ok()
}

/// Can a spectrum be used? What the check of a range allows.
fn sensible(value: &raw::Value) -> bool {
    let raw::Value::Spectrum(spectrum) = value else { return false };
    let (Some(from), Some(values)) = (spectrum.from, &spectrum.values) else { return false };
    let step = spectrum.step.unwrap_or(10.0);
    let last = from + step * values.len().saturating_sub(1) as f64;
    (1.0..=20.0).contains(&step)
        && (2..=1000).contains(&values.len())
        && (300.0..=420.0).contains(&from)
        && (680.0..=1000.0).contains(&last)
        && values.iter().all(|v| (0.0..=2.0).contains(v))
}

/// Width and height in mm: `15`, `15 mm`, `1,5 cm`, `Ø 15`, `18 x 6`, `24 lignes`, `1/2 in`.
pub fn size(text: &str) -> Option<(f64, f64)> {
    let lower = text.to_lowercase().replace(['ø', '⌀', '~'], " ");
    let lower = lower.trim().trim_start_matches("ca.").trim_start_matches("diameter").trim();
    let (numbers, unit) = unit(lower);
    let sides: Vec<&str> = numbers.split(['x', '×', '*']).map(str::trim).collect();
    let mm = |side: &str| {
        let side = self::unit(side).0;
        let length = match side.split_once('/') {
            Some((over, under)) => number(over)? / number(under)?,
            None => number(side)?,
        };
        let length = (length * unit * 1000.0).round() / 1000.0;
        (0.2..=500.0).contains(&length).then_some(length)
    };
    match sides.as_slice() {
        [one] => mm(one).map(|d| (d, d)),
        [w, h] => Some((mm(w)?, mm(h)?)),
        // The third is the thickness.
        [w, h, t] => mm(t).and(Some((mm(w)?, mm(h)?))),
        _ => None,
    }
}

/// The text before a unit, and the unit in mm.
fn unit(text: &str) -> (&str, f64) {
    // 40 lignes are an inch (trade of buttons; common practice, no source).
    const UNITS: [(&str, f64); 12] = [
        ("mm", 1.0),
        ("cm", 10.0),
        ("inches", 25.4),
        ("inch", 25.4),
        ("in", 25.4),
        ("\"", 25.4),
        ("″", 25.4),
        ("zoll", 25.4),
        ("lignes", 0.635),
        ("ligne", 0.635),
        ("lines", 0.635),
        ("linien", 0.635),
    ];
    let found =
        UNITS.iter().find_map(|(word, mm)| text.strip_suffix(word).map(|t| (t.trim(), *mm)));
    found.unwrap_or((text, 1.0))
}

/// A mark, with words for yes and no that only people use.
pub fn mark(text: &str) -> Option<Mark> {
    table::mark(text)
        .or_else(|| headings::yes_or_no(text).map(|yes| if yes { Mark::Made } else { Mark::Not }))
}

/// First and last year of `2016-2024`, `2016–`, `since 2016`, `bis 2020` or `2016`.
pub fn years(text: &str) -> Option<(Option<i64>, Option<i64>)> {
    let lower = text.trim().to_lowercase();
    let english = [("ab ", "from "), ("seit ", "from "), ("bis ", "to "), ("till ", "to ")];
    let text = english
        .iter()
        .find_map(|(word, same)| lower.strip_prefix(word).map(|rest| format!("{same}{rest}")))
        .unwrap_or(lower);
    match table::mark(&text) {
        Some(Mark::Years(from, to)) => {
            // One year alone is the year it began.
            let to = to.filter(|to| Some(*to) != from || text.contains(['-', '–']));
            let known = |y: Option<i64>| y.is_none_or(|y| (1800..=2200).contains(&y));
            let order = from.zip(to).is_none_or(|(from, to)| from <= to);
            (known(from) && known(to) && order).then_some((from, to))
        }
        _ => None,
    }
}

/// A year alone.
pub fn year(text: &str) -> Option<i64> {
    match years(text)? {
        (Some(year), None) | (None, Some(year)) => Some(year),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_as_people_write_them() {
        for (text, want) in [
            ("#f8F7f3", "#f8f7f3"),
            ("f8f7f3", "#f8f7f3"),
            ("#abc", "#aabbcc"),
            ("#aabbccff", "#aabbcc"),
            ("0x1e3050", "#1e3050"),
            ("20 30 40", "#141e28"),
            ("20, 30, 40", "#141e28"),
            ("20/30/40", "#141e28"),
            ("rgb(20 30 40)", "#141e28"),
            ("RGB 20,30,40", "#141e28"),
            ("R20 G30 B40", "#141e28"),
            ("Lab(28.4 24.1 3.9)", "Lab(28.4, 24.1, 3.9)"),
            ("Lab(28.4, 24.1, 3.9)", "Lab(28.4, 24.1, 3.9)"),
            ("lab 28,4 24,1 -3,9", "Lab(28.4, 24.1, -3.9)"),
            ("28,4; 24,1; −3,9", "Lab(28.4, 24.1, -3.9)"),
            ("L*=28.4 a*=24.1 b*=3.9", "Lab(28.4, 24.1, 3.9)"),
        ] {
            assert_eq!(value(text, Triple::Either).as_deref(), Some(want), "{text}");
        }
        assert_eq!(value("50 10 20", Triple::Lab).as_deref(), Some("Lab(50, 10, 20)"));
        for text in [
            "light blue",
            "abc",
            "12345",
            "#12",
            "Lab(128 0 0)",
            "rgb(300 0 0)",
            "28,4,24,1,3,9",
            "",
        ] {
            assert_eq!(value(text, Triple::Either), None, "{text}");
        }
        assert!(surely_value("#abc") && !surely_value("123456"));
    }

    #[test]
    fn sizes_and_years() {
        for (text, want) in [
            ("15", (15.0, 15.0)),
            ("15 mm", (15.0, 15.0)),
            ("1,5 cm", (15.0, 15.0)),
            ("Ø 11,5", (11.5, 11.5)),
            ("18 x 6", (18.0, 6.0)),
            ("18mm × 6mm", (18.0, 6.0)),
            ("24 lignes", (15.24, 15.24)),
            ("1/2 in", (12.7, 12.7)),
            ("30 x 9 x 4 mm", (30.0, 9.0)),
        ] {
            assert_eq!(size(text), Some(want), "{text}");
        }
        assert_eq!((size("small"), size("0"), size("9000"), size("")), (None, None, None, None));
        assert_eq!(years("2016–2024"), Some((Some(2016), Some(2024))));
        assert_eq!(years("seit 2016"), Some((Some(2016), None)));
        assert_eq!(years("bis 2020"), Some((None, Some(2020))));
        assert_eq!(years("2016"), Some((Some(2016), None)));
        assert_eq!((years("2024-2016"), years("x"), years("1066")), (None, None, None));
        assert_eq!(mark("ja"), Some(Mark::Made));
    }
}
