//! Every number of a style, each in turn made something else: refused at its place, or planned and placed.

use std::ops::Range;
use std::path::Path;

use shadecard::diag::Sources;
use shadecard::edition::{Editions, Filter};
use shadecard::files::Files;
use shadecard::range::{Shapes, load_again};
use shadecard::session::Session;

const VALUES: [&str; 6] = ["-5", "0", "0.0001", "0.9", "500", "1e300"];
const SHEET: &str = r#"Sheet(range: "range.ron", title: "Base", year: 2020, style: "own.style.ron",
    lookalikes: (show: 3, limit: 80), notes: ["a note of some words"],
    editions: [(layout: "a4")])"#;

/// Where the numbers of a RON text are, outside of names, texts and comments.
fn numbers(text: &str) -> Vec<Range<usize>> {
    let bytes = text.as_bytes();
    let (mut out, mut at) = (Vec::new(), 0);
    while at < bytes.len() {
        let rest = &text[at..];
        let run = |f: fn(char) -> bool| rest.find(|c| !f(c)).unwrap_or(rest.len());
        at += match bytes[at] {
            b'"' => 2 + rest[1..].find('"').expect("closed"),
            b'/' if rest.starts_with("//") => rest.find('\n').unwrap_or(rest.len()),
            b'-' | b'0'..=b'9' => {
                let length = run(|c| c == '-' || c == '.' || c.is_ascii_digit());
                out.push(at..at + length);
                length
            }
            c if c.is_ascii_alphabetic() || c == b'_' => run(|c| c == '_' || c.is_alphanumeric()),
            _ => run(|c| !"\"/-_".contains(c) && !c.is_alphanumeric()).max(1),
        };
    }
    out
}

/// Of every value: was it accepted, and planned?
fn sweep(style: &str) -> [usize; 3] {
    let base = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/faults/base");
    let read = |name: &str| std::fs::read(base.join(name)).expect("the base");
    let (range, disc) = (read("range.ron"), read("disc.svg"));
    let shapes = Shapes::default();
    let mut workshop = None;
    let [mut refused, mut unplanned, mut placed] = [0; 3];
    for number in numbers(style) {
        for value in VALUES {
            let own = format!("{}{value}{}", &style[..number.start], &style[number.end..]);
            let files = [
                ("range.ron", range.as_slice()),
                ("disc.svg", &disc),
                ("sheet.ron", SHEET.as_bytes()),
                ("own.style.ron", own.as_bytes()),
            ];
            let mut sources = Sources::of(Session::of(Files::in_memory(files)));
            let loaded = load_again(Path::new("sheet.ron"), &mut sources, &shapes);
            let editions =
                loaded.and_then(|l| Editions::resolve(l, &Filter::default(), &mut sources));
            let editions = match editions {
                Ok(editions) => editions,
                Err(findings) => {
                    refused += 1;
                    for fault in findings.sorted() {
                        assert!(fault.help.is_some(), "no way out: {fault:?}");
                    }
                    continue;
                }
            };
            let Ok(planned) = editions.plan(editions.variants().next().expect("an edition")) else {
                unplanned += 1;
                continue;
            };
            let workshop = workshop.get_or_insert_with(|| editions.workshop());
            let sheet = planned.place(workshop);
            placed += 1;
            assert_eq!(sheet.pages.len(), planned.plan.pages.len());
            let shown = format!("{sheet:?}");
            let near = &style[number.start.saturating_sub(60)..number.end];
            assert!(
                !shown.contains("NaN") && !shown.contains("inf"),
                "{value} at the end of {near}"
            );
        }
    }
    [refused, unplanned, placed]
}

fn swept(name: &str) {
    let file = format!("{}/layouts/{name}.style.ron", env!("CARGO_MANIFEST_DIR"));
    let style = std::fs::read_to_string(file).expect("shipped");
    let [refused, unplanned, placed] = sweep(&style);
    assert!(placed > refused && refused > unplanned, "{refused} {unplanned} {placed}");
}

#[test]
fn no_number_of_the_plate_is_too_much() {
    swept("plate");
}

#[test]
fn no_number_of_the_catalogue_is_too_much() {
    swept("catalogue");
}
