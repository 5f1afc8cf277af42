//! Every file that others made is in `ASSETS.md`, with its licence and the text of it.

use std::collections::BTreeSet;
use std::path::Path;

/// Endings of files that are written by hand in this project.
const OWN: [&str; 16] = [
    "rs", "ron", "svg", "md", "fault", "told", "toml", "lock", "py", "json", "csv", "html", "css",
    "js", "mjs", "ts",
];
/// Folders of what the program, or a test of it, made.
const MADE: [&str; 9] = [
    "demo",
    "tests/golden",
    "tests/measured",
    "tests/bombs",
    "tests/browser/node_modules",
    "tests/stories",
    "tests/tables",
    "fuzz/corpus",
    "fuzz/regressions",
];

fn files(folder: &Path, out: &mut BTreeSet<String>) {
    for entry in std::fs::read_dir(folder).expect("a folder").flatten() {
        let path = entry.path();
        let name = path.to_string_lossy().replace('\\', "/");
        let name = name.trim_start_matches("./").to_owned();
        if path.is_dir() {
            if !MADE.contains(&name.as_str()) {
                files(&path, out);
            }
        } else if name.starts_with("tests/drawings/")
            || !OWN.contains(&path.extension().unwrap_or_default().to_str().unwrap_or(""))
        {
            out.insert(name);
        }
    }
}

/// The columns of the list that stand in backticks: file and text, with the licence.
fn listed() -> Vec<[String; 3]> {
    let list = std::fs::read_to_string("ASSETS.md").expect("the list");
    let rows = list.lines().filter(|l| l.starts_with("| `"));
    rows.map(|row| {
        let cells: Vec<&str> = row.trim_matches('|').split('|').map(str::trim).collect();
        let [file, _, _, licence, text] = cells[..] else { panic!("{row}") };
        [file.trim_matches('`'), licence, text.trim_matches('`')].map(str::to_owned)
    })
    .collect()
}

#[test]
fn the_list_is_complete() {
    let mut found = BTreeSet::new();
    for folder in ["fonts", "profiles", "src", "layouts", "tests", "examples"] {
        files(Path::new(folder), &mut found);
    }
    let rows = listed();
    let mut known: BTreeSet<String> = BTreeSet::new();
    for [file, licence, text] in &rows {
        assert!(!licence.is_empty(), "{file}");
        assert!(Path::new(file).is_file(), "'{file}' is listed and not there");
        let words = std::fs::read_to_string(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        let said = ["icen", "Permission", "CC0", "provided"].iter().any(|w| words.contains(w));
        assert!(said, "{text} is no licence");
        known.extend([file.clone(), text.clone()]);
    }
    assert!(rows.len() >= 18, "{} rows", rows.len());
    let unlisted: Vec<&String> = found.difference(&known).collect();
    assert!(unlisted.is_empty(), "not in ASSETS.md: {unlisted:?}");
}

/// The program carries no file that the list lacks.
#[test]
fn what_is_built_in_is_listed() {
    let rows = listed();
    let fonts = shadecard::type_::Faces::shipped().count();
    let in_list = rows.iter().filter(|[file, ..]| file.starts_with("fonts/")).count();
    assert_eq!(fonts, in_list);
}
