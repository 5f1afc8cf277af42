//! Two stories: somebody with a workbook, and somebody with a list saved as CSV, make their sheet.
//!
//! Both know spreadsheets and a vector editor, and do not program. The files are as such programs save them
//! (`tests/stories/make_fixtures.py`: openpyxl, LibreOffice, cp1252). From `new --from` to `make` there are at most
//! two edits of text, and no message is longer than ten lines.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use crate::svg_words::words;

fn fixtures() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/stories")
}

fn shadecard(args: &[&str], at: &Path) -> Output {
    let run =
        Command::new(env!("CARGO_BIN_EXE_shadecard")).current_dir(at).args(args).output().unwrap();
    assert!(run.status.success(), "{args:?}\n{}", text(&run.stderr));
    run
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// No message is longer than ten lines, and there are few.
fn short(run: &Output, most: usize) -> String {
    let said = text(&run.stderr);
    let messages: Vec<Vec<&str>> = said.split("\n\n").map(|m| m.lines().collect()).collect();
    assert!(messages.iter().all(|m| m.len() <= 10), "{said}");
    let count = said
        .lines()
        .filter(|l| ["error", "warning", "note"].iter().any(|w| l.starts_with(w)))
        .count();
    assert!(count <= most, "{count} messages:\n{said}");
    said
}

/// One edit of text.
fn edit(file: &Path, from: &str, to: &str) {
    let text = std::fs::read_to_string(file).unwrap();
    assert_eq!(text.matches(from).count(), 1, "{from} in {text}");
    std::fs::write(file, text.replace(from, to)).unwrap();
}

/// Makes the sheet in small and gives one SVG file back.
fn made(at: &Path) -> String {
    let run = shadecard(&["make", "s/sheet.ron", "--dpi", "50", "--out", "out", "--quiet"], at);
    short(&run, 3);
    let mut svgs: Vec<PathBuf> = std::fs::read_dir(at.join("out/s"))
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.to_string_lossy().ends_with("en-GB.svg"))
        .collect();
    svgs.sort();
    std::fs::read_to_string(&svgs[0]).unwrap()
}

fn table(at: &Path, name: &str) -> Vec<Vec<String>> {
    let text = std::fs::read(at.join("s").join(name)).unwrap();
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_slice());
    reader.records().map(|r| r.unwrap().iter().map(str::to_owned).collect()).collect()
}

/// A workbook with merged headings in two rows, two lists, families in merged cells, L* a* b*, finishes, years,
/// remarks, crosses and a sheet of parts, saved by openpyxl and by LibreOffice.
#[test]
fn a_workbook_and_six_drawings() {
    for book in ["buttons.xlsx", "buttons.ods"] {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        let (from, parts) = (fixtures().join(book), fixtures().join("drawings"));
        let run = shadecard(
            &["new", "s", "--from", from.to_str().unwrap(), "--parts", parts.to_str().unwrap()],
            at,
        );
        let said = short(&run, 3);
        assert!(said.contains("nothing was read from 'Prices'"), "{said}");
        assert!(!said.contains("not understood") && !said.contains("plain outline"), "{said}");
        let colours = table(at, "colours.csv");
        assert_eq!(
            colours[0],
            [
                "key",
                "family",
                "works number",
                "works name",
                "dealer number",
                "dealer name",
                "value",
                "first",
                "last",
                "note"
            ]
        );
        assert_eq!(
            colours[3],
            [
                "wreck-buoy",
                "gloss",
                "113",
                "Wreck Buoy",
                "3-301",
                "Signal",
                "Lab(44.3, 58.2, 33.7)",
                "2018",
                "2025",
                "being replaced"
            ]
        );
        assert_eq!(colours[8][..2], ["sloe-wine", "clear"], "families go on in merged cells");
        assert_eq!(colours.len(), 11);
        let parts = table(at, "parts.csv");
        assert_eq!(parts[2][1..4], ["1104", "B-11", "Button, four holes"]);
        let range = std::fs::read_to_string(at.join("s/range.ron")).unwrap();
        for line in [
            r#"(key: "works", title: "Works list")"#,
            r#"(key: "dealer", title: "Dealer list")"#,
            r#"title: "Clear", finish: clear"#,
            r#"title: "Matt", finish: satin"#,
        ] {
            assert!(range.contains(line), "{line} in {range}");
        }
        let made_in = table(at, "made.csv");
        assert_eq!(made_in[4][1..], ["x", "x", "", "x", "", "x"], "the crosses of Dulse");
        // Every drawing has the size that the list says.
        let run = shadecard(&["export", "s/sheet.ron", "--to", "csv", "--out", "t"], at);
        assert!(run.status.success());
        for (part, size) in
            [(1, "15"), (2, "18"), (3, "8"), (4, "30 × 10"), (5, "10"), (6, "12 × 20")]
        {
            let sizes = std::fs::read_to_string(at.join("t/parts.csv")).unwrap();
            let line = sizes.lines().nth(part).unwrap().to_owned();
            assert!(line.contains(&format!(",{size},")), "{size} in {line}");
        }
        edit(&at.join("s/range.ron"), "Your name here", "Wrackline Works");
        edit(&at.join("s/sheet.ron"), "Our colours", "Buttons of the Tideline");
        let svg = words(&made(at));
        for word in ["Buttons of the Tideline", "Wrackline Works", "Gannet", "Navy", "1102"] {
            assert!(svg.contains(word), "{word}");
        }
    }
}

/// A list with semicolons and decimal commas in cp1252, German headings, sizes and a column of no use; no parts.
#[test]
fn a_german_csv_file() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let from = fixtures().join("knoepfe.csv");
    let run = shadecard(&["new", "s", "--from", from.to_str().unwrap()], at);
    let said = short(&run, 3);
    assert!(said.contains("'Lagerplatz'") && said.contains("read as Latin-1"), "{said}");
    let colours = table(at, "colours.csv");
    assert_eq!(
        colours[0],
        ["key", "family", "works number", "works name", "value", "first", "note"]
    );
    assert_eq!(colours[1], ["mowe", "glanzend", "101", "Möwe", "Lab(96.9, -0.1, 1.8)", "2016", ""]);
    assert_eq!(colours[3][6], "Rest – läuft aus");
    let range = std::fs::read_to_string(at.join("s/range.ron")).unwrap();
    assert!(range.contains(r#"title: "Durchsichtig", finish: clear"#), "{range}");
    let parts = table(at, "parts.csv");
    let titles: Vec<&str> = parts[1..].iter().map(|p| p[2].as_str()).collect();
    assert_eq!(titles, ["Button 11.5 mm", "Button 15 mm", "Button 18 mm"]);
    edit(&at.join("s/range.ron"), "Your name here", "Wrackline Works");
    let svg = words(&made(at));
    assert!(svg.contains("Möwe") && svg.contains("Lappentang"));
}
