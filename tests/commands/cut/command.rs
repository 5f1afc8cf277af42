//! The command: a trial, what was measured on it, and cut files that are sent where they should.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const SHEET: &str = "demo/haberdashery/sheet.ron";

/// Labels of two colours.
fn labels(out: &Path, more: &[&str]) -> Output {
    run(out, &[&["--only", "gannet,dulse"], more].concat())
}

fn run(out: &Path, more: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_shadecard"))
        .args(["labels", SHEET, "--spelling", "en-GB", "--out"])
        .arg(out)
        .args(more)
        .output()
        .expect("runs")
}

fn folder(out: &Path) -> PathBuf {
    out.join("haberdashery/labels")
}

/// Left and upper end of the first label in a cut file of lines.
fn first_cut(file: &Path) -> [f64; 2] {
    let text = std::fs::read_to_string(file).expect("a cut file");
    let line = text.lines().find(|l| l.contains("\"kiss-1\"")).expect("the first label");
    let data = line.split("d=\"").nth(1).expect("a path").split('"').next().expect("an end");
    let numbers: Vec<f64> = data
        .split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
        .filter_map(|n| n.parse().ok())
        .collect();
    [0, 1].map(|of| numbers.iter().skip(of).step_by(2).copied().fold(f64::INFINITY, f64::min))
}

#[test]
fn a_trial_is_written_measured_and_corrected() {
    let out = tempfile::tempdir().expect("a folder");
    let done = run(out.path(), &["--trial"]);
    assert!(done.status.success(), "{done:?}");
    let here = folder(out.path());
    let mut names: Vec<String> = std::fs::read_dir(&here)
        .expect("a folder")
        .map(|e| e.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    assert_eq!(names, ["trial.cut.svg", "trial.form.csv", "trial.pdf"]);
    let form = std::fs::read_to_string(here.join("trial.form.csv")).expect("a form");
    assert_eq!(form.lines().count(), 10);
    // A machine whose cuts all fall 0.5 mm too far to the right and 0.25 mm too high.
    let filled: Vec<String> = form
        .lines()
        .enumerate()
        .map(|(i, l)| match i {
            0 => l.to_owned(),
            _ => format!("{},0.5,-0.25", l.trim_end_matches(',')),
        })
        .collect();
    let measured = out.path().join("measured.csv");
    std::fs::write(&measured, filled.join("\n")).expect("written");
    assert!(labels(out.path(), &["--corners", "lines"]).status.success());
    let cut = here.join("labels.en-GB.1-of-1.cut.svg");
    let plain = first_cut(&cut);
    let measured = measured.display().to_string();
    let done = labels(out.path(), &["--corners", "lines", "--correction", &measured, "--json"]);
    assert!(done.status.success(), "{done:?}");
    let corrected = first_cut(&cut);
    assert!((corrected[0] - (plain[0] - 0.5)).abs() < 1.1e-3, "{plain:?} {corrected:?}");
    assert!((corrected[1] - (plain[1] + 0.25)).abs() < 1.1e-3, "{plain:?} {corrected:?}");
    let told: serde_json::Value = serde_json::from_slice(&done.stdout).expect("JSON");
    assert_eq!(told[0]["correction"][0][0]["size"], 0.5);
    assert_eq!(told[0]["correction"][1].as_array().map(Vec::len), Some(9));
    assert!(told[0]["travel"].as_f64() <= told[0]["travel_of_grid"].as_f64());
}

#[test]
fn lines_in_place_of_arcs_and_nothing_written_after_a_fault() {
    let out = tempfile::tempdir().expect("a folder");
    assert!(labels(out.path(), &["--corners", "lines"]).status.success());
    let cut = folder(out.path()).join("labels.en-GB.1-of-1.cut.svg");
    assert!(!std::fs::read_to_string(&cut).expect("a cut file").contains('A'));
    let measured = out.path().join("measured.csv");
    std::fs::write(&measured, "mark,dx,dy\n1,0.5,left\n").expect("written");
    let elsewhere = out.path().join("elsewhere");
    let done = labels(&elsewhere, &["--correction", &measured.display().to_string()]);
    assert_eq!(done.status.code(), Some(1));
    let said = String::from_utf8_lossy(&done.stderr);
    assert!(said.contains("measured.csv, line 2, column 7") && said.contains("'left'"), "{said}");
    assert!(!elsewhere.exists());
}
