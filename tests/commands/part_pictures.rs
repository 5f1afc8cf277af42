//! Runs on a sheet with pictures: the next one does what has changed, and nothing else.

use std::collections::BTreeMap;
use std::process::{Command, Output};

use crate::picture_set::bench::{BONE, Bench, RED, SEA, bar, disc};
use shadecard::image::encode;

fn run(bench: &Bench, words: &[&str]) -> Output {
    let program = env!("CARGO_BIN_EXE_shadecard");
    let run = Command::new(program).args(words).current_dir(bench.folder()).output().expect("runs");
    assert!(run.status.success(), "{words:?}: {}", String::from_utf8_lossy(&run.stderr));
    run
}

fn make(bench: &Bench, out: &str, jobs: &str) -> bool {
    let words = ["make", "sheet.ron", "--out", out, "--jobs", jobs];
    String::from_utf8_lossy(&run(bench, &words).stderr).contains("nothing has changed")
}

fn files(bench: &Bench, out: &str) -> BTreeMap<String, Vec<u8>> {
    let entries = std::fs::read_dir(bench.folder().join(out).join("base")).expect("made").flatten();
    let file = |e: std::fs::DirEntry| {
        (e.file_name().to_string_lossy().into_owned(), std::fs::read(e.path()).expect("read"))
    };
    entries.map(file).collect()
}

#[test]
fn a_picture_that_comes_changes_or_goes_is_seen_and_nothing_else_is() {
    let bench = Bench::with_pictures();
    assert!(!make(&bench, "out", "2"));
    assert!(make(&bench, "out", "2"));
    let first = files(&bench, "out");
    let changes: [(&str, Option<Vec<u8>>); 4] = [
        ("pictures/bar.bone.png", Some(encode(&bar(BONE, 0.3)))),
        ("pictures/bar.sea.png", Some(encode(&bar(SEA, 0.8)))),
        ("pictures/bar.bone.png", None),
        // With a table of its own it would have another place.
        ("pictures/disc.red.png", Some(encode(&disc(400.0, RED).0))),
    ];
    for (n, (name, bytes)) in changes.into_iter().enumerate() {
        let is_same = n == 3;
        match bytes {
            Some(bytes) => bench.write(name, &bytes),
            None => std::fs::remove_file(bench.folder().join(name)).expect("removed"),
        }
        assert_eq!(make(&bench, "out", "2"), is_same, "{name}");
        let again = files(&bench, "out");
        let afresh = format!("afresh-{n}");
        make(&bench, &afresh, "1");
        let afresh = files(&bench, &afresh);
        assert_eq!(again.keys().collect::<Vec<_>>(), afresh.keys().collect::<Vec<_>>());
        for (file, bytes) in &again {
            assert!(*bytes == afresh[file], "{file} after {name}");
            // An edition of drawings has none of it.
            assert!(!file.starts_with("plain.") || *bytes == first[file], "{file} after {name}");
        }
    }
}

#[test]
fn lists_notes_and_proofs_show_pictures_too() {
    let bench = Bench::with_pictures();
    let count = |name: &str| {
        let document = lopdf::Document::load(bench.folder().join(name)).expect("reads");
        let streams = document.objects.values().filter_map(|o| o.as_stream().ok());
        streams.filter(|s| s.dict.has(b"SMask")).count()
    };
    run(&bench, &["supplies", "sheet.ron", "--out", "list.pdf"]);
    assert!(count("list.pdf") > 0);
    // A note on what is new: the disc in red.
    std::fs::create_dir(bench.folder().join("older")).expect("made");
    for name in ["range.ron", "disc.svg", "bar.svg", "true.ron", "small.ron", "drawn.ron"] {
        let text = std::fs::read_to_string(bench.folder().join(name)).expect("read");
        let text = text.replace("\"red\": \"xx\"", "\"red\": \".x\"");
        bench.write(&format!("older/{name}"), text.as_bytes());
    }
    run(
        &bench,
        &["compare", "older/drawn.ron", "sheet.ron", "--for", "buyers", "--out", "note.pdf"],
    );
    assert!(count("note.pdf") > 0);
    run(&bench, &["proof", "sheet.ron", "--paper", "matte", "--edition", "true", "--dpi", "50"]);
}
