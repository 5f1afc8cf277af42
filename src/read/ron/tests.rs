//! One pass finds every fault, each at its place.

use std::collections::BTreeMap;
use std::path::Path;

use serde::Deserialize;

use super::{Spanned, decode, decode_value};
use crate::diag::Findings;
use crate::read::raw::Pairs;

#[derive(Debug, PartialEq, Deserialize)]
struct Box {
    title: String,
    size: Spanned<Size>,
    count: Option<u16>,
    lines: Option<Vec<Line>>,
    inks: Option<BTreeMap<String, Spanned<String>>>,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(expecting = "a size; write Mm(10, 20)")]
enum Size {
    Mm(f64, f64),
    Named(String),
    Free,
}

#[derive(Debug, PartialEq, Deserialize)]
struct Line {
    key: Spanned<Option<String>>,
    share: Option<Share>,
}

#[derive(Debug, PartialEq, Deserialize)]
#[serde(try_from = "f64")]
struct Share(f64);

impl TryFrom<f64> for Share {
    type Error = String;

    fn try_from(v: f64) -> Result<Share, String> {
        let good = (0.0..=1.0).contains(&v);
        good.then_some(Share(v)).ok_or_else(|| format!("{v} is no share; write 0.5"))
    }
}

/// The value, and what is wrong: where, and in which words.
fn read(text: &str) -> (Option<Box>, Vec<String>) {
    let mut findings = Findings::default();
    let doc = decode::<Box>(Path::new("b.ron"), text, "Box", &mut findings);
    let found = findings.sorted().into_iter().map(|d| {
        let range = d.span.expect("a place").range;
        assert!(d.help.is_some(), "{}", d.message);
        format!("{} | {}", &text[range], d.message)
    });
    (doc.map(|doc| doc.value), found.collect())
}

#[test]
fn nothing_wrong() {
    let text =
        r#"Box(title: "a \"b\"", size: Mm(1, 2.5), lines: [(key: "k"), ()], inks: {"x": "y"})"#;
    let (value, found) = read(text);
    assert!(found.is_empty(), "{found:?}");
    let value = value.expect("a value");
    assert_eq!((value.title.as_str(), value.count), ("a \"b\"", None));
    assert_eq!(&text[value.size.range.clone()], "Mm(1, 2.5)");
    let lines = value.lines.expect("lines");
    let [first, second] = &lines[..] else { panic!("{lines:?}") };
    assert_eq!((first.key.as_deref(), &text[first.key.range.clone()]), (Some("k"), "\"k\""));
    // What is left out has its place in the opening bracket.
    assert_eq!((second.key.as_deref(), &text[second.key.range.clone()]), (None, "("));
    assert_eq!(value.inks.expect("inks")["x"].value, "y");
}

#[test]
fn places_do_not_count_for_equality() {
    let at = |start: usize| Spanned { value: 5, range: start..start + 1 };
    assert_eq!(at(3), at(7));
    assert_ne!(at(3), Spanned { value: 6, ..at(3) });
}

#[test]
fn one_pass_finds_every_fault() {
    let text = r#"Box(
        titel: "t", size: Mm("wide", 2), count: -4, count: 5,
        lines: [(key: 7), (key: "k", shar: 1), 12, (key: "l")],
        inks: {"x": [], y: "z"},
    )"#;
    let (value, found) = read(text);
    assert_eq!(
        found,
        [
            "titel | unknown field 'titel'",
            "\"wide\" | 'size' must be a number, not \"wide\"",
            "-4 | 'count' must be a whole number of 0 or more, not -4",
            "count | the field 'count' is given twice",
            "7 | 'key' must be a text in quotes, not 7",
            "shar | unknown field 'shar'",
            "12 | an item of this list must be fields in round brackets, not 12",
            "[] | 'x' must be a text in quotes, not []",
            "y | 'y' has no quotes",
        ]
    );
    // What is right is there to be checked; what is wrong is left out.
    let value = value.expect("the rest");
    let keys = value.lines.expect("lines").into_iter().map(|l| l.key.value);
    assert_eq!(keys.collect::<Vec<_>>(), [None, Some("k".to_owned()), Some("l".to_owned())]);
    assert_eq!((value.count, value.inks), (None, Some(BTreeMap::new())));
}

#[test]
fn every_missing_field_is_found() {
    let (_, found) = read("Box(lines: [(share: 0.2)])");
    assert_eq!(found, ["Box( | 'title' is missing here", "Box( | 'size' is missing here"]);
}

#[test]
fn a_refused_value_does_not_hide_what_follows() {
    let text =
        r#"Box(title: "t", size: Free, lines: [(share: 2), (share: 3), (share: "a")], count: "9")"#;
    let (value, found) = read(text);
    assert_eq!(
        found,
        [
            "2 | 'share': 2 is no share",
            "3 | 'share': 3 is no share",
            "\"a\" | 'share' must be a number, not \"a\"",
            "\"9\" | 'count' must be a whole number, not \"9\"",
        ]
    );
    assert_eq!(value.expect("the rest").lines.expect("lines").len(), 3);
}

#[test]
fn variants() {
    for (size, expected) in [
        ("12", "12 | 'size' must be a size, not 12"),
        ("é(1)", "é | 'é' is not a value of 'size'"),
        ("é", "é | 'é' is not a value of 'size'"),
        ("§", "§ | 'size' must be a size, not §"),
        ("Mn(1, 2)", "Mn | 'Mn' is not a value of 'size'"),
        ("Mm(1)", "Mm(1) | 'size' must be a size, not Mm(1)"),
        ("Mm", "Mm | 'size' must be a word with its values in brackets, not Mm"),
        ("Free(1)", "Free(1) | 'size' must be a word without brackets, not Free(1)"),
        ("Named(5)", "5 | 'size' must be a text in quotes, not 5"),
        ("Mm(width: 1)", "Mm(width: 1) | 'size' must be a size, not Mm(width: 1)"),
    ] {
        let (_, found) = read(&format!("Box(title: \"t\", size: {size})"));
        assert_eq!(found, [expected], "{size}");
    }
    let named = Size::Named("A4".to_owned());
    assert_eq!(decode_value::<Size>("Named(\"A4\")"), Some(named));
    assert_eq!(decode_value::<Size>("Named(\"A4\""), None);
}

#[test]
fn brackets_of_the_wrong_kind() {
    for (text, expected) in [
        (
            r#"Box(title: "t", size: Free, lines: {"a": ()})"#,
            r#"{"a": ()} | 'lines' must be a list, not {"a": ()}"#,
        ),
        (
            r#"Box(title: "t", size: Free, inks: {"a", "b": "c"})"#,
            r#"{"a", "b": "c"} | 'inks' must be pairs in curly brackets, not {"a", "b": "c"}"#,
        ),
        (
            r#"Box(title: "t", size: Free, lines: [{"key": "a"}])"#,
            r#"{"key": "a"} | an item of this list must be fields in round brackets, not {"key": "a"}"#,
        ),
        (r#"Box("t", size: Free)"#, r#""t" | this value has no field name"#),
    ] {
        let (_, found) = read(text);
        assert_eq!(found, [expected], "{text}");
    }
}

#[test]
fn pairs_keep_their_order_and_doubles() {
    let pairs: Pairs<u8> = decode_value(r#"{"b": 1, "a": 2, "b": 3}"#).expect("pairs");
    let list: Vec<_> = pairs.0.iter().map(|(key, n)| (key.as_str(), *n)).collect();
    assert_eq!(list, [("b", 1), ("a", 2), ("b", 3)]);
}
