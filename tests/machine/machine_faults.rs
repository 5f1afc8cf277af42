//! The disk fails at every single thing that a run asks of it: the run says so, and leaves whole files.
//!
//! A run is a process of its own: this test program, told to be the program with one fault to come (see `a_run`). The
//! error numbers are those of Linux (errno.h).
#![cfg(target_os = "linux")]

use std::ops::Range;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::small::{Bench, Saved, Tree, below, restore, save, whole};
use shadecard::edition::disk::{self, Op};

/// Number, and what is told of it.
const ERRORS: [(i32, &str); 3] =
    [(28, "the disk is full"), (5, "input/output error"), (13, "permission denied")];
const MAKE: &[&str] = &["make", "sheet.ron", "--dpi", "100"];

/// What a run ended with, and where the disk failed first.
struct Ran {
    code: Option<i32>,
    told: String,
    struck: Option<PathBuf>,
}

fn run(folder: &Path, words: &[&str], fault: Option<(Op, Range<usize>, i32)>) -> Ran {
    let mut child = Command::new(std::env::current_exe().expect("this program"));
    child.args(["machine_faults::a_run", "--exact", "--nocapture"]).current_dir(folder);
    child.env("WORDS", words.join(" "));
    if let Some((op, Range { start, end }, error)) = fault {
        let op = Op::ALL.iter().position(|o| *o == op).expect("an operation");
        child.env("FAULT", format!("{op} {start} {end} {error}"));
    }
    let out = child.output().expect("it runs");
    let printed = String::from_utf8_lossy(&out.stdout).into_owned();
    let struck = printed.lines().find_map(|l| l.strip_prefix("struck ")).map(PathBuf::from);
    let told = String::from_utf8_lossy(&out.stderr).into_owned();
    Ran { code: out.status.code(), told, struck }
}

/// With `WORDS` this is the program, which ends with its exit code; alone, that a run without a fault succeeds.
#[test]
fn a_run() {
    let Ok(words) = std::env::var("WORDS") else {
        let ran = run(&Bench::new().folder, MAKE, None);
        assert_eq!((ran.code, ran.told.as_str(), ran.struck), (Some(0), "", None));
        return;
    };
    if let Ok(fault) = std::env::var("FAULT") {
        let numbers: Vec<usize> = fault.split(' ').map(|n| n.parse().expect("a number")).collect();
        let [op, start, end, error] = numbers[..] else { panic!("{fault}") };
        disk::fail(Op::ALL[op], start..end, i32::try_from(error).expect("a number"));
    }
    let words = std::iter::once("shadecard").chain(words.split(' ')).map(Into::into);
    let code = shadecard::cli::run_with(words.collect());
    if let Some(path) = disk::struck() {
        println!("\nstruck {}", path.display());
    }
    std::process::exit(code.into());
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
            assert_eq!(ran.code, Some(0), "{words:?}: {}", ran.told);
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
        need(!ran.told.contains("panicked"), "a panic")?;
        match ran.code {
            Some(2) => {
                let name = struck.display().to_string();
                need(ran.told.contains(&name), &format!("does not name {name}"))?;
                need(ran.told.contains(why), &format!("does not say '{why}'"))?;
                need(ran.told.matches(" = help: ").count() == 1, "no way out")?;
            }
            // What is only remembered, or left behind, is not needed.
            Some(0) => {
                need(!is_needed(op), "success")?;
                need(found == self.new, "success without the files")?;
            }
            code => return Err(format!("exit code {code:?}")),
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
        let right = ran.code == Some(0) && found == self.new && self.bench.parts().is_empty();
        right.then_some(()).ok_or_else(|| format!("the run after it: {:?} {}", ran.code, ran.told))
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
        // A full disk stays full: what is told is what failed first.
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
    assert_eq!(
        (ran.code, ran.struck),
        (Some(0), Some(half.strip_prefix(&bench.folder).expect("below").into()))
    );
    assert_eq!(bench.parts().len(), 1);
    let ran = run(&bench.folder, &[MAKE, &["--fresh"]].concat(), None);
    assert_eq!(ran.code, Some(0));
    assert!(bench.parts().is_empty() && bench.made("out") == case.new);
}

/// The commands that write files of their own: each file is the old one or the new one there, too.
#[test]
fn every_other_command() {
    let commands = [
        "export sheet.ron --to csv --out made",
        "export sheet.ron --to xlsx --out made",
        "labels sheet.ron --out made",
        "proof sheet.ron --paper matte --figures --out made",
        "check sheet.ron --out made/findings.txt",
        "supplies sheet.ron --out made/buy.csv",
        "board sheet.ron --out made/board.pdf --out made/board.csv",
        "tune sheet.ron --paper matte --out made/values.ron",
        "compare older.ron range.ron --out made/changes.md",
        "lookalikes sheet.ron --out made/pairs.csv",
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
            let ran = run(&bench.folder, &["new", "spring"], Some((op, at..at + 1, 28)));
            let made = below(&bench.folder.join("spring"));
            let Some(struck) = ran.struck else {
                assert_eq!((ran.code, made.len()), (Some(0), 6), "{op:?} {at}");
                assert!(at > 0);
                break;
            };
            assert_eq!((ran.code, made.len()), (Some(2), 0), "{op:?} {at}: {}", ran.told);
            assert!(ran.told.contains(&struck.display().to_string()), "{}", ran.told);
            assert!(!bench.folder.join("spring").exists(), "{op:?} {at}");
        }
        std::fs::remove_dir_all(bench.folder.join("spring")).expect("removed");
    }
}
