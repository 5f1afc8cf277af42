//! The disk fails at every single thing that a run asks of it: the run says so, and leaves whole files.
//!
//! A run has a disk of its own, so that all of them run side by side in this process. The error numbers are those of
//! Linux (errno.h).
#![cfg(target_os = "linux")]

use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Once;
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::small::{Bench, Saved, Tree, below, restore, run_at, save, whole};
use shadecard::console::Console;
use shadecard::disk::{Disk, Op};
use shadecard::session::Session;

/// Number, and what is told of it.
const ERRORS: [(i32, &str); 3] =
    [(28, "the disk is full"), (5, "input/output error"), (13, "permission denied")];
const MAKE: &[&str] = &["make", "@sheet.ron", "--dpi", "100", "--out", "@out"];

/// What a run ended with, and where the disk failed first.
struct Ran {
    code: u8,
    told: String,
    struck: Option<PathBuf>,
    /// Panics of this process by now, on whatever thread.
    panics: usize,
}

fn run(folder: &Path, words: &[&str], fault: Option<(Op, Range<usize>, i32)>) -> Ran {
    let disk = match fault {
        Some((op, which, error)) => Disk::failing(op, which, error),
        None => Disk::default(),
    };
    let console = Console::in_memory();
    let (of_run, of_console) = (disk.clone(), console.clone());
    let session = Session { disk: of_run, console: of_console, ..Session::default() };
    let code = run_at(folder, words, &session);
    Ran { code, told: console.printed().err, struck: disk.struck(), panics: panics() }
}

/// How often anything has panicked since this was asked first.
fn panics() -> usize {
    static COUNT: AtomicUsize = AtomicUsize::new(0);
    static LISTENS: Once = Once::new();
    LISTENS.call_once(|| {
        let usual = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |info| {
            COUNT.fetch_add(1, Ordering::SeqCst);
            usual(info);
        }));
    });
    COUNT.load(Ordering::SeqCst)
}

#[test]
fn a_disk_without_faults() {
    let ran = run(&Bench::new().folder, MAKE, None);
    assert_eq!((ran.code, ran.told.as_str(), ran.struck), (0, "", None));
}

/// A folder as it is before a run, and as one without faults leaves it.
struct Case<'a> {
    words: &'a [&'a str],
    bench: &'a Bench,
    out: &'a str,
    before: Saved,
    old: Tree,
    new: Tree,
}

impl<'a> Case<'a> {
    /// Runs twice, with the old value (unless nothing is to be there) and the new one.
    fn new(bench: &'a Bench, words: &'a [&'a str], out: &'a str, from_nothing: bool) -> Case<'a> {
        let run = |which: usize| {
            bench.value(which);
            let ran = run(&bench.folder, words, None);
            assert_eq!(ran.code, 0, "{words:?}: {}", ran.told);
            (save(&bench.folder.join(out)), bench.made(out))
        };
        let nothing = || (save(&bench.folder.join(out)), Tree::new());
        let (before, old) = if from_nothing { nothing() } else { run(0) };
        let (_, new) = run(1);
        Case { words, bench, out, before, old, new }
    }

    /// What is wrong after the disk failed once; `None` when there was nothing left to fail at.
    fn fails(&self, fault: (Op, Range<usize>, i32), why: &str) -> Option<Result<(), String>> {
        let folder = self.bench.folder.join(self.out);
        let op = fault.0;
        restore(&folder, &self.before);
        let ran = run(&self.bench.folder, self.words, Some(fault));
        let struck = ran.struck.clone()?;
        Some(self.check(op, &ran, &struck, why).map_err(|e| format!("{e}\n{}", ran.told)))
    }

    fn check(&self, op: Op, ran: &Ran, struck: &Path, why: &str) -> Result<(), String> {
        let need = |holds: bool, what: &str| holds.then_some(()).ok_or_else(|| what.to_owned());
        let found = self.bench.made(self.out);
        need(ran.panics == 0, "a panic")?;
        match ran.code {
            2 => {
                let name = struck.display().to_string();
                need(ran.told.contains(&name), &format!("does not name {name}"))?;
                need(ran.told.contains(why), &format!("does not say '{why}'"))?;
                need(ran.told.matches("Suggestion: ").count() == 1, "no way out")?;
            }
            // What is only remembered, or left behind, is not needed.
            0 => {
                need(!is_needed(op), "success")?;
                need(found == self.new, "success without the files")?;
            }
            code => return Err(format!("exit code {code}")),
        }
        whole(&found, &self.old, &self.new)?;
        need(self.bench.parts().is_empty(), "a part of a file")?;
        let manifest = Path::new("base/manifest.json");
        if found.get(manifest).is_some_and(|m| self.new.get(manifest) == Some(m)) {
            need(found == self.new, "the new manifest without the new files")?;
        }
        self.again()
    }

    /// A plain run after it, where even a file is lost.
    fn again(&self) -> Result<(), String> {
        let lost = self.bench.folder.join(self.out).join("base/card.en-GB.svg");
        let _ = std::fs::remove_file(lost);
        let ran = run(&self.bench.folder, self.words, None);
        let found = self.bench.made(self.out);
        let right = ran.code == 0 && found == self.new && self.bench.parts().is_empty();
        right.then_some(()).ok_or_else(|| format!("the run after it: {} {}", ran.code, ran.told))
    }

    /// Lets every one of the operations fail, alone or with all after it; how many there were.
    fn all(&self, op: Op, (error, why): (i32, &str), alone: bool) -> usize {
        for at in 0.. {
            let end = if alone { at + 1 } else { usize::MAX };
            match self.fails((op, at..end, error), why) {
                None => return at,
                Some(Ok(())) => {}
                Some(Err(e)) => panic!("{:?}: {op:?} {at}, error {error}: {e}", self.words),
            }
        }
        unreachable!("a run ends")
    }
}

/// Or is it only there to help?
fn is_needed(op: Op) -> bool {
    matches!(op, Op::Folder | Op::Begin | Op::Write | Op::Rename)
}

/// A sheet that was made before, and one that was not; at least so many operations are there to fail.
fn make(op: Op, [least, least_from_nothing]: [usize; 2]) {
    let bench = Bench::new();
    let case = Case::new(&bench, MAKE, "out", true);
    let count = case.all(op, ERRORS[0], true);
    assert!(count >= least_from_nothing, "{op:?}: only {count} from nothing");
    let case = Case::new(&bench, MAKE, "out", false);
    // The old set and the new one differ in every file.
    assert!(case.old.len() == 7 && case.old.iter().all(|(name, bytes)| case.new[name] != *bytes));
    // What is only remembered is done without, whatever the error.
    let errors = if is_needed(op) { &ERRORS[..] } else { &ERRORS[1..2] };
    for error in errors {
        let count = case.all(op, *error, true);
        assert!(count >= least, "{op:?}: only {count}");
    }
    if is_needed(op) {
        // A full disk stays full: what is reported is what failed first.
        case.all(op, ERRORS[0], false);
    }
}

// Seven files, an index and a note.

#[test]
fn a_file_that_cannot_be_begun() {
    make(Op::Begin, [9, 9]);
}

#[test]
fn a_disk_that_takes_no_more() {
    make(Op::Write, [9, 9]);
}

#[test]
fn a_file_that_cannot_be_put_in_its_place() {
    make(Op::Rename, [9, 9]);
}

#[test]
fn a_folder_that_cannot_be_made() {
    make(Op::Folder, [3, 3]);
}

#[test]
fn what_earlier_runs_left_cannot_be_opened() {
    make(Op::Open, [5, 3]);
}

#[test]
fn what_earlier_runs_left_cannot_be_looked_at() {
    make(Op::Look, [12, 9]);
}

#[test]
fn what_earlier_runs_left_cannot_be_read() {
    make(Op::Read, [2, 0]);
}

/// Then it stays, and the next run removes it.
#[test]
fn what_a_killed_run_left_cannot_be_removed() {
    let bench = Bench::new();
    let case = Case::new(&bench, MAKE, "out", false);
    let half = bench.folder.join("out/base/.card.en-GB.svg.x1y2z3.part");
    std::fs::write(&half, "half").expect("written");
    let ran = run(&bench.folder, &[MAKE, &["--fresh"]].concat(), Some((Op::Remove, 0..1, 5)));
    assert_eq!((ran.code, ran.struck), (0, Some(half)));
    assert_eq!(bench.parts().len(), 1);
    let ran = run(&bench.folder, &[MAKE, &["--fresh"]].concat(), None);
    assert_eq!(ran.code, 0);
    assert!(bench.parts().is_empty() && bench.made("out") == case.new);
}

/// The commands that write files of their own: each file is the old one or the new one there, too.
#[test]
fn every_other_command() {
    let commands = [
        "export @sheet.ron --to csv --out @made",
        "export @sheet.ron --to xlsx --out @made",
        "labels @sheet.ron --out @made",
        "proof @sheet.ron --paper matte --figures --out @made",
        "check @sheet.ron --out @made/findings.txt",
        "supplies @sheet.ron --out @made/buy.csv",
        "board @sheet.ron --out @made/board.pdf --out @made/board.csv",
        "tune @sheet.ron --paper matte --out @made/values.ron",
        "compare @older.ron @range.ron --out @made/changes.md",
        "lookalikes @sheet.ron --out @made/pairs.csv",
    ];
    for command in commands {
        let words: Vec<&str> = command.split(' ').collect();
        let bench = Bench::new();
        let case = Case::new(&bench, &words, "made", false);
        for op in [Op::Begin, Op::Write, Op::Rename, Op::Folder] {
            assert!(case.all(op, ERRORS[0], true) > 0, "{command}: {op:?}");
        }
        restore(&bench.folder.join("made"), &case.before);
    }
}

/// `new` overwrites nothing, so a folder that was only half filled would be in the way of the next try.
#[test]
fn a_new_folder_is_there_with_all_its_files_or_not_at_all() {
    let bench = Bench::new();
    for op in [Op::Begin, Op::Write, Op::Rename, Op::Folder] {
        for at in 0.. {
            let ran = run(&bench.folder, &["new", "@spring"], Some((op, at..at + 1, 28)));
            let made = below(&bench.folder.join("spring"));
            let Some(struck) = ran.struck else {
                assert_eq!((ran.code, made.len()), (0, 6), "{op:?} {at}");
                assert!(at > 0);
                break;
            };
            assert_eq!((ran.code, made.len()), (2, 0), "{op:?} {at}: {}", ran.told);
            assert!(ran.told.contains(&struck.display().to_string()), "{}", ran.told);
            assert!(!bench.folder.join("spring").exists(), "{op:?} {at}");
        }
        std::fs::remove_dir_all(bench.folder.join("spring")).expect("removed");
    }
}
