use std::path::Path;
use std::sync::Arc;

use super::*;

fn example() -> (Vec<Diagnostic>, Sources) {
    let mut sources = Sources::default();
    let file = Path::new("a.ron");
    sources.add(file, "(\n    Ärger: 1,\n)\n".into());
    let span = Some(Span { file: file.into(), range: 6..12 });
    let d = Diagnostic::error("unknown-field", "no field").at(span).help("remove it");
    (vec![d, Diagnostic::warning("w", "alone")], sources)
}

#[test]
fn quotes_the_line() {
    let (list, sources) = example();
    let text = render(&list, &sources, false);
    let whole = "Error in a.ron, line 2, column 5\n    Ärger: 1,\n    ^^^^^\n  No field\n  Suggestion: remove it\n\nWarning: Alone\n\n";
    assert_eq!(text, whole);
    assert!(!text.contains('\u{1b}') && render(&list, &sources, true).contains('\u{1b}'));
}

#[test]
fn one_line_and_json() {
    let (list, sources) = example();
    assert_eq!(line(&list[0], &sources), "a.ron, line 2, column 5: error: no field (remove it)");
    assert_eq!(line(&list[1], &sources), "warning: alone");
    let json: serde_json::Value = serde_json::from_str(&json(&list, &sources)).unwrap();
    assert_eq!(json[0]["line"], 2);
    assert_eq!(json[1]["file"], serde_json::Value::Null);
}

#[test]
fn nothing_steers_the_terminal() {
    let mut sources = Sources::default();
    let file = Path::new("a.ron");
    sources.add(file, "(\u{1b}[2J\u{9b}x)".into());
    let span = Some(Span { file: file.into(), range: 6..8 });
    let d = Diagnostic::error("c", "bad \u{1b}[31m".repeat(200)).at(span).help("\u{7}");
    let text = render(std::slice::from_ref(&d), &sources, false) + &line(&d, &sources);
    assert!(!text.contains(['\u{1b}', '\u{9b}', '\u{7}']) && text.len() < 3000, "{text:?}");
}

#[test]
fn odd_places_do_not_stop_it() {
    let (mut list, sources) = example();
    // The last but one runs backwards, as a wrong place may.
    for (start, end) in [(0, 0), (3, 900), (7, 8), (900, 901), (12, 6), (19, 19)] {
        let range = start..end;
        list[0].span.as_mut().unwrap().range = range;
        render(&list, &sources, false);
        line(&list[0], &sources);
    }
}

/// 845 rows of one misspelt family, and as many families each misspelt in its own way.
#[test]
fn many_take_few_lines() {
    let mut sources = Sources::default();
    let file: Arc<Path> = Path::new("c.csv").into();
    sources.add(&file, "perl\n".repeat(900).into());
    let at = |row: usize| Some(Span { file: file.clone(), range: row * 5..row * 5 + 4 });
    let fault = |row, family: &str| {
        let message = format!("there is no family '{family}'");
        Diagnostic::error("unknown-family", message).at(at(row)).help("did you mean 'pearl'?")
    };
    let same: Vec<Diagnostic> = (0..845).map(|row| fault(row, "perl")).collect();
    let text = render(&same, &sources, false);
    assert!(text.contains("c.csv, line 1, column 1") && text.lines().count() < 10, "{text}");
    assert!(
        text.contains("Also in line 2, column 1; line 3, column 1; and 842 more places"),
        "{text}"
    );
    let list: serde_json::Value = serde_json::from_str(&json(&same, &sources)).unwrap();
    assert_eq!((list.as_array().unwrap().len(), &list[0]["count"]), (1, &845.into()));
    assert_eq!(list[0]["places"][844], serde_json::json!([845, 1]));
    assert_eq!(csv(&same, &sources).lines().count(), 846);
    let other: Vec<Diagnostic> = (0..845).map(|row| fault(row, &format!("f{row}"))).collect();
    let text = render(&other, &sources, false);
    assert_eq!(text.matches("Error in ").count(), ALIKE, "{text}");
    assert!(text.contains("... and 835 more errors of this kind"), "{text}");
    // Errors are not crowded out by notes before them.
    let codes: Vec<&'static str> = (0..150).map(|i| &*format!("n{i}").leak()).collect();
    let mut mixed: Vec<Diagnostic> =
        codes.iter().map(|c| Diagnostic::hint(c, "m").at(at(0))).collect();
    mixed.push(fault(800, "perl"));
    let text = render(&mixed, &sources, false);
    assert!(text.contains("Error in c.csv, line 801") && text.contains("and 51 more"), "{text}");
}

#[test]
fn places_in_a_workbook_are_cells() {
    let mut sources = Sources::default();
    let file = Path::new("c.xlsx [2026]");
    sources.add_cells(file, "key\tfamily\na\tperl\nb\tperl\n".into());
    let at = |start| Some(Span { file: file.into(), range: start..start + 4 });
    let of = |start| Diagnostic::error("unknown-family", "no family 'perl'").at(at(start));
    let text = render(&[of(13), of(20)], &sources, false);
    assert!(
        text.contains("c.xlsx [2026], cell B2\n") && text.contains("Also in cell B3\n"),
        "{text}"
    );
}

/// The mark is under the place, whatever is before it and however long the line is.
#[test]
fn a_long_line_is_quoted_around_the_place() {
    let mut sources = Sources::default();
    let file = Path::new("a.csv");
    for (before, after) in [(0, 0), (20, 500), (500, 0), (500, 500), (90, 3), (2_000_000, 5)] {
        let text = format!("first\n{}é日{}\n", "né,日 ".repeat(before / 5), "x ".repeat(after));
        let start = text.find("é日").filter(|_| before == 0).or_else(|| text.rfind("é日"));
        let start = start.expect("there");
        sources.add(file, text.into());
        let span = Span { file: file.into(), range: start..start + 5 };
        let quote = Quote::of(&span, &sources).expect("a line");
        let columns = |s: &str| unicode_width::UnicodeWidthStr::width(s);
        assert!(columns(&quote.line) <= 140, "{}", quote.line);
        let at = quote.line.rfind("é日").expect("the place is shown");
        assert_eq!((columns(&quote.line[..at]), 3), (quote.indent, quote.marks), "{}", quote.line);
    }
}
