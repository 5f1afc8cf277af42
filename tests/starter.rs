//! `new`: what it writes can be made at once.

use std::path::Path;
use std::process::{Command, Output};

fn shadecard(args: &[&str], at: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_shadecard")).current_dir(at).args(args).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// Makes the sheet in small and counts its files.
fn makes(at: &Path) -> usize {
    let run = shadecard(&["make", "s/sheet.ron", "--dpi", "50", "--out", "out", "--json"], at);
    assert!(run.status.success(), "{}", text(&run.stderr));
    let manifest: serde_json::Value = serde_json::from_slice(&run.stdout).expect("JSON");
    manifest["files"].as_array().expect("files").len()
}

#[test]
fn a_new_folder_makes_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    assert!(shadecard(&["new", "s"], at).status.success());
    let run = shadecard(&["check", "s/sheet.ron", "--deny", "warnings"], at);
    assert!(run.status.success(), "{}", text(&run.stdout));
    // Two spellings, three kinds.
    assert_eq!(makes(at), 6);
    let shapes = std::fs::read_dir(at.join("s/shapes")).unwrap().count();
    assert_eq!(shapes, 3);
    let again = shadecard(&["new", "s"], at);
    assert_eq!(again.status.code(), Some(1));
    assert!(text(&again.stderr).contains("'s' is not empty"));
}

/// (rows, page that is taken): the smallest that the colours fit on.
#[test]
fn a_list_of_any_length_makes_at_once() {
    for (rows, layout) in [(3, "A6"), (40, "A5"), (150, "A4"), (420, "a4-pages")] {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        let list: String = (0..rows)
            .map(|i| {
                format!(
                    "Shade {i};{};#{:06x};{}\r\n",
                    100 + i,
                    i * 23_003 % 0xff_ffff,
                    ["Gloss", "Matt"][i % 2]
                )
            })
            .collect();
        std::fs::write(at.join("list.csv"), format!("Colour;Nr;Hex;Group\r\n{list}")).unwrap();
        let run = shadecard(&["new", "s", "--from", "list.csv"], at);
        assert!(run.status.success(), "{}", text(&run.stderr));
        let all: String = ["s/sheet.ron", "s/page.ron"]
            .iter()
            .filter_map(|f| std::fs::read_to_string(at.join(f)).ok())
            .collect();
        assert!(all.contains(&format!("\"{layout}\"")), "{rows}: {all}");
        let plan = shadecard(&["plan", "s/sheet.ron", "--json"], at);
        let plans: serde_json::Value = serde_json::from_slice(&plan.stdout).expect("JSON");
        assert_eq!(plans[0]["plan"]["colours"], rows, "{plans}");
    }
}

#[test]
fn what_a_list_lacks_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    std::fs::write(at.join("list.csv"), "name,value\nCrème,#f0e0c0\nCreme,\nTar,black\n").unwrap();
    let run = shadecard(&["new", "s", "--from", "list.csv"], at);
    assert!(run.status.success());
    let said = text(&run.stderr);
    assert!(said.contains("2 of 3 colours have no value, 'Creme' first"), "{said}");
    let table = std::fs::read_to_string(at.join("s/colours.csv")).unwrap();
    assert_eq!(
        table,
        "key,family,works number,works name,value\n\
         creme,colours,,Crème,#f0e0c0\ncreme-2,colours,,Creme,#bbbbbb\ntar,colours,,Tar,#bbbbbb\n"
    );
    assert_eq!(makes(at), 6);
    std::fs::write(at.join("list.csv"), "key,value\na,#f0e0c0\n").unwrap();
    let run = shadecard(&["new", "t", "--from", "list.csv"], at);
    assert_eq!(run.status.code(), Some(1));
    assert!(text(&run.stderr).contains("this table has no column 'name'"));
    assert!(!at.join("t").exists());
}
