//! Proofreading of words on a small sheet, with the dictionaries under
//! `tests/dictionaries`.

use std::path::{Path, PathBuf};

use shadecard::diag::{Severity, Sources};
use shadecard::proofread::{Dictionaries, words};
use shadecard::range::load;
use shadecard::spelling::Spelling;

const RANGE: &str = r##"Range(
    maker: "Wrackline Works",
    release: "Release 7",
    listings: [(key: "works"), (key: "hidden")],
    families: [(key: "gloss", title: "Gloss", note: "opaqe, polished", finish: opaque)],
    parts: [(key: "d8", title: "Disc, no holes", shape: "disc.svg")],
    colours: [
        (key: "a", names: {"works": "Promenade Grey", "hidden": "Zzyzx"}, value: "#888888"),
        (key: "b", names: {"works": Forms("Harbour Fog", {"en-US": "Harbour Mist"})}, value: "#777777"),
        (key: "c", names: {"works": Forms("Sky", {"en-GB": "Tidelene Gray"})}, value: "#666666"),
        (key: "d", names: {"works": "Robin’s-egg Tidelene"}, value: "#99ccdd"),
        (key: "e", names: {"works": Forms("Wrackline Crème 18mm Gray", {"en-GB": "Wrackline Crème 18mm Gray"})}, value: "#eeeedd"),
        (key: "f", names: {"works": "Colouur"}, value: "#eeaadd"),
    ],
)
"##;

const SHEET: &str = r#"Sheet(
    range: "range.ron",
    title: "Buttons of the Tideline",
    subtitle: "{colours_words} colours, {scale}",
    centre: [(listing: "works")],
    notes: ["Compare with the part in hand.", "Ask at shop@tide.example for a quoin."],
    leave_out: [(colours: ["f"], reason: "withdrawnn")],
    spellings: ["en-GB", "en-US"],
    words: ["Quoin", "tideline"],
)
"#;

/// Each finding as 'severity code line:column message -> help'.
fn findings(range: &str, tag: &str, given: &[PathBuf]) -> Vec<String> {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::copy("tests/sheets/shapes/disc.svg", folder.path().join("disc.svg")).expect("copied");
    std::fs::write(folder.path().join("range.ron"), range).expect("written");
    let file = folder.path().join("sheet.ron");
    std::fs::write(&file, SHEET).expect("written");
    let mut sources = Sources::default();
    let loaded = load(&file, &mut sources).unwrap_or_else(|f| panic!("{:?}", f.sorted()));
    let spelling =
        Spelling::load(tag, Path::new("/nowhere"), &mut Sources::default()).expect("a spelling");
    let dictionaries = Dictionaries::find(tag, given).expect("dictionaries");
    let found = words(&loaded.range, &loaded.sheet, tag, &spelling, &dictionaries);
    let list = found.sorted().into_iter().map(|d| {
        let span = d.span.expect("a place");
        let (line, column) = sources.line_column(&span).expect("in a file that was read");
        let file = span.file.file_stem().expect("a name").to_string_lossy().into_owned();
        let severity = match d.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Hint => "hint",
        };
        let help = d.help.unwrap_or_default();
        format!("{severity} {} {file} {line}:{column} {} -> {help}", d.code, d.message)
    });
    list.collect()
}

fn shipped() -> Vec<PathBuf> {
    vec!["tests/dictionaries".into()]
}

#[test]
fn british() {
    assert_eq!(
        findings(RANGE, "en-GB", &shipped()),
        [
            "hint not-in-dictionary range 5:53 no en-GB dictionary contains 'opaqe' (in the family note 'opaqe, polished') -> \
             did you mean 'opaque'? If it is right, add \"opaqe\" to words in the sheet",
            "warning other-spelling range 10:37 'Gray' is not en-GB spelling, in the name 'Tidelene Gray' -> \
             write 'Grey' in the form for en-GB, or add \"Gray\" to words in the sheet",
            "hint not-in-dictionary range 10:37 no en-GB dictionary contains 'Tidelene' (2 times, first in the name \
             'Tidelene Gray') -> did you mean 'tideline'? If it is right, add \"Tidelene\" to words in the sheet",
            "hint not-in-dictionary range 13:37 no en-GB dictionary contains 'Colouur' (in the name 'Colouur') -> \
             did you mean 'Colour'? If it is right, add \"Colouur\" to words in the sheet",
            "hint not-in-dictionary sheet 7:42 no en-GB dictionary contains 'withdrawnn' (in the reason 'withdrawnn') -> \
             did you mean 'withdrawn'? If it is right, add \"withdrawnn\" to words in the sheet",
        ]
    );
}

#[test]
fn american() {
    let found = findings(RANGE, "en-US", &shipped());
    let spelled: Vec<_> = found.iter().filter(|f| f.contains("other-spelling")).collect();
    assert_eq!(
        spelled,
        [
            "warning other-spelling range 9:37 'Harbour' is not en-US spelling, in the name 'Harbour Mist' -> \
          write 'Harbor' in the form for en-US, or add \"Harbour\" to words in the sheet"
        ]
    );
    assert_eq!(found.len(), 5, "{found:#?}");
}

#[test]
fn without_dictionaries_only_the_spelling_is_read() {
    let other = vec![PathBuf::from("tests/dictionaries/en-US.dic")];
    let found = findings(RANGE, "en-GB", &other);
    // A system may have British ones of its own.
    if Dictionaries::find("en-GB", &[]).expect("readable").is_empty() {
        assert_eq!(found.len(), 1, "{found:#?}");
    }
    assert!(found.iter().any(|f| f.contains("other-spelling")));
}

#[test]
fn own_words_are_checked() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::copy("tests/sheets/shapes/disc.svg", folder.path().join("disc.svg")).expect("copied");
    std::fs::write(folder.path().join("range.ron"), RANGE).expect("written");
    let file = folder.path().join("sheet.ron");
    let odd = SHEET.replace(r#""Quoin", "#, r#""Quoin", "two words", " ", "QUOIN", "#);
    std::fs::write(&file, odd).expect("written");
    let mut sources = Sources::default();
    let found = load(&file, &mut sources).expect_err("three faults").sorted();
    let told: Vec<_> = found
        .iter()
        .map(|d| (d.code, sources.line_column(d.span.as_ref().expect("a place")).expect("read")))
        .collect();
    let expected = [("bad-own-word", (9, 22)), ("bad-own-word", (9, 35)), ("double-key", (9, 40))];
    assert_eq!(told, expected);
}
