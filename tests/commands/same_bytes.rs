//! The built program makes the same bytes wherever and however it runs: any number of threads, any folder, any time
//! zone and locale, any order of the editions, and again.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::small::{Tree, below, copy};

/// The gloss colours on two pages, in both spellings, and all that is made beside them.
const COMMANDS: [&[&str]; 8] = [
    &["make", "gloss-only.ron", "--out", "out"],
    &[
        "make",
        "gloss-only.ron",
        "--out",
        "matte",
        "--paper",
        "matte",
        "--colour-mode",
        "cmyk",
        "--format",
        "pdf",
    ],
    &["labels", "sheet.ron", "--family", "nacre", "--out", "labels"],
    &["board", "sheet.ron", "--out", "board.pdf"],
    &["supplies", "sheet.ron", "--out", "buy.csv"],
    &["lookalikes", "sheet.ron", "--out", "pairs.csv"],
    &["export", "sheet.ron", "--to", "csv", "--out", "tables"],
    &["export", "sheet.ron", "--to", "xlsx", "--out", "workbook"],
];

/// A copy of the demo to run in.
struct Place {
    _temporary: tempfile::TempDir,
    folder: PathBuf,
}

impl Place {
    /// At this path below a folder of its own.
    fn new(path: &str) -> Place {
        let temporary = tempfile::tempdir().expect("a folder");
        let folder = temporary.path().join(path);
        std::fs::create_dir_all(&folder).expect("made");
        copy(Path::new("demo/haberdashery"), &folder);
        Place { _temporary: temporary, folder }
    }

    /// All that the commands make there without a past.
    fn made(&self, more: &[&str], environment: &[(&str, &str)]) -> Tree {
        let given = below(&self.folder);
        for words in COMMANDS {
            let mut run = Command::new(env!("CARGO_BIN_EXE_shadecard"));
            run.args(words).current_dir(&self.folder).envs(environment.iter().copied());
            if words[0] == "make" {
                run.args(more);
            }
            let output = run.output().expect("runs");
            let told = String::from_utf8_lossy(&output.stderr);
            assert_eq!(output.status.code(), Some(0), "{words:?}\n{told}");
        }
        let mut made = below(&self.folder);
        made.retain(|path, _| !given.contains_key(path));
        for path in made.keys() {
            std::fs::remove_file(self.folder.join(path)).expect("made");
        }
        // What the program remembers has times of files in it; the records of what it wrote have none.
        made.retain(|path, _| !path.iter().any(|part| part == "reuse"));
        made
    }
}

/// Names every file in which two runs differ.
fn same(first: &Tree, other: &Tree, what: &str) {
    let names = first.keys().chain(other.keys());
    let differ: BTreeSet<_> = names.filter(|name| first.get(*name) != other.get(*name)).collect();
    assert!(differ.is_empty(), "{what}: {differ:?}");
}

#[test]
fn on_any_number_of_threads_in_any_place_and_again() {
    let here = Place::new("a");
    let first = here.made(&["--jobs", "1"], &[]);
    assert!(first.len() > 30, "{:?}", first.keys());
    for again in ["a second time", "a third time"] {
        same(&first, &here.made(&["--jobs", "1"], &[]), again);
    }
    same(&first, &here.made(&["--jobs", "2"], &[]), "2 threads");
    same(&first, &here.made(&["--jobs", "16"], &[]), "16 threads");
    let there = Place::new("a folder/with other names, and longer ones/ünd lëtters");
    let far = [
        ("TZ", "Pacific/Kiritimati"),
        ("LC_ALL", "tr_TR.UTF-8"),
        ("LANG", "tr_TR.UTF-8"),
        ("HOME", "/nonexistent"),
        ("SOURCE_DATE_EPOCH", "1"),
        ("COLUMNS", "40"),
    ];
    same(&first, &there.made(&[], &far), "another folder, time zone and locale");
}

/// The manifest lists files in the order of the sheet, and so differs; all that it lists does not.
#[test]
fn in_any_order() {
    let place = Place::new("a");
    let first = place.made(&[], &[]);
    let sheet = place.folder.join("gloss-only.ron");
    let text = std::fs::read_to_string(&sheet).expect("there");
    let turned = text
        .replace("[\"en-GB\", \"en-US\"]", "[\"en-US\", \"en-GB\"]")
        .replace("(name: \"small\", layout: \"poster-305x406\"),", "")
        .replace(
            "layout: \"a4\"),",
            "layout: \"a4\"), (name: \"small\", layout: \"poster-305x406\"),",
        );
    assert_eq!(turned.matches("layout:").count(), 2);
    std::fs::write(&sheet, turned).expect("written");
    let second = place.made(&[], &[]);
    let manifests = |tree: &Tree| {
        let listed = tree.iter().filter(|(path, _)| path.ends_with("manifest.json"));
        listed.map(|(_, bytes)| bytes.clone()).collect::<Vec<_>>()
    };
    assert_ne!(manifests(&first), manifests(&second), "the order is that of the sheet");
    let files = |mut tree: Tree| {
        // The record of what was written holds the checksum of the manifest.
        tree.retain(|path, _| {
            !path.ends_with("manifest.json") && !path.iter().any(|part| part == ".shadecard")
        });
        tree
    };
    same(&files(first), &files(second), "backwards");
}
