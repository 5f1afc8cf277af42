//! Runs after the first: what has not changed is left alone, what has changed
//! is as a first run would make it.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::SystemTime;

use crate::common;
use crate::common::shelf::Memory;
use crate::small::copy;
use shadecard::paint::png::{Form, Frame, Picture, Raster, Strip, png_again};
use shadecard::sheet::identity::Identity;
use shadecard::sheet::{ItemKind, Sheet, SymbolId};
use shadecard::units::Dpi;

/// A copy of the demo, made on A4.
struct Bench {
    dir: tempfile::TempDir,
}

impl Bench {
    fn new() -> Bench {
        let dir = tempfile::tempdir().expect("a folder");
        copy(Path::new("demo/haberdashery"), dir.path());
        Bench { dir }
    }

    fn make(&self, more: &[&str]) -> Output {
        let run = self.ask(more);
        assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
        run
    }

    fn ask(&self, more: &[&str]) -> Output {
        let sheet = self.dir.path().join("sheet.ron");
        let mut args = vec!["make", sheet.to_str().expect("a name"), "--edition", "a4"];
        args.extend(more);
        Command::new(env!("CARGO_BIN_EXE_shadecard"))
            .args(args)
            .current_dir(self.dir.path())
            .output()
            .expect("runs")
    }

    fn folder(&self) -> PathBuf {
        self.dir.path().join("out/haberdashery")
    }

    /// Every file, with its bytes and when it was written.
    fn files(&self) -> BTreeMap<String, (Vec<u8>, SystemTime)> {
        let entries = std::fs::read_dir(self.folder()).expect("a folder").flatten();
        entries
            .map(|e| {
                let written = e.metadata().and_then(|m| m.modified()).expect("a time");
                let bytes = std::fs::read(e.path()).expect("read");
                (e.file_name().to_string_lossy().into_owned(), (bytes, written))
            })
            .collect()
    }

    fn change(&self, file: &str, from: &str, to: &str) {
        let path = self.dir.path().join(file);
        let text = std::fs::read_to_string(&path).expect("read");
        assert!(text.contains(from), "{from}");
        std::fs::write(path, text.replace(from, to)).expect("written");
    }

    /// What a run without any past makes of it.
    fn afresh(&self) -> BTreeMap<String, Vec<u8>> {
        std::fs::remove_dir_all(self.dir.path().join("out")).expect("removed");
        self.make(&[]);
        self.files().into_iter().map(|(name, (bytes, _))| (name, bytes)).collect()
    }
}

fn bytes(files: &BTreeMap<String, (Vec<u8>, SystemTime)>) -> BTreeMap<String, Vec<u8>> {
    files.iter().map(|(name, (bytes, _))| (name.clone(), bytes.clone())).collect()
}

#[test]
fn nothing_is_written_where_nothing_has_changed() {
    let bench = Bench::new();
    let first = bench.make(&[]);
    let before = bench.files();
    assert_eq!(before.len(), 9);
    let second = bench.make(&[]);
    assert!(bench.files() == before);
    assert_eq!(first.stdout, second.stdout);
    assert!(String::from_utf8_lossy(&second.stderr).contains("nothing has changed"));
    // Asked for something else, it makes that, and leaves what is there.
    bench.make(&["--format", "svg", "--json"]);
    for (name, (bytes, written)) in bench.files() {
        assert!(name == "manifest.json" || before[&name] == (bytes, written), "{name}");
    }
}

#[test]
fn whatever_changes_the_files_are_those_of_a_first_run() {
    let bench = Bench::new();
    bench.make(&[]);
    let changes: [(&str, &str, &str); 5] = [
        ("range.ron", "value: \"#c92a2e\"", "value: \"#c92a6e\""),
        ("range.ron", "\"Wreck Buoy\"", "\"Wreck Gray Buoy\""),
        ("sheet.ron", "title: \"Buttons & Beads of the Tideline\"", "title: \"Buttons & Beads\""),
        ("sheet.ron", "(name: \"a4\",         layout: \"a4\")", "(name: \"a4\", layout: \"a3\")"),
        ("range.ron", "last: 2025", "last: 2024"),
    ];
    for (file, from, to) in changes {
        bench.change(file, from, to);
        bench.make(&[]);
        let again = bytes(&bench.files());
        let afresh = bench.afresh();
        assert_eq!(again.keys().collect::<Vec<_>>(), afresh.keys().collect::<Vec<_>>());
        for (name, bytes) in again {
            assert!(bytes == afresh[&name], "{name} after '{to}'");
        }
    }
}

#[test]
fn a_spelling_file_that_appears_is_seen() {
    let bench = Bench::new();
    bench.make(&[]);
    let folder = bench.dir.path().join("spelling");
    std::fs::create_dir(&folder).expect("made");
    std::fs::write(folder.join("en-US.ron"), "Spelling(scale_fit: \"at {scale} in all\")")
        .expect("written");
    let sheet = bench.dir.path().join("sheet.ron");
    let run = Command::new(env!("CARGO_BIN_EXE_shadecard"))
        .args(["make", sheet.to_str().expect("a name"), "--edition", "a4"])
        .current_dir(bench.dir.path())
        .output()
        .expect("runs");
    // Whether the file is good or not: the run must not say that nothing has changed.
    assert!(!String::from_utf8_lossy(&run.stderr).contains("nothing has changed"));
}

/// A file that is gone is made again; one that is not as it was written any more may be somebody's work, and is
/// replaced only where that is asked for.
#[test]
fn files_that_were_harmed_are_made_again() {
    let bench = Bench::new();
    bench.make(&[]);
    let before = bytes(&bench.files());
    let at = |name: &str| bench.folder().join(name);
    std::fs::remove_file(at("a4.en-GB.svg")).expect("removed");
    std::fs::write(at("a4.en-US.pdf"), b"%PDF-1.7 cut").expect("written");
    // One byte in the middle of the pixels that the other spelling would borrow.
    let mut png = before["a4.en-GB.300dpi.png"].clone();
    let middle = png.len() / 2;
    png[middle] ^= 0x10;
    std::fs::write(at("a4.en-GB.300dpi.png"), png).expect("written");
    std::fs::remove_file(at("a4.en-US.300dpi.png")).expect("removed");
    std::fs::write(bench.folder().join(".a4.en-GB.svg.x1y2z3.part"), b"half").expect("written");
    let refused = bench.ask(&[]);
    assert_eq!(refused.status.code(), Some(1));
    let told = String::from_utf8_lossy(&refused.stderr);
    for name in ["a4.en-US.pdf", "a4.en-GB.300dpi.png"] {
        assert!(told.contains(name), "{told}");
    }
    assert_eq!(std::fs::read(at("a4.en-US.pdf")).expect("there"), b"%PDF-1.7 cut");
    bench.make(&["--replace"]);
    assert!(bytes(&bench.files()) == before);
}

/// Size and time of writing say that nothing has changed; the system's own time does not, and `--fresh`
/// looks at the bytes anyhow.
#[test]
fn damage_that_neither_size_nor_time_of_writing_shows_is_found() {
    let bench = Bench::new();
    bench.make(&[]);
    let before = bytes(&bench.files());
    let path = bench.folder().join("a4.en-GB.pdf");
    let time = path.metadata().and_then(|m| m.modified()).expect("a time");
    let mut pdf = before["a4.en-GB.pdf"].clone();
    let middle = pdf.len() / 2;
    pdf[middle] ^= 1;
    std::fs::write(&path, pdf).expect("written");
    let file = std::fs::File::options().write(true).open(&path).expect("there");
    file.set_modified(time).expect("set");
    let ways: &[&[&str]] = if cfg!(unix) { &[&[], &["--fresh"]] } else { &[&["--fresh"]] };
    for way in ways {
        let told = bench.ask(way);
        assert_eq!(told.status.code(), Some(1), "{way:?}");
        assert!(String::from_utf8_lossy(&told.stderr).contains("a4.en-GB.pdf was changed since"));
    }
    bench.make(&["--replace"]);
    assert!(bytes(&bench.files()) == before);
}

/// Also where files and inputs are as an earlier run noted them: a run on other values was killed between.
#[test]
fn what_a_killed_run_left_is_removed_where_nothing_else_is_to_be_done() {
    let bench = Bench::new();
    bench.make(&[]);
    let before = bytes(&bench.files());
    let memory = bench.dir.path().join("out/.shadecard/reuse");
    let left = [bench.folder().join(".a4.en-GB.svg.x1y2z3.part"), memory.join(".x.json.q1.part")];
    left.iter().for_each(|path| std::fs::write(path, b"half").expect("written"));
    bench.make(&[]);
    assert!(left.iter().all(|path| !path.exists()));
    assert!(bytes(&bench.files()) == before);
}

#[test]
fn fresh_draws_what_is_there_already() {
    let bench = Bench::new();
    bench.make(&[]);
    let before = bench.files();
    bench.make(&["--fresh"]);
    for (name, (bytes, written)) in bench.files() {
        assert!(before[&name].0 == bytes, "{name}");
        assert_ne!(before[&name].1, written, "{name}");
    }
}

#[test]
fn two_runs_at_once_take_turns() {
    let bench = Bench::new();
    let sheet = bench.dir.path().join("sheet.ron");
    let begin = |more: &[&str]| {
        let mut run = Command::new(env!("CARGO_BIN_EXE_shadecard"));
        run.args(["make", sheet.to_str().expect("a name"), "--edition", "a4", "--fresh", "-q"]);
        run.args(more).current_dir(bench.dir.path()).spawn().expect("runs")
    };
    let runs = [begin(&[]), begin(&["--dpi", "100", "--dpi", "300"]), begin(&[])];
    for mut run in runs {
        assert!(run.wait().expect("ended").success());
    }
    let together = bytes(&bench.files());
    assert_eq!(together.len(), 9, "no half-written file is left");
    let again = bench.make(&[]);
    assert!(again.status.success());
    let alone = bench.afresh();
    for (name, bytes) in together {
        assert!(bytes == alone[&name], "{name}");
    }
}

fn paint(sheet: &Sheet, shelf: &Memory) -> (Vec<u8>, Vec<Strip>) {
    let mut bytes = std::io::Cursor::new(Vec::new());
    let colours = sheet.palette.published();
    let items = Identity::of(sheet.coloured(&colours)).items;
    let frame = Frame::at((sheet.width, sheet.height), 0.0, Dpi::PREVIEW);
    let mut rasters = [Raster { form: Form::Png, frame, out: &mut bytes }];
    let picture =
        Picture { painted: sheet.coloured(&colours), items: &items[0], rasters: &mut rasters };
    let strips = png_again(&mut [picture], 0, shelf, 2, &|_| Ok(()));
    (bytes.into_inner(), strips.expect("painted").remove(0).remove(0))
}

#[test]
fn only_the_strips_of_a_changed_part_are_drawn() {
    let mut sheet = common::poster();
    let (first, strips) = paint(&sheet, &Memory::default());
    let lend = |strip: &Strip| {
        let data = first[strip.at as usize..(strip.at + strip.len) as usize].to_vec();
        (strip.key, (data, strip.adler))
    };
    let shelf = Memory { strips: strips.iter().map(lend).collect(), taken: AtomicUsize::new(0) };
    let (again, _) = paint(&sheet, &shelf);
    assert!(again == first);
    assert_eq!(shelf.taken.swap(0, Ordering::Relaxed), strips.len());

    let middle = sheet.pages[0].items.len() / 2;
    let used = sheet.pages[0].items[middle..].iter_mut().find_map(|item| match &mut item.kind {
        ItemKind::Use(used) => Some((used, item.bounds)),
        _ => None,
    });
    let (used, bounds) = used.expect("a part");
    assert_ne!(used.symbol, SymbolId(0));
    used.symbol = SymbolId(0);
    let (changed, _) = paint(&sheet, &shelf);
    assert!(changed != first);
    assert!(changed == paint(&sheet, &Memory::default()).0);
    // Strips are 42 rows of 300 dpi at most; the item can touch these, and one at each end.
    let touched = (bounds.height() / 25.4 * 300.0 / 42.0).ceil() as usize + 2;
    let taken = shelf.taken.load(Ordering::Relaxed);
    assert!(taken < strips.len() && taken + touched >= strips.len(), "{taken} of {}", strips.len());
}
