//! `compare` as a person runs it.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use super::{edit, square, write};

const OLD: &str = r##"Range(
    release: "Spring release",
    listings: [(key: "works", title: "Works list")],
    families: [(key: "gloss", title: "Gloss")],
    parts: [(key: "b9", numbers: {"works": "1102"}, title: "Button", shape: "9.svg")],
    colours: [
        (key: "gannet", names: {"works": "Gannet"}, numbers: {"works": "101"}, value: "#f8f7f3"),
        (key: "rust", names: {"works": "Rust"}, numbers: {"works": "102"}, value: "#c23b22"),
    ],
)"##;

fn shadecard(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_shadecard")).args(args).output().expect("runs")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// A folder with `old.ron` and a changed `new.ron`.
fn two() -> (tempfile::TempDir, String, String) {
    let folder = tempfile::tempdir().expect("a folder");
    write(folder.path(), "9.svg", &square(9.0, ""));
    let new = edit(
        OLD,
        &[
            ("Spring release", "Autumn release"),
            ("\"Gannet\"", "\"Old *Gannet*, washed\""),
            ("#c23b22", "#b8412a"),
        ],
    );
    let old = path(&write(folder.path(), "old.ron", OLD));
    let new = path(&write(folder.path(), "new.ron", &new));
    (folder, old, new)
}

fn path(path: &Path) -> String {
    path.to_str().expect("a name").to_owned()
}

fn told(args: &[&str]) -> String {
    let run = shadecard(args);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    text(&run.stdout)
}

#[test]
fn tables_on_the_terminal() {
    let (_folder, old, new) = two();
    let said = told(&["compare", &old, &new]);
    assert!(said.starts_with("From Spring release to Autumn release\n\nColours (2)\n"), "{said}");
    for line in [
        "renamed    gannet  Old *Gannet*, washed  works    Gannet   Old *Gannet*, washed\n",
        "re-valued  rust    Rust                           #c23b22  #b8412a               2.18\n",
        "\nTo make again (1)\n",
        "family  gloss            names; values\n",
        "\nLabels to make again (2)\n\ngannet rust\n",
    ] {
        assert!(said.contains(line), "'{line}' is not in\n{said}");
    }
    assert_eq!(told(&["compare", &old, &old]), "Nothing changed.\n");
}

#[test]
fn json_is_whole() {
    let (_folder, old, new) = two();
    let said = told(&["compare", &old, &new, "--json"]);
    let json: serde_json::Value = serde_json::from_str(&said).expect("JSON");
    assert_eq!(json["old"]["release"], "Spring release");
    assert_eq!(
        json["colours"][0],
        serde_json::json!({
            "what": "colour", "kind": "renamed", "key": "gannet", "name": "Old *Gannet*, washed",
            "listing": "works", "old": "Gannet", "new": "Old *Gannet*, washed",
        })
    );
    assert_eq!(json["colours"][1]["kind"], "re-valued");
    // colour-science 0.4.7: 2.1789.
    assert!((json["colours"][1]["dE00"].as_f64().expect("a number") - 2.1789).abs() < 0.01);
    assert_eq!(json["again"]["labels"], serde_json::json!(["gannet", "rust"]));
    for list in ["listings", "families", "parts", "made", "sheet"] {
        assert!(json[list].is_array(), "{list}");
    }
}

#[test]
fn csv_has_one_change_a_line() {
    let (_folder, old, new) = two();
    let said = told(&["compare", &old, &new, "--csv"]);
    let lines: Vec<&str> = said.lines().collect();
    assert_eq!(lines[0], "kind,what,key,listing,old,new,dE00,spelling,name");
    assert_eq!(
        lines[1],
        "renamed,colour,gannet,works,Gannet,\"Old *Gannet*, washed\",,,\"Old *Gannet*, washed\""
    );
    assert!(lines[2].starts_with("re-valued,colour,rust,,#c23b22,#b8412a,2.17"), "{}", lines[2]);
    assert_eq!(lines[3], "changed,range,release,,Spring release,Autumn release,,,release");
    assert_eq!(lines[4], "again,family,gloss,,,names; values,,,");
    assert_eq!(lines[5..], ["again,label,gannet,,,,,,", "again,label,rust,,,,,,"]);
}

#[test]
fn markdown_is_a_note_in_plain_words() {
    let (_folder, old, new) = two();
    let said = told(&["compare", &old, &new, "--markdown"]);
    assert!(said.starts_with("# From Spring release to Autumn release\n"), "{said}");
    for line in [
        "\n## Renamed\n\n- **Old \\*Gannet\\*, washed** (gannet) in Works list: Gannet → Old \\*Gannet\\*, washed\n",
        "\n## Changed colour values\n\n- **Rust** (rust): #c23b22 → #b8412a (ΔE00 2.2)\n",
        "\n## Families to make again\n\n- **Gloss**: names; values\n",
        "\n## Labels to make again\n\ngannet, rust\n",
    ] {
        assert!(said.contains(line), "'{line}' is not in\n{said}");
    }
}

#[test]
fn the_ending_of_the_file_chooses_the_form() {
    let (folder, old, new) = two();
    for (name, flag) in [("a.md", "--markdown"), ("a.json", "--json"), ("a.CSV", "--csv")] {
        let file: PathBuf = folder.path().join(name);
        told(&["compare", &old, &new, "--out", &path(&file)]);
        let written = std::fs::read_to_string(&file).expect("written");
        assert_eq!(written, told(&["compare", &old, &new, flag]), "{name}");
    }
    let file = folder.path().join("a.txt");
    told(&["compare", &old, &new, "--out", &path(&file)]);
    let written = std::fs::read_to_string(&file).expect("written");
    assert_eq!(written, told(&["compare", &old, &new]));
    let file = folder.path().join("a.doc");
    let run = shadecard(&["compare", &old, &new, "--out", &path(&file)]);
    assert_eq!(run.status.code(), Some(1));
    assert!(text(&run.stderr).contains(".md, .json, .csv or .txt"), "{}", text(&run.stderr));
    assert!(!file.exists());
    // A folder that is not there is made; below a file there can be none.
    let file = folder.path().join("none/a.md");
    told(&["compare", &old, &new, "--out", &path(&file)]);
    assert!(file.is_file());
    let file = folder.path().join("a.md/b.md");
    let run = shadecard(&["compare", &old, &new, "--out", &path(&file)]);
    assert_eq!(run.status.code(), Some(2), "{}", text(&run.stderr));
}

#[test]
fn the_faults_of_both_files_are_told_with_their_places() {
    let (folder, _, _) = two();
    let broken = edit(OLD, &[("value: \"#c23b22\"", "value: \"#c23b2\"")]);
    let old = path(&write(folder.path(), "broken.ron", &broken));
    let unknown = edit(OLD, &[("shape: \"9.svg\"", "shapes: \"9.svg\"")]);
    let new = path(&write(folder.path(), "unknown.ron", &unknown));
    let run = shadecard(&["compare", &old, &new]);
    assert_eq!(run.status.code(), Some(1));
    let said = text(&run.stderr);
    // Line 8 of the file; the value starts after 80 characters.
    let column = broken.lines().nth(7).and_then(|l| l.find("\"#c23b2\"")).expect("there") + 1;
    assert!(said.contains(&format!("broken.ron, line 8, column {column}")), "{said}");
    assert!(said.contains("unknown.ron, line 5,"), "{said}");
    assert_eq!(text(&run.stdout), "");
    let run = shadecard(&["compare", &old, &new, "--json"]);
    let findings: serde_json::Value = serde_json::from_slice(&run.stdout).expect("JSON");
    assert!(findings.as_array().is_some_and(|f| f.len() >= 2));
}

#[test]
fn of_a_range_and_a_sheet_the_ranges_are_compared() {
    let (range, sheet) = ("demo/haberdashery/range.ron", "demo/haberdashery/sheet.ron");
    // The sheet's year and choice are no change of the range.
    assert_eq!(told(&["compare", range, sheet]), "Nothing changed.\n");
    assert_eq!(told(&["compare", sheet, range]), "Nothing changed.\n");
    let said = told(&["compare", sheet, "demo/haberdashery/gloss-only.ron"]);
    assert!(said.contains("family hidden      clear"), "{said}");
}

#[test]
fn a_layout_file_of_ones_own_that_changed_is_seen() {
    let folder = tempfile::tempdir().expect("a folder");
    let sheet = "Sheet(range: \"range.ron\", title: \"T\", editions: [(name: \"own\", layout: \"own.ron\"), (layout: \"a4\")], spellings: [\"en-GB\"])";
    let layout = |width: u32| format!("Layout(title: \"Own\", page: Mm({width}, 400), scale: Fit)");
    let release = |name: &str, width: u32| {
        write(folder.path(), &format!("{name}/9.svg"), &square(9.0, ""));
        write(folder.path(), &format!("{name}/range.ron"), OLD);
        write(folder.path(), &format!("{name}/own.ron"), &layout(width));
        path(&write(folder.path(), &format!("{name}/sheet.ron"), sheet))
    };
    let (old, same, new) = (release("old", 300), release("same", 300), release("new", 310));
    assert_eq!(told(&["compare", &old, &same]), "Nothing changed.\n");
    let said = told(&["compare", &old, &new, "--json"]);
    let json: serde_json::Value = serde_json::from_str(&said).expect("JSON");
    let due = serde_json::json!([{"key": "own", "spelling": "en-GB", "because": ["its layout"]}]);
    assert_eq!(json["again"]["editions"], due);
}
