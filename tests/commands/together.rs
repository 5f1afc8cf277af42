//! Spellings of an edition are drawn together, and come out as each by itself.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

/// Makes two editions of the demo, and returns its files but for the manifest.
fn make(out: &Path, more: &[&str]) -> BTreeMap<String, Vec<u8>> {
    let run = Command::new(env!("CARGO_BIN_EXE_shadecard"))
        .args(["make", "demo/haberdashery/sheet.ron", "--edition", "a4", "--edition", "small"])
        .args(["--quiet", "--out"])
        .arg(out)
        .args(more)
        .output()
        .expect("runs");
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let folders = std::fs::read_dir(out).expect("a folder").flatten();
    let folder = folders.map(|e| e.path()).find(|p| !p.ends_with(".shadecard")).expect("files");
    std::fs::read_dir(folder)
        .expect("a folder")
        .flatten()
        .map(|e| (e.file_name().to_string_lossy().into_owned(), e.path()))
        .filter(|(name, _)| name != "manifest.json")
        .map(|(name, path)| (name, std::fs::read(path).expect("read")))
        .collect()
}

fn together_and_alone(more: &[&str]) {
    let dir = tempfile::tempdir().expect("a folder");
    let made =
        |name: &str, spelling: &[&str]| make(&dir.path().join(name), &[more, spelling].concat());
    let together = made("both", &[]);
    let (uk, us) = (made("uk", &["--spelling", "en-GB"]), made("us", &["--spelling", "en-US"]));
    assert_eq!(together.len(), uk.len() + us.len());
    for (name, bytes) in uk.iter().chain(&us) {
        assert!(*bytes == together[name], "{name} {more:?}");
        // Or nothing would be told apart.
        let other = name.replace("en-GB", "en-US");
        assert!(other == *name || together[&other] != *bytes, "{name}");
    }
}

#[test]
fn for_the_screen() {
    together_and_alone(&[]);
}

#[test]
fn for_a_press() {
    together_and_alone(&["--paper", "coated", "--colour-mode", "cmyk"]);
}

#[test]
fn in_tiles() {
    together_and_alone(&["--panels", "100x150", "--format", "pdf"]);
}
