//! `check` as a proofreader: every kind of finding on a small range, with its place.

use std::path::Path;
use std::process::{Command, Output};

const DISC: &str = "<svg xmlns='http://www.w3.org/2000/svg' width='9mm' height='9mm' viewBox='0 0 9 9'><circle cx='4.5' cy='4.5' r='4.5'/></svg>";
const SHEET: &str = "Sheet(range: \"range.ron\", name: \"s\", title: \"Sheet\", editions: [(name: \"e\", layout: \"a3\")])";

/// A folder with a sheet and a range of these colours (and parts).
fn folder(colours: &str, made: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let ice = if colours.contains("ice") { ", (key: \"ice\", finish: clear)" } else { "" };
    let range = format!(
        "Range(maker: \"Maker\", listings: [(key: \"works\"), (key: \"dealer\")], families: [(key: \"gloss\"){ice}],\n\
         parts: [(key: \"disc\", shape: \"disc.svg\"), (key: \"ball\", side: right, shape: \"disc.svg\")],\n\
         colours: [\n{colours}\n],\nmade: {made})"
    );
    std::fs::write(folder.path().join("range.ron"), range).unwrap();
    std::fs::write(folder.path().join("sheet.ron"), SHEET).unwrap();
    std::fs::write(folder.path().join("disc.svg"), DISC).unwrap();
    folder
}

fn check(at: &Path, args: &[&str]) -> Output {
    let dictionaries = std::fs::canonicalize("tests/dictionaries").unwrap();
    Command::new(env!("CARGO_BIN_EXE_shadecard"))
        .current_dir(at)
        .args(["check", "sheet.ron", "--dictionary"])
        .arg(dictionaries)
        .args(args)
        .output()
        .unwrap()
}

/// (code, severity, file, line, message) of every finding but that these few colours leave a page empty.
fn findings(at: &Path, args: &[&str]) -> Vec<(String, String, String, u64, String)> {
    let run = check(at, &[args, &["--json"]].concat());
    let list: serde_json::Value = serde_json::from_slice(&run.stdout).expect("JSON");
    let text = |v: &serde_json::Value| v.as_str().unwrap_or("").to_owned();
    list.as_array()
        .expect("a list")
        .iter()
        .filter(|f| f["code"] != "half-empty-page")
        .map(|f| {
            let line = f["line"].as_u64().unwrap_or(0);
            (text(&f["code"]), text(&f["severity"]), text(&f["file"]), line, text(&f["message"]))
        })
        .collect()
}

/// Codes and lines only.
fn brief(at: &Path, args: &[&str]) -> Vec<(String, u64)> {
    findings(at, args).into_iter().map(|f| (f.0, f.3)).collect()
}

fn row(key: &str, name: &str, number: &str, value: &str) -> String {
    format!(
        "(key: \"{key}\", family: \"gloss\", names: {{\"works\": \"{name}\"}}, numbers: {{\"works\": \"{number}\"}}, value: \"{value}\"),"
    )
}

#[test]
fn names_that_are_taken_for_each_other() {
    let colours = [
        row("a", "Harbour", "1", "#101010"),
        row("b", "harbour", "2", "#304050"),
        row("c", "Sea-Lane", "3", "#27527a"),
        row("d", "Sea Lane", "4", "#aa527a"),
        row("e", "Harbours", "A-5", "#205a3a"),
        row("f", "Quay", "A5", "#a05a3a"),
        row("g", "Quai", "7", "#d0d0d0"),
        row("h", "Tide 1", "8", "#e0f0d0"),
        row("i", "Tide 2", "8", "#70f0d0"),
    ]
    .join("\n");
    let folder = folder(&colours, "()");
    let want = [
        ("double-name", 5),
        ("near-name", 7),
        // Harbour and harbour both are one letter from Harbours.
        ("one-letter", 8),
        ("one-letter", 8),
        ("near-number", 9),
        ("double-number", 12),
    ];
    let found: Vec<(String, u64)> =
        brief(folder.path(), &[]).into_iter().filter(|f| f.0 != "not-in-dictionary").collect();
    assert_eq!(found, want.map(|(code, line)| (code.to_owned(), line)));
}

#[test]
fn values_against_names_and_each_other() {
    let colours = [
        row("a", "Slate Grey", "1", "#c41e28"),
        row("b", "Old Red", "2", "#b9292f"),
        row("c", "Red Stone", "3", "#b9292e"),
        row("d", "Grey Blue", "4", "#5a7ca8"),
        "(key: \"e\", family: \"ice\", names: {\"works\": \"Clear Red\"}, numbers: {\"works\": \"5\"}, value: \"#b9292f\"),".to_owned(),
    ]
    .join("\n");
    let folder = folder(
        &colours,
        "(rows: {\"a\": \"x.\", \"b\": \"x.\", \"c\": \"x.\", \"d\": \"..\", \"e\": \"x.\"})",
    );
    let found = findings(folder.path(), &[]);
    let codes: Vec<(&str, u64)> = found.iter().map(|f| (f.0.as_str(), f.3)).collect();
    assert_eq!(
        codes,
        [("idle-part", 2), ("name-and-value", 4), ("twin-values", 6), ("no-part", 7)],
        "{found:?}"
    );
    assert!(found[1].4.contains("looks red"), "{found:?}");
}

/// 'é' is C3 A9 in UTF-8 (RFC 3629), which windows-1252 reads as 'Ã©' (Encoding Standard).
#[test]
fn a_name_that_came_through_another_encoding() {
    let colours = [
        row("a", "CloisonnÃ©", "1", "#101010"),
        row("b", "ÉtÃ©", "2", "#27527a"),
        row("c", "Grün", "3", "#3a7a3c"),
    ]
    .join("\n");
    let folder = folder(&colours, "(rows: {\"a\": \"xx\", \"b\": \"xx\", \"c\": \"xx\"})");
    let found = findings(folder.path(), &[]);
    let garbled: Vec<u64> = found.iter().filter(|f| f.0 == "garbled").map(|f| f.3).collect();
    assert_eq!(garbled, [4], "{found:?}");
    assert!(
        !found.iter().any(|f| f.3 == 4 && f.0 == "not-in-dictionary"),
        "one message: {found:?}"
    );
    let told = String::from_utf8_lossy(&check(folder.path(), &[]).stdout).into_owned();
    assert!(told.contains("did you mean 'Cloisonné'?"), "{told}");
}

#[test]
fn against_a_published_list() {
    let colours = [
        row("a", "Harbour", "1", "#101010"),
        row("b", "Sea Lane", "2", "#27527a"),
        row("c", "Quay", "33", "#a05a3a"),
        row("d", "Tern", "4", "#f0f0f0"),
    ]
    .join("\n");
    let folder = folder(&colours, "()");
    std::fs::write(
        folder.path().join("published.csv"),
        "Works list 2026;\nNo;Colour\n1;Harbour\n2;Sealane\n3;Quay\n4;Tern\n9;Terne\n",
    )
    .unwrap();
    let found: Vec<_> = findings(folder.path(), &["--against", "published.csv"])
        .into_iter()
        .filter(|f| f.0 != "not-in-dictionary")
        .map(|f| (f.0, f.2, f.3, f.4))
        .collect();
    let want = [
        ("not-here", "published.csv", 5, "the published colour 3 'Quay' is not in the range"),
        ("not-here", "published.csv", 7, "the published colour 9 'Terne' is not in the range"),
        (
            "other-name",
            "range.ron",
            5,
            "number 2 is published as 'Sealane', but here it is 'Sea Lane'",
        ),
        ("not-published", "range.ron", 6, "number 33 ('Quay') is not in the published list"),
    ];
    let want = want.map(|(c, f, l, m)| (c.to_owned(), f.to_owned(), l, m.to_owned()));
    assert_eq!(found, want);
    let run = check(folder.path(), &["--against", "published.csv", "--listing", "deler"]);
    assert_eq!(run.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&run.stdout).contains("did you mean 'dealer'?"));
}

#[test]
fn deny_turns_findings_into_failure() {
    let one = |name: &str| folder(&row("a", name, "1", "#101010"), "()");
    let code = |at: &Path, args: &[&str]| check(at, args).status.code();
    let clean = one("Harbour");
    let noted = one("Wentletrap");
    let warned = one("Harbour");
    let path = warned.path().join("range.ron");
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(&path, text.replace("made: ()", "made: (rows: {\"a\": \"..\"})")).unwrap();
    // One colour on A3: that the page stays empty is not said of a trial.
    for (at, codes) in [(&clean, [0, 0, 0]), (&noted, [0, 0, 1]), (&warned, [0, 1, 1])] {
        let at = at.path();
        let got = [
            code(at, &[]),
            code(at, &["--fail-on", "warnings"]),
            code(at, &["--fail-on", "notes"]),
        ];
        let shown = String::from_utf8_lossy(&check(at, &[]).stdout).into_owned();
        assert_eq!(got, codes.map(Some), "{shown}");
    }
}

/// Loose rows that just miss a grid: half of the cells where 55 % are asked for.
#[test]
fn a_family_that_just_misses_its_grid() {
    let colours: Vec<String> =
        (0..8).map(|i| row(&format!("c{i}"), "Harbour", &i.to_string(), "#101010")).collect();
    let rows: Vec<String> =
        (0..8).map(|i| format!("\"c{i}\": \"{}\"", if i % 2 == 0 { "x." } else { ".x" })).collect();
    let folder = folder(&colours.join("\n"), &format!("(rows: {{{}}})", rows.join(", ")));
    let found = findings(folder.path(), &[]);
    let nearly: Vec<_> = found.iter().filter(|f| f.0 == "nearly-a-grid").collect();
    assert_eq!(nearly.len(), 1, "{found:?}");
    assert!(
        nearly[0].4.contains("would be 50 % filled, and the layout asks for 55 %"),
        "{nearly:?}"
    );
}
