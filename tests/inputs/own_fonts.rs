//! A style may name a font file of the sheet's own folder.

use std::path::Path;
use std::process::{Command, Output};

use crate::small::Bench;

/// The base sheet in the plate style, whose names are set in `font`.
fn bench(font: &str) -> Bench {
    let bench = Bench::new();
    let style = std::fs::read_to_string("layouts/plate.style.ron").expect("shipped");
    let name = Name::of(&style);
    bench.write("mine.style.ron", &style.replace(name.0, &format!("{}\"{font}\"", name.1)));
    let sheet = std::fs::read_to_string(bench.folder.join("sheet.ron")).expect("there");
    let styled = sheet.replace("year: 2020", "year: 2020, style: \"mine.style.ron\"");
    assert_ne!(sheet, styled);
    bench.write("sheet.ron", &styled);
    std::fs::create_dir(bench.folder.join("fonts")).expect("made");
    bench
}

/// Where the style says in which font names are set: `name: (file: "..."`, and the same without the font.
struct Name<'a>(&'a str, &'a str);

impl Name<'_> {
    fn of(style: &str) -> Name<'_> {
        let from = style.find(" name: (file: \"").expect("names have a font");
        let text = &style[from..];
        let quote = text.find('"').expect("quoted");
        let end = quote + 2 + text[quote + 1..].find('"').expect("ends");
        Name(&text[..end], &text[..quote])
    }
}

/// A font that is not the style's: a shipped one under a name of its own.
fn put(bench: &Bench, name: &str) {
    let font = Path::new("fonts/FiraSansCondensed_500Medium.ttf");
    std::fs::copy(font, bench.folder.join(name)).expect("copied");
}

fn run(bench: &Bench, words: &str) -> Output {
    let mut run = Command::new(env!("CARGO_BIN_EXE_shadecard"));
    run.args(words.split(' ')).current_dir(&bench.folder).output().expect("runs")
}

fn told(bench: &Bench) -> String {
    let run = run(bench, "make sheet.ron --format svg");
    assert_eq!(run.status.code(), Some(1));
    assert!(!bench.folder.join("out").exists(), "nothing is written");
    String::from_utf8_lossy(&run.stderr).into_owned()
}

#[test]
fn names_are_set_in_a_font_of_ones_own() {
    for name in ["fonts/Mine.ttf", "Mine.ttf"] {
        let bench = bench(name);
        put(&bench, name);
        for words in ["check sheet.ron", "make sheet.ron --format svg"] {
            let run = run(&bench, words);
            let told = String::from_utf8_lossy(&run.stderr);
            assert_eq!(run.status.code(), Some(0), "{name}: {words}: {told}");
        }
        let svg = std::fs::read_to_string(bench.folder.join("out/base/card.en-GB.svg"));
        let svg = svg.expect("made");
        assert!(svg.contains("Fira Sans Condensed"), "{name}");
    }
}

#[test]
fn the_shipped_style_does_not_use_that_font() {
    let bench = Bench::new();
    assert_eq!(run(&bench, "make sheet.ron --format svg").status.code(), Some(0));
    let svg = std::fs::read_to_string(bench.folder.join("out/base/card.en-GB.svg"));
    assert!(!svg.expect("made").contains("Fira Sans Condensed"));
}

#[test]
fn a_font_that_is_not_there_is_named() {
    let told = told(&bench("fonts/Mine.ttf"));
    assert!(told.contains("Mine.ttf") && told.contains("Suggestion:"), "{told}");
}

#[test]
fn a_name_like_that_of_a_shipped_font_is_taken_for_it() {
    let told = told(&bench("FiraSansCondensed_500Medum.ttf"));
    assert!(told.contains("did you mean 'FiraSansCondensed_500Medium.ttf'?"), "{told}");
}

#[test]
fn other_kinds_of_font_files_are_refused() {
    let bench = bench("fonts/Mine.woff2");
    put(&bench, "fonts/Mine.woff2");
    let told = told(&bench);
    assert!(told.contains("neither a TTF nor an OTF file"), "{told}");
}

#[test]
fn a_file_that_is_no_font_is_refused() {
    let bench = bench("fonts/Mine.ttf");
    bench.write("fonts/Mine.ttf", "not a font");
    let told = told(&bench);
    assert!(told.contains("The font 'fonts/Mine.ttf' cannot be read"), "{told}");
}

#[test]
fn a_font_outside_the_folder_is_refused() {
    let told = told(&bench("../Mine.ttf"));
    assert!(told.contains("../Mine.ttf"), "{told}");
}
