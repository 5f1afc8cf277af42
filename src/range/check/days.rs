//! Years, and days of the calendar.

use time::{Date, Month};

use crate::diag::{Diagnostic, Findings};
use crate::read::ron::Place;

/// Years that are believed.
pub const YEARS: std::ops::RangeInclusive<i64> = 1800..=2200;

/// A plausible year.
pub fn year(raw: Option<i64>, place: Place, findings: &mut Findings) -> Option<u16> {
    let y = raw?;
    if !YEARS.contains(&y) {
        findings.push(
            Diagnostic::error(
                "bad-year",
                format!("the year must be from {} to {}, not {y}", YEARS.start(), YEARS.end()),
            )
            .at(place.span())
            .help("write the year with four digits"),
        );
        return None;
    }
    u16::try_from(y).ok()
}

/// A day as `2026-03-01` (ISO 8601), in a year that can be meant.
pub fn issue_date(raw: Option<String>, place: Place, findings: &mut Findings) -> Option<Date> {
    let text = raw?;
    let date = day(&text);
    if date.is_none() {
        findings.push(
            Diagnostic::error("bad-date", format!("'{text}' is not a date")).at(place.span()).help(
                "write year, month and day with hyphens, for example issue_date: \"2026-03-01\"",
            ),
        );
    }
    date
}

fn day(text: &str) -> Option<Date> {
    let number = |s: &str, digits: usize| {
        let plain = s.len() == digits && s.bytes().all(|b| b.is_ascii_digit());
        plain.then(|| s.parse::<u16>().ok()).flatten()
    };
    let mut parts = text.split('-');
    let year = number(parts.next()?, 4).filter(|&y| YEARS.contains(&i64::from(y)))?;
    let month = u8::try_from(number(parts.next()?, 2)?).ok()?;
    let day = u8::try_from(number(parts.next()?, 2)?).ok()?;
    let month = Month::try_from(month).ok()?;
    let date = Date::from_calendar_date(i32::from(year), month, day).ok()?;
    parts.next().is_none().then_some(date)
}

#[cfg(test)]
mod tests {
    use super::day;

    #[test]
    fn days_are_those_of_the_calendar() {
        // By the Gregorian rule for leap years: 2000 is one, 1900 and 2100 are none.
        for text in ["2026-03-01", "2024-02-29", "2000-02-29", "1800-01-01", "2200-12-31"] {
            assert_eq!(day(text).map(|d| d.to_string()).as_deref(), Some(text));
        }
        for text in [
            "2026-02-29",
            "2100-02-29",
            "1900-02-29",
            "2026-13-01",
            "2026-00-10",
            "2026-04-31",
            "2026-04-00",
            "26-04-01",
            "2026-4-1",
            "2026/04/01",
            "2026-04",
            "2026-04-01-01",
            "",
            "+026-04-01",
            "1799-12-31",
            "2201-01-01",
            "1 March 2026",
            "٢٠٢٦-٠٣-٠١",
        ] {
            assert_eq!(day(text), None, "{text}");
        }
    }
}
