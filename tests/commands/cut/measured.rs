//! The file of what was measured: what is read, and what is said where it cannot be.

use std::path::Path;

use shadecard::diag::{Findings, Sources};
use shadecard::labels::offset::{Mark, Measured, read};

fn marks() -> Vec<Mark> {
    (0..9)
        .map(|i| Mark {
            number: i + 1,
            at: (20.0 + 85.0 * (i % 3) as f64, 25.0 + 120.0 * (i / 3) as f64).into(),
        })
        .collect()
}

fn file(name: &str, text: &str) -> (Result<(Measured, Findings), Findings>, Sources) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join(name);
    std::fs::write(&path, text).expect("written");
    let mut sources = Sources::default();
    let read = read(Path::new(&path), &marks(), kurbo::Size::new(210.0, 297.0), &mut sources);
    (read, sources)
}

fn numbers(measured: &Measured) -> Vec<(usize, f64, f64, f64, f64)> {
    let of = |r: &shadecard::labels::offset::Reading| {
        (r.mark.number, r.mark.at.x, r.mark.at.y, r.off.x, r.off.y)
    };
    measured.readings.iter().map(of).collect()
}

#[test]
fn tables_and_ron_say_the_same() {
    let want = [(1, 20.0, 25.0, 0.7, -0.15), (5, 105.0, 145.0, 0.0, 0.4)];
    for (name, text) in [
        ("m.csv", "mark,dx,dy\n1,0.7,-0.15\n2,,\n5,0,0.4\n"),
        ("m.csv", "Mark;DX;DY\n1;0,7;-0,15\n5;0;0,4 mm\n"),
        ("m.csv", "dy,mark,dx\n\u{2212}0.15,1,+0.7\n0.4,5,0\n"),
        ("m.csv", "mark,x,y,dx,dy\n1,20,25,0.7,-0.15\n2,105,25,,\n5,105,145,0,0.4\n"),
        (
            "m.ron",
            "Offset(about: \"the cutter by the window, matt paper\", marks: [(mark: 1, dx: 0.7, dy: -0.15), (mark: 2), (mark: 5, dx: 0, dy: 0.4)])",
        ),
    ] {
        let (read, _) = file(name, text);
        let (measured, findings) = read.unwrap_or_else(|f| panic!("{text}: {:?}", f.sorted()));
        assert_eq!(numbers(&measured), want, "{text}");
        assert!(findings.is_empty(), "{text}: {:?}", findings.sorted());
        assert_eq!(measured.about.is_some(), name == "m.ron");
    }
}

#[test]
fn own_places_stand_in_for_the_trials() {
    let (read, _) = file("m.csv", "mark,x,y,dx,dy\n1,11,12,0.1,0.2\n40,180,260.5,0.3,0.4\n");
    let (measured, _) = read.expect("two marks");
    assert_eq!(numbers(&measured), [(1, 11.0, 12.0, 0.1, 0.2), (40, 180.0, 260.5, 0.3, 0.4)]);
}

/// Code, line and column of each fault.
#[test]
fn every_fault_is_told_where_it_stands() {
    type Case<'a> = (&'a str, &'a str, &'a [(&'a str, usize, usize)]);
    let cases: [Case<'_>; 12] = [
        ("m.csv", "mark,dx,dy\n1,0.7,x\n12,0,0\n", &[("bad-number", 2, 7), ("unknown-mark", 3, 1)]),
        (
            "m.csv",
            "mark,dx,dy\n1,0.7,\n,1,1\n",
            &[("missing-number", 2, 7), ("missing-number", 3, 1)],
        ),
        ("m.csv", "mark,dx,dy\n1,0.7,0\n1,0.6,0\n", &[("double-mark", 3, 1)]),
        ("m.csv", "mark,dx,dy\n1,0.7,0\n2,70,-12\n", &[("far-cut", 3, 3), ("far-cut", 3, 6)]),
        ("m.csv", "mark,dx\n1,0.7\n", &[("missing-column", 1, 1)]),
        (
            "m.csv",
            "mark,dx,dy\n1.5,0.7,0\n-1,0,0\n",
            &[("unknown-mark", 2, 1), ("unknown-mark", 3, 1)],
        ),
        ("m.csv", "mark,x,y,dx,dy\n1,20,25,0,0\n2,20.1,25,0,0\n", &[("double-mark", 3, 3)]),
        (
            "m.csv",
            "mark,x,y,dx,dy\n1,220,25,0,0\n2,20,,0,0\n",
            &[("mark-off-sheet", 2, 3), ("missing-number", 3, 6)],
        ),
        ("m.csv", "mark,dx,dy\n1,inf,nan\n", &[("bad-number", 2, 3), ("bad-number", 2, 7)]),
        ("m.csv", "mark,dx,dy\n1,1e300,0\n", &[("bad-number", 2, 3)]),
        (
            "m.ron",
            "Offset(marks: [\n(mark: 1, dx: 0.7),\n(mark: 11, dx: 0, dy: \"b\"),\n])",
            &[("missing-number", 2, 1), ("wrong-value", 3, 23)],
        ),
        (
            "m.ron",
            "Offset(marks: [\n(mark: 1, dx: 40, dy: 0),\n(mark: 99, dx: 0, dy: 0),\n])",
            &[("far-cut", 2, 15), ("unknown-mark", 3, 8)],
        ),
    ];
    for (name, text, want) in cases {
        let (read, sources) = file(name, text);
        let findings = read.expect_err(text).sorted();
        let found: Vec<(&str, usize, usize)> = findings
            .iter()
            .map(|d| {
                let at = d.span.as_ref().and_then(|s| sources.line_column(s)).unwrap_or((0, 0));
                (d.code, at.0, at.1)
            })
            .collect();
        assert_eq!(found, want, "{text}: {findings:#?}");
        assert!(findings.iter().all(|d| d.help.is_some()), "{text}");
    }
}

/// The files that the page shows are read as they are.
#[test]
fn the_guides_own_files_are_read() {
    let guide = std::fs::read_to_string("docs/cutting-accuracy.md").expect("the page");
    let block = |start: &str| {
        let after = guide.split(start).nth(1).unwrap_or_else(|| panic!("{start} on the page"));
        after.split("```").next().expect("an end").trim_start().to_owned()
    };
    for (name, text) in
        [("m.ron", block("```ron offset")), ("m.csv", block("```csv window-cutter-matt.csv"))]
    {
        let (read, _) = file(name, &text);
        let (measured, _) = read.unwrap_or_else(|f| panic!("{text}: {:?}", f.sorted()));
        let off: Vec<(f64, f64)> = measured.readings.iter().map(|r| (r.off.x, r.off.y)).collect();
        assert_eq!(off, [(0.4, -0.2), (0.4, 0.3), (0.5, 0.9)]);
    }
}
