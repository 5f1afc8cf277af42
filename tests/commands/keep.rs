//! Nothing of the user's is overwritten or removed, whatever the command and the output.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use crate::small::{Bench, below};
use crate::svg_words::words;

/// Every command that writes, with a file that it writes.
const WRITING: [(&str, &str); 19] = [
    ("make sheet.ron --format svg", "out/base/card.en-US.svg"),
    ("make sheet.ron --format pdf", "out/base/card.en-GB.pdf"),
    ("make wide.ron --format pdf --panels a4", "out/wide/card.en-GB.panels-a4.pdf"),
    ("make sheet.ron --format png --dpi 100", "out/base/card.en-GB.100dpi.png"),
    ("make sheet.ron --format svg", "out/base/manifest.json"),
    ("make sheet.ron --format svg --paper matte", "out/base-matte/card.en-GB.svg"),
    ("export sheet.ron --to csv --out made", "made/disc.svg"),
    ("export sheet.ron --to xlsx --out made", "made/range.xlsx"),
    ("labels sheet.ron", "out/base/labels/labels.en-GB.1-of-1.cut.svg"),
    ("labels sheet.ron --trial", "out/base/labels/trial.form.csv"),
    ("proof sheet.ron --paper matte --figures", "out/base-proof/colours.csv"),
    ("check sheet.ron --out made/findings.txt", "made/findings.txt"),
    ("supplies sheet.ron --out made/buy.csv", "made/buy.csv"),
    ("board sheet.ron --out made/board.pdf --out made/board.csv", "made/board.csv"),
    ("tune sheet.ron --paper matte", "matte.values.ron"),
    ("compare older.ron range.ron --out changes.md", "changes.md"),
    ("lookalikes sheet.ron --out made/pairs.csv", "made/pairs.csv"),
    ("shapes sheet.ron --out made/shapes.pdf", "made/shapes.pdf"),
    ("compare older.ron range.ron --for buyers --out made/note.md", "made/note.md"),
];

/// With a sheet on a page larger than A4 besides.
fn bench() -> Bench {
    let bench = Bench::new();
    let sheet = std::fs::read_to_string(bench.folder.join("sheet.ron")).expect("there");
    bench.write("large.ron", "Layout(title: \"A3\", page: Paper(\"A3\"), scale: Fit)");
    bench
        .write("wide.ron", &sheet.replace("\"base\"", "\"wide\"").replace("page.ron", "large.ron"));
    bench
}

fn run(folder: &Path, words: &str) -> Output {
    let mut run = Command::new(env!("CARGO_BIN_EXE_shadecard"));
    run.args(words.split(' ')).current_dir(folder).output().expect("runs")
}

fn told(run: &Output) -> String {
    String::from_utf8_lossy(&run.stderr).into_owned()
}

fn done(folder: &Path, words: &str) {
    let run = run(folder, words);
    assert_eq!(run.status.code(), Some(0), "{words}\n{}", told(&run));
}

/// Refused with a message that names the file; nothing in the folder is another than before.
fn refused(bench: &Bench, words: &str, file: &str, why: &str) {
    let before = bench.made("");
    let run = run(&bench.folder, words);
    assert_eq!(run.status.code(), Some(1), "{words}\n{}", told(&run));
    let told = told(&run);
    assert!(told.contains(file) && told.contains(why), "{words}\n{told}");
    assert_eq!(told.matches("  Suggestion: ").count(), 1, "{words}\n{told}");
    assert!(told.contains("--replace"), "{words}\n{told}");
    assert!(bench.made("") == before, "{words}");
}

#[test]
fn a_file_of_somebody_elses_is_not_replaced() {
    for (words, file) in WRITING {
        let bench = bench();
        let path = bench.folder.join(file);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        bench.write(file, "mine");
        refused(&bench, words, file, "was not written by shadecard");
        done(&bench.folder, &format!("{words} --replace"));
        assert_ne!(std::fs::read(&path).expect("there"), b"mine", "{words}");
        done(&bench.folder, words);
    }
}

#[test]
fn a_file_that_was_changed_since_is_not_replaced() {
    for (words, file) in WRITING {
        let bench = bench();
        bench.value(0);
        done(&bench.folder, words);
        let path = bench.folder.join(file);
        let mut bytes = std::fs::read(&path).unwrap_or_else(|e| panic!("{words}: {e}"));
        let whole = bytes.clone();
        // Of the same size: the checksum tells it.
        let middle = bytes.len() / 2;
        bytes[middle] ^= 1;
        std::fs::write(&path, &bytes).expect("written");
        refused(&bench, words, file, "was changed since shadecard wrote it");
        done(&bench.folder, &format!("{words} --replace"));
        assert!(std::fs::read(&path).expect("there") == whole, "{words}");
        // Its own it replaces, whatever changed, and one that is gone it makes.
        bench.value(1);
        done(&bench.folder, words);
        std::fs::remove_file(&path).expect("removed");
        done(&bench.folder, words);
        assert!(path.is_file(), "{words}");
    }
}

#[cfg(unix)]
#[test]
fn a_link_is_not_replaced_and_what_it_names_not_either() {
    for (words, file) in WRITING {
        let bench = bench();
        let path = bench.folder.join(file);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        bench.write("kept.txt", "mine");
        std::os::unix::fs::symlink(bench.folder.join("kept.txt"), &path).expect("linked");
        refused(&bench, words, file, "was not written by shadecard");
        assert!(path.is_symlink(), "{words}");
    }
}

#[test]
fn two_runs_at_once_of_every_command() {
    for (words, file) in WRITING {
        let bench = bench();
        done(&bench.folder, words);
        let alone = bench.made("");
        let begin = || {
            let mut run = Command::new(env!("CARGO_BIN_EXE_shadecard"));
            run.args(words.split(' ')).current_dir(&bench.folder);
            run.stdout(std::process::Stdio::null()).stderr(std::process::Stdio::null());
            run.spawn().expect("runs")
        };
        for fresh in [true, false] {
            if fresh {
                std::fs::remove_file(bench.folder.join(file)).expect("removed");
            }
            for mut run in [begin(), begin(), begin()] {
                assert_eq!(run.wait().expect("ended").code(), Some(0), "{words}");
            }
            assert!(bench.made("") == alone, "{words}");
            assert!(bench.parts().is_empty(), "{words}");
        }
    }
}

#[test]
fn what_another_command_wrote_is_not_replaced() {
    let bench = bench();
    done(&bench.folder, "supplies sheet.ron --out made/list.csv");
    let words = "board sheet.ron --out made/list.csv";
    refused(&bench, words, "made/list.csv", "was written by 'supplies'");
    done(&bench.folder, "board sheet.ron --out made/list.csv --replace");
    refused(
        &bench,
        "lookalikes sheet.ron --out made/list.csv",
        "made/list.csv",
        "was written by 'board'",
    );
}

#[test]
fn all_files_are_named_at_once() {
    let bench = bench();
    std::fs::create_dir_all(bench.folder.join("out/base")).expect("made");
    for file in ["out/base/card.en-GB.svg", "out/base/card.en-US.pdf", "out/base/manifest.json"] {
        bench.write(file, "mine");
    }
    // Of no use to this run, and so in nobody's way.
    bench.write("out/base/notes.txt", "mine");
    let run = run(&bench.folder, "make sheet.ron --dpi 100");
    let message = "out/base/card.en-GB.svg, out/base/card.en-US.pdf and out/base/manifest.json were not written by \
                   shadecard: nothing is replaced";
    assert!(told(&run).contains(message), "{}", told(&run));
    assert_eq!(below(&bench.folder.join("out/base")).len(), 4);
}

#[test]
fn a_trial_sheet_leaves_the_labels_alone() {
    let bench = bench();
    done(&bench.folder, "labels sheet.ron");
    let before = bench.made("out");
    done(&bench.folder, "labels sheet.ron --trial");
    let after = bench.made("out");
    assert_eq!(after.len(), before.len() + 3);
    assert!(before.iter().all(|(path, bytes)| after[path] == *bytes));
}

/// Fewer sheets than before: those that are no more are removed, but for one that was changed.
#[test]
fn sheets_of_labels_that_are_no_more() {
    let bench = bench();
    let folder = bench.folder.join("out/base/labels");
    done(&bench.folder, "labels sheet.ron --copies 10 --spelling en-GB");
    bench.write("out/base/labels/labels.en-GB.9-of-9.cut.svg", "mine");
    bench.write("out/base/labels/labels.en-GB.2-of-2.cut.svg", "changed");
    let run = run(&bench.folder, "labels sheet.ron --spelling en-GB");
    assert_eq!(run.status.code(), Some(0), "{}", told(&run));
    let changed =
        "out/base/labels/labels.en-GB.2-of-2.cut.svg is from an earlier set and was changed since";
    assert!(told(&run).contains(changed), "{}", told(&run));
    let names: Vec<PathBuf> = below(&folder).into_keys().collect();
    let expected = [
        "1-of-1.cut.svg",
        "1-of-1.proof.png",
        "2-of-2.cut.svg",
        "9-of-9.cut.svg",
        "csv",
        "pdf",
        "print.pdf",
        "used.csv",
    ];
    assert_eq!(names, expected.map(|n| PathBuf::from(format!("labels.en-GB.{n}"))));
}

#[test]
fn each_kind_of_files_has_a_folder_of_its_own() {
    let bench = bench();
    let of = |more: &str| done(&bench.folder, &format!("make sheet.ron --format pdf{more}"));
    of("");
    of(" --paper matte");
    of(" --paper matte --colour-mode cmyk");
    of(" --paper matte --plain");
    of(" --style catalogue");
    let mut folders: Vec<String> = std::fs::read_dir(bench.folder.join("out"))
        .expect("made")
        .map(|e| e.expect("an entry").file_name().to_string_lossy().into_owned())
        .filter(|name| !name.starts_with('.'))
        .collect();
    folders.sort();
    let expected = ["base", "base-catalogue", "base-matte", "base-matte-cmyk", "base-matte-plain"];
    assert_eq!(folders, expected);
    // Of three colours the plain values may be the tuned ones.
    let pdfs: Vec<Vec<u8>> = expected[..4]
        .iter()
        .map(|f| std::fs::read(bench.folder.join(format!("out/{f}/card.en-GB.pdf"))).expect("made"))
        .collect();
    assert!((1..pdfs.len()).all(|i| !pdfs[..i].contains(&pdfs[i])));
    for more in ["", " --plain", " --colour-mode cmyk", " --colour-mode cmyk --plain"] {
        done(&bench.folder, &format!("proof sheet.ron --paper matte --figures{more}"));
    }
    let reports = ["base-proof", "base-proof-plain", "base-proof-cmyk", "base-proof-cmyk-plain"];
    for folder in reports {
        assert!(bench.folder.join(format!("out/{folder}/report.json")).is_file(), "{folder}");
    }
}

#[test]
fn the_manifest_is_that_of_the_folder() {
    let bench = bench();
    let manifest = || std::fs::read(bench.folder.join("out/base/manifest.json")).expect("there");
    done(&bench.folder, "make sheet.ron --dpi 100");
    let whole = manifest();
    for part in ["--spelling en-US --format svg", "--format pdf --spelling en-GB"] {
        done(&bench.folder, &format!("make sheet.ron {part}"));
        assert!(manifest() == whole, "{part}");
    }
    // What is not there any more, or was changed, is not listed.
    std::fs::remove_file(bench.folder.join("out/base/card.en-GB.pdf")).expect("removed");
    bench.write("out/base/card.en-GB.svg", "mine");
    done(&bench.folder, "make sheet.ron --spelling en-US --format svg --format pdf");
    let json: serde_json::Value = serde_json::from_slice(&manifest()).expect("JSON");
    let listed: Vec<&str> = json["files"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|f| f["file"].as_str().expect("a name"))
        .collect();
    let left =
        ["card.en-GB.100dpi.png", "card.en-US.100dpi.png", "card.en-US.pdf", "card.en-US.svg"];
    assert_eq!(listed, left);
    assert_eq!(
        std::fs::read(bench.folder.join("out/base/card.en-GB.svg")).expect("there"),
        b"mine"
    );
    // Nor after a run that has nothing else to do.
    std::fs::remove_file(bench.folder.join("out/base/card.en-GB.100dpi.png")).expect("removed");
    done(&bench.folder, "make sheet.ron --spelling en-US --format svg --format pdf");
    assert!(!String::from_utf8_lossy(&manifest()).contains("card.en-GB.100dpi.png"));
}

/// The first edition does not fit; the second one is made.
#[test]
fn an_edition_that_does_not_fit_stops_no_other() {
    let bench = bench();
    bench.write("tiny.ron", "Layout(title: \"Tiny\", page: Mm(50.0, 50.0), scale: Fit)");
    let sheet = std::fs::read_to_string(bench.folder.join("sheet.ron")).expect("there");
    let with = "editions: [(name: \"tiny\", layout: \"tiny.ron\", spellings: [\"en-GB\"]), ";
    bench.write("sheet.ron", &sheet.replace("editions: [", with));
    for words in ["make sheet.ron --format pdf", "plan sheet.ron"] {
        let run = run(&bench.folder, words);
        assert_eq!(run.status.code(), Some(1), "{}", told(&run));
        assert!(told(&run).contains("Edition 'tiny'"), "{}", told(&run));
        assert!(told(&run).contains("  Suggestion: "), "{}", told(&run));
        assert!(String::from_utf8_lossy(&run.stdout).contains("card"), "{words}");
    }
    assert!(bench.folder.join("out/base/card.en-GB.pdf").is_file());
    assert!(bench.folder.join("out/base/manifest.json").is_file());
    let again = run(&bench.folder, "make sheet.ron --format pdf");
    assert_eq!(again.status.code(), Some(1), "it is told at every run");
    let every = "proof sheet.ron --paper matte --edition tiny --edition card --quiet";
    let proof = run(&bench.folder, every);
    assert_eq!(proof.status.code(), Some(1), "{}", told(&proof));
    assert!(told(&proof).contains("Edition 'tiny'"), "{}", told(&proof));
    assert!(bench.folder.join("out/base-proof/matte.card.en-GB.proof.png").is_file());
}

#[test]
fn what_is_remembered_holds_no_path_of_the_machine() {
    let bench = bench();
    let sheet = bench.folder.join("sheet.ron").display().to_string();
    let out = bench.folder.join("out").display().to_string();
    done(&bench.folder, &format!("make {sheet} --out {out} --format svg --quiet"));
    done(&bench.folder, "make sheet.ron --format pdf");
    let notes = below(&bench.folder.join("out/.shadecard"));
    assert!(notes.len() > 3, "{:?}", notes.keys());
    for (name, bytes) in notes {
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let inputs = text.split("\"reported\"").next().unwrap_or_default();
        assert!(
            !inputs.contains(&bench.folder.display().to_string()),
            "{}: {text}",
            name.display()
        );
    }
}

#[test]
fn a_damaged_shape_or_profile_is_not_exported() {
    let bench = bench();
    let shape = std::fs::read_to_string(bench.folder.join("disc.svg")).expect("there");
    bench.write("disc.svg", &shape[..shape.len() / 2]);
    let run1 = run(&bench.folder, "export sheet.ron --to csv --out made");
    assert_eq!(run1.status.code(), Some(1), "{}", told(&run1));
    assert!(told(&run1).contains("disc.svg"), "{}", told(&run1));
    bench.write("disc.svg", &shape);
    let sheet = std::fs::read_to_string(bench.folder.join("sheet.ron")).expect("there");
    let papers = "papers: [(name: \"shop\", profile: \"shop.icc\")], editions: [";
    bench.write("sheet.ron", &sheet.replace("editions: [", papers));
    let profile = std::fs::read("profiles/coated.icc").expect("a profile");
    std::fs::write(bench.folder.join("shop.icc"), &profile[..profile.len() / 2]).expect("written");
    let run2 = run(&bench.folder, "export sheet.ron --to csv --out made");
    assert_eq!(run2.status.code(), Some(1), "{}", told(&run2));
    assert!(told(&run2).contains("shop.icc"), "{}", told(&run2));
    assert!(!bench.folder.join("made").exists());
}

/// A name is printed as it is written, in every spelling, and needs no dictionary.
#[test]
fn names_are_not_respelled() {
    let bench = bench();
    let range = std::fs::read_to_string(bench.folder.join("range.ron")).expect("there");
    let (head, rest) = range.split_once("Range(").expect("a range");
    let rest = rest.lines().filter(|l| !l.trim_start().starts_with("maker:"));
    let rest: Vec<&str> = rest.collect();
    let names =
        "Range(\n maker: \"Grey Harbour Colour Works\", proper_names: [\"Theatre Grey\"],\n";
    bench.write("range.ron", &format!("{head}{names}{}", rest.join("\n")));
    let sheet = std::fs::read_to_string(bench.folder.join("sheet.ron")).expect("there");
    let texts = "title: \"Grey colours by {maker}\", proper_names: [\"Fibre\"], corner_text: \"Theatre Grey, Fibre\", \
                 subtitle: \"A grey theatre\"";
    bench.write("sheet.ron", &sheet.replace("title: \"Base\"", texts));
    done(&bench.folder, "make sheet.ron --format svg");
    let svg = std::fs::read_to_string(bench.folder.join("out/base/card.en-US.svg")).expect("made");
    let svg = words(&svg);
    for text in ["Grey Harbour Colour Works", "Theatre Grey, Fibre", "A gray theater"] {
        assert!(svg.contains(text), "{text}");
    }
    assert!(svg.contains("Gray colors by"));
    let check = run(&bench.folder, "check sheet.ron");
    let said = String::from_utf8_lossy(&check.stdout).into_owned();
    assert!(!said.contains("other-spelling"), "{said}");
}
