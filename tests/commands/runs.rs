//! The program as a person runs it: exit codes, what is printed, what is left behind.

use std::path::Path;
use std::process::{Command, Output};

fn shadecard(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_shadecard")).args(args).output().expect("runs")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

fn files(folder: &Path) -> Vec<String> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut names: Vec<String> =
        entries.flatten().map(|e| e.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

#[test]
fn make_writes_whole_files_and_a_manifest_that_matches_them() {
    use sha2::Digest;
    let out = tempfile::tempdir().expect("a folder");
    let folder = out.path().to_str().expect("a name");
    let args = [
        "make",
        "demo/haberdashery/sheet.ron",
        "--edition",
        "a4",
        "--spelling",
        "en-GB",
        "--out",
        folder,
    ];
    let run = shadecard(&args);
    assert!(run.status.success(), "{}", text(&run.stderr));
    assert_eq!(text(&run.stderr), "", "quiet in a pipe");
    let made = out.path().join("haberdashery");
    let expected = [
        "a4.en-GB.100dpi.png",
        "a4.en-GB.300dpi.png",
        "a4.en-GB.pdf",
        "a4.en-GB.svg",
        "manifest.json",
    ];
    assert_eq!(files(&made), expected);
    for name in expected {
        assert!(
            name == "manifest.json" || text(&run.stdout).contains(name),
            "{name} is in the table"
        );
    }
    let manifest: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(made.join("manifest.json")).expect("there"))
            .expect("JSON");
    for file in manifest["files"].as_array().expect("a list") {
        let bytes =
            std::fs::read(made.join(file["file"].as_str().expect("a name"))).expect("there");
        let hash: String =
            sha2::Sha256::digest(&bytes).iter().map(|b| format!("{b:02x}")).collect();
        assert_eq!(file["sha256"], hash);
        assert_eq!(file["bytes"], bytes.len());
        assert_eq!(file["page_mm"], serde_json::json!([210.0, 297.0]));
    }
    let print = manifest["files"]
        .as_array()
        .expect("a list")
        .iter()
        .find(|f| f["dpi"] == 300)
        .expect("print file");
    // 210 x 297 mm at 300 dpi in whole multiples of the preview's 827 x 1169.
    assert_eq!(print["pixels"], serde_json::json!([2481, 3507]));
}

#[test]
fn a_fault_exits_1_says_where_and_writes_nothing() {
    let out = tempfile::tempdir().expect("a folder");
    let folder = out.path().to_str().expect("a name");
    let run = shadecard(&["make", "tests/faults/family-unknown.ron", "--out", folder]);
    assert_eq!(run.status.code(), Some(1));
    let said = text(&run.stderr);
    assert!(said.contains("tests/faults/family-unknown.ron, line "), "{said}");
    assert!(said.contains("Suggestion: "), "{said}");
    assert_eq!(files(out.path()), Vec::<String>::new());
}

#[test]
fn a_folder_that_cannot_be_made_exits_2() {
    let out = tempfile::tempdir().expect("a folder");
    let blocked = out.path().join("a-file");
    std::fs::write(&blocked, "in the way").expect("written");
    let folder = blocked.to_str().expect("a name");
    let run = shadecard(&[
        "make",
        "demo/haberdashery/gloss-only.ron",
        "--edition",
        "a4",
        "--out",
        folder,
    ]);
    assert_eq!(run.status.code(), Some(2), "{}", text(&run.stderr));
    assert!(text(&run.stderr).contains("is a file, not a folder"), "{}", text(&run.stderr));
    assert_eq!(std::fs::read_to_string(&blocked).expect("there"), "in the way");
}

#[test]
fn wrong_names_on_the_command_line_are_answered() {
    for (args, offer) in [
        (["--edition", "a5"], "a4"),
        (["--spelling", "en-UK"], "en-US"),
        (["--style", "plates"], "plate"),
    ] {
        let run = shadecard(&["plan", "demo/haberdashery/sheet.ron", args[0], args[1]]);
        assert_eq!(run.status.code(), Some(1));
        let said = text(&run.stderr);
        assert!(
            said.contains(&format!("did you mean '{offer}'?")) || said.contains("en-GB"),
            "{said}"
        );
    }
}

#[test]
fn a_sheet_that_does_not_fit_says_what_would() {
    let run = shadecard(&["plan", "tests/sheets/too-small.ron"]);
    assert_eq!(run.status.code(), Some(1));
    let said = text(&run.stderr);
    assert!(said.contains("does not fit on 148 x 210 mm with every part at true size"), "{said}");
    assert!(said.contains("of true size on this page"), "{said}");
    assert!(said.contains("pages of this size"), "{said}");
}

#[test]
fn plan_and_check_speak_json() {
    let run = shadecard(&["plan", "demo/haberdashery/gloss-only.ron", "--json"]);
    let plans: serde_json::Value = serde_json::from_slice(&run.stdout).expect("JSON");
    assert_eq!(plans.as_array().map(Vec::len), Some(4));
    assert!(plans[0]["plan"]["bound"].as_f64() >= plans[0]["plan"]["scale"].as_f64());
    let run = shadecard(&["check", "tests/faults/family-unknown.ron", "--json"]);
    assert_eq!(run.status.code(), Some(1));
    let findings: serde_json::Value = serde_json::from_slice(&run.stdout).expect("JSON");
    let first = &findings.as_array().expect("a list")[0];
    assert!(
        first["line"].is_u64() && first["column"].is_u64() && first["code"].is_string(),
        "{first}"
    );
}

#[test]
fn check_finds_little_in_the_demo() {
    let dictionaries = "tests/dictionaries";
    let run = shadecard(&["check", "demo/haberdashery/sheet.ron", "--dictionary", dictionaries]);
    assert!(run.status.success());
    let shown = text(&run.stdout);
    // Each of the five editions says which samples have no column.
    assert_eq!(shown.matches("does not show, for lack of a column").count(), 5, "{shown}");
    let last = shown.lines().last().unwrap_or("");
    assert_eq!(
        last,
        "8 notes; the sheet can be made: 119 colours in 6 families, 16 parts, 5 editions."
    );
}

#[test]
fn a_missing_character_names_itself_and_its_row() {
    let run = shadecard(&["check", "tests/sheets/character.ron"]);
    assert_eq!(run.status.code(), Some(1));
    let said = text(&run.stdout);
    assert!(said.contains("U+5DDD") && said.contains("character.range.ron, line "), "{said}");
}

#[test]
fn a_name_too_long_for_the_page_is_named() {
    let run = shadecard(&["check", "tests/sheets/long-name.ron"]);
    assert_eq!(run.status.code(), Some(1));
    let said = text(&run.stdout);
    assert!(
        said.contains("the name 'Unbreakablyunbreakably") && said.contains("shorten the name"),
        "{said}"
    );
}

#[test]
fn scripts_and_the_manual_come_from_the_arguments() {
    let run = shadecard(&["completions", "bash"]);
    assert!(run.status.success() && text(&run.stdout).contains("--spelling"));
    let run = shadecard(&["manual"]);
    assert!(run.status.success() && text(&run.stdout).contains("SHEET.ron"));
}

#[cfg(unix)]
#[test]
fn ctrl_c_leaves_no_part_of_a_file() {
    let out = tempfile::tempdir().expect("a folder");
    let folder = out.path().to_str().expect("a name");
    let mut child = Command::new(env!("CARGO_BIN_EXE_shadecard"))
        .args(["make", "demo/haberdashery/sheet.ron", "--quiet", "--out", folder])
        .spawn()
        .expect("runs");
    let made = out.path().join("haberdashery");
    // As soon as it is at work on a file.
    let begun = (0..3000).any(|_| {
        std::thread::sleep(std::time::Duration::from_millis(20));
        !files(&made).is_empty()
    });
    assert!(begun, "it began");
    let id = child.id().to_string();
    assert!(Command::new("kill").args(["-INT", &id]).status().expect("kill").success());
    assert_eq!(child.wait().expect("ends").code(), Some(130));
    for name in files(&made) {
        assert!(!name.ends_with(".part") && name != "manifest.json", "{name} was left behind");
    }
}
