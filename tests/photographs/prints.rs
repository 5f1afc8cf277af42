//! Prints that are read, by the commands: a target, its photograph, its form, an instrument's file.

use std::path::Path;

use shadecard::capture::StagePage;
use shadecard::colour::{Lab50, difference};
use shadecard::diag::Sources;
use shadecard::press::paper::Bytes;
use shadecard::press::{Paper, open, open_plain};
use shadecard::session::Session;
use shadecard::stage::StageFile;

use crate::marks::{run, small, values};
use crate::render::{self, Case, Params};
use crate::staged;

/// What a printer really shows of a value: not what the paper's model says.
fn truth(paper: &Paper, value: Bytes) -> Lab50 {
    let said = paper.model_shows(value);
    Lab50::new((said.l * 0.96 + 1.0).clamp(2.0, 99.0), said.a * 0.9 + 2.0, said.b * 0.9 - 2.0)
}

/// A target of a small sheet, and the paper by its model.
fn target(folder: &Path, more: &[&str]) -> (String, StageFile, Paper) {
    let path = |name: &str| folder.join(name).display().to_string();
    let sheet = small(folder, "shapes/toggle-18.svg");
    let pdf = path("target.pdf");
    let words = ["target", &sheet, "--paper", "matte", "--page", "a5", "--out", &pdf];
    assert_eq!(run(&[&words[..], more].concat()), 0);
    let file = StageFile::read(Path::new(&path("target.json")), &Session::default());
    let mut sources = Sources::default();
    let loaded = shadecard::range::load(Path::new(&sheet), &mut sources).expect("the sheet");
    let plain = open_plain("matte", &loaded.sheet, None, &Session::default()).expect("a paper");
    (sheet, file.expect("a target"), plain.paper)
}

/// How far a paper is off what is true of values, CIEDE2000: by its model, and with what was learnt.
fn off(sheet: &str, plain: &Paper, of: &[Bytes]) -> [f64; 2] {
    let mut sources = Sources::default();
    let loaded = shadecard::range::load(Path::new(sheet), &mut sources).expect("the sheet");
    let learnt = open("matte", &loaded.sheet, None, &mut sources).expect("a paper").paper;
    [plain, &learnt].map(|paper| {
        let each = of.iter().map(|v| difference(paper.shows(*v), truth(plain, *v)));
        each.sum::<f64>() / of.len() as f64
    })
}

fn own(pages: &[StagePage]) -> Vec<Bytes> {
    let prints = pages.iter().flat_map(|page| &page.prints);
    prints.filter(|p| p.name.ends_with(".0")).map(|p| p.value).collect()
}

#[test]
fn a_photograph_of_parts_on_their_print_teaches_the_printer() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name).display().to_string();
    let (sheet, file, plain) = target(folder.path(), &["--by", "photograph"]);
    let mut words: Vec<String> =
        ["learn", &sheet, "--paper", "matte", "--target"].map(str::to_owned).to_vec();
    words.extend([path("target.json"), "--quiet".into(), "--printer".into(), "A printer".into()]);
    for (i, page) in file.pages.iter().enumerate() {
        let mut drawn = staged::for_renderer(page);
        drawn.prints = page
            .prints
            .iter()
            .map(|p| {
                let c = truth(&plain, p.value);
                (p.outline.clone(), [c.l, c.a, c.b])
            })
            .collect();
        let laid = render::lay(&drawn, &values(page, &sheet), 0.0, 81_000 + i as u64);
        let mut params = Params::of(Case::Careful, 81_000 + i as u64);
        params.view.size = (2000, 2800);
        words.push(path(&format!("{i}.jpg")));
        let bytes = render::render(&drawn, &laid, &params).bytes;
        std::fs::write(words.last().expect("it"), bytes).expect("written");
    }
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    assert_eq!(run(&words), 0);
    let [before, after] = off(&sheet, &plain, &own(&file.pages));
    println!("by photograph: {before:.2} -> {after:.2}");
    assert!(before > 2.0 && after < 0.5 * before, "{before:.2} -> {after:.2}");
    // Of another printer they are not mixed, and nothing changes.
    let kept = std::fs::read_to_string(path("matte.read.ron")).expect("readings");
    let other: Vec<&str> =
        words.iter().map(|w| if *w == "A printer" { "Another" } else { *w }).collect();
    assert_eq!(run(&other), 1);
    assert_eq!(std::fs::read_to_string(path("matte.read.ron")).expect("readings"), kept);
    // Taken out again, the paper is what it was.
    assert_eq!(run(&["learn", &sheet, "--paper", "matte", "--remove-round", "1"]), 0);
    let [before, after] = off(&sheet, &plain, &own(&file.pages));
    assert!((before - after).abs() < 1e-9);
    assert_eq!(run(&["learn", &sheet, "--paper", "matte", "--remove-round", "1"]), 1);
}

#[test]
fn a_form_that_was_filled_in_teaches_the_printer() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name).display().to_string();
    let (sheet, file, plain) = target(folder.path(), &["--by", "eye"]);
    let form = std::fs::read_to_string(path("target.csv")).expect("a form");
    let mut lines: Vec<String> = form.lines().map(str::to_owned).collect();
    for (page, place) in file.pages.iter().flat_map(|p| p.places.iter().map(move |q| (p, q))) {
        let aim = values(page, &sheet);
        let at = page.places.iter().position(|p| p == place).expect("it");
        let aim = Lab50::new(aim[at][0], aim[at][1], aim[at][2]);
        let far = |k: usize| {
            let name = format!("{}.{k}", place.number);
            let patch = page.prints.iter().find(|p| p.name == name).expect("a patch");
            difference(truth(&plain, patch.value), aim)
        };
        let nearest = (0..9).min_by(|a, b| far(*a).total_cmp(&far(*b))).expect("nine");
        let nearest = if far(nearest) > 4.0 { "none".to_owned() } else { nearest.to_string() };
        let line = place.number.parse::<usize>().expect("a number");
        lines[line] += &nearest;
    }
    let filled = path("filled.csv");
    std::fs::write(&filled, lines.join("\n")).expect("written");
    let json = path("target.json");
    let words = ["learn", &sheet, "--paper", "matte", "--target", &json, &filled];
    assert_eq!(run(&words), 0);
    let [before, after] = off(&sheet, &plain, &own(&file.pages));
    println!("by eye: {before:.2} -> {after:.2}");
    assert!(after < 0.85 * before, "{before:.2} -> {after:.2}");
    // 'tune' reckons with it; values from before another round are out of date for 'proof', but not for 'learn'.
    assert_eq!(run(&["tune", &sheet, "--paper", "matte"]), 0);
    let out = path("out");
    let proof = ["proof", &sheet, "--paper", "matte", "--figures", "--out", &out];
    assert_eq!(run(&proof), 0);
    assert_eq!(run(&[&words[..], &["--about", "again"]].concat()), 0);
    assert_eq!(run(&[&words[..], &["--about", "and again"]].concat()), 0);
    assert_eq!(run(&proof), 1);
    // What is no answer is refused, and so is an empty form.
    for (wrong, code) in [("9", 1), ("3-4", 0), ("none", 0), ("pale", 1)] {
        let last = lines.len() - 1;
        let mut bad = lines.clone();
        let kept = bad[last].rsplit_once(',').expect("columns").0.to_owned();
        bad[last] = format!("{kept},{wrong}");
        std::fs::write(&filled, bad.join("\n")).expect("written");
        assert_eq!(run(&[&words[..], &["--start-again"]].concat()), code, "{wrong}");
    }
    assert_eq!(
        run(&["learn", &sheet, "--paper", "matte", "--target", &json, &path("target.csv")]),
        1
    );
}

#[test]
fn an_instruments_file_teaches_the_printer() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name).display().to_string();
    let (sheet, file, plain) = target(folder.path(), &["--by", "instrument"]);
    // As measured beside a perfect white: the paper's own colour is in it.
    let mut text = String::from(
        "CGATS.17\nNUMBER_OF_FIELDS 4\nBEGIN_DATA_FORMAT\nSAMPLE_NAME LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\n",
    );
    let patches: Vec<_> = file.pages.iter().flat_map(|p| &p.prints).collect();
    text += &format!("NUMBER_OF_SETS {}\nBEGIN_DATA\n", patches.len());
    for patch in &patches {
        let shown = if patch.value == plain.nothing() {
            Lab50::new(100.0, 0.0, 0.0)
        } else {
            truth(&plain, patch.value)
        };
        let seen = plain.measured(shown);
        text += &format!("{} {:.3} {:.3} {:.3}\n", patch.name, seen.l, seen.a, seen.b);
    }
    std::fs::write(path("read.txt"), text + "END_DATA\n").expect("written");
    let (json, read) = (path("target.json"), path("read.txt"));
    assert_eq!(run(&["learn", &sheet, "--paper", "matte", "--target", &json, &read]), 0);
    let values: Vec<Bytes> =
        patches.iter().map(|p| p.value).filter(|v| *v != plain.nothing()).collect();
    let [before, after] = off(&sheet, &plain, &values);
    println!("by instrument: {before:.2} -> {after:.2}");
    assert!(before > 2.0 && after < 0.3, "{before:.2} -> {after:.2}");
}
