//! Runs that are killed, stopped, cut off from whoever reads them, or made at once: files stay whole, and the next run
//! sets everything right. Instants are drawn with a fixed seed; when they fall is up to the machine, and no time is
//! asserted.
#![cfg(unix)]

use std::os::unix::process::ExitStatusExt;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::time::{Duration, Instant};

use crate::small::{Bench, Tree, whole};

/// Both ways to make a picture, and all other kinds of files.
const MAKE: &[&str] = &["make", "sheet.ron", "--dpi", "50", "--dpi", "100"];

fn command(bench: &Bench, words: &[&str]) -> Command {
    let mut run = Command::new(env!("CARGO_BIN_EXE_shadecard"));
    run.args(words).current_dir(&bench.folder).stdout(Stdio::null()).stderr(Stdio::null());
    run
}

fn begin(bench: &Bench, words: &[&str]) -> Child {
    command(bench, words).spawn().expect("runs")
}

/// Runs to the end.
fn plain(bench: &Bench, words: &[&str]) {
    let status = command(bench, words).status().expect("runs");
    assert_eq!(status.code(), Some(0), "{words:?}");
}

/// What runs without a past make of both values, and how long the second of them took.
fn both(bench: &Bench) -> ([Tree; 2], Duration) {
    let mut took = Duration::ZERO;
    let made = [0, 1].map(|which| {
        bench.value(which);
        let from = Instant::now();
        plain(bench, &[MAKE, &["--fresh"]].concat());
        took = from.elapsed();
        bench.made("out")
    });
    assert!(made[0].len() == 9 && made[0].iter().all(|(name, bytes)| made[1][name] != *bytes));
    (made, took)
}

/// Numbers from 0 to 1, always the same (a linear congruential generator with the constants of Knuth's MMIX).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (self.0 >> 40) as f64 / (1u64 << 24) as f64
    }
}

/// Ends runs of the two values in turns, each at an instant of its own; after every one all files are whole, and after
/// every tenth a run sets everything right. Returns how they ended.
fn ended(times: usize, seed: u64, end: fn(&mut Child)) -> Vec<ExitStatus> {
    let bench = Bench::new();
    let (made, took) = both(&bench);
    let mut chance = Chance(seed);
    let mut ends = Vec::new();
    for n in 0..times {
        bench.value(n % 2);
        let mut run = begin(&bench, MAKE);
        std::thread::sleep(took.mul_f64(1.1 * chance.next()));
        end(&mut run);
        let status = run.wait().expect("ended");
        let found = bench.made("out");
        let shown =
            found.into_iter().filter(|(path, _)| path.extension().is_some_and(|e| e != "part"));
        whole(&shown.collect(), &made[0], &made[1])
            .unwrap_or_else(|e| panic!("{n}, {status}: {e}"));
        if status.signal().is_none() {
            assert!(bench.parts().is_empty(), "{n}, {status}: {:?}", bench.parts());
        }
        ends.push(status);
        if n % 10 == 9 {
            plain(&bench, MAKE);
            assert!(bench.made("out") == made[n % 2], "the run after {n}");
            assert!(bench.parts().is_empty(), "{:?}", bench.parts());
        }
    }
    ends
}

#[test]
fn killed_at_any_instant() {
    let ends = ended(100, 1, |run| run.kill().expect("killed"));
    let killed = ends.iter().filter(|s| s.signal() == Some(9)).count();
    assert!(killed > 0, "none was killed before its end");
}

#[test]
fn stopped_at_any_instant() {
    let ends = ended(50, 2, |run| {
        // Not there any more, if it is done.
        let _ = Command::new("kill").args(["-INT", &run.id().to_string()]).status();
    });
    for status in &ends {
        // Before the program listens the signal ends it, which a shell calls 130 as well.
        let stopped = status.code() == Some(130) || status.signal() == Some(2);
        assert!(stopped || status.code() == Some(0), "{status}");
    }
    assert!(ends.iter().any(|s| s.code() == Some(130)), "none was stopped before its end");
}

#[test]
fn two_runs_at_once() {
    let bench = Bench::new();
    let (made, _) = both(&bench);
    let other = |which: usize| {
        bench.value(which);
        plain(&bench, &["make", "other.ron", "--dpi", "100", "--fresh"]);
        bench.made("out").into_iter().filter(|(path, _)| path.starts_with("other")).collect()
    };
    let others: [Tree; 2] = [other(0), other(1)];
    for n in 0..50 {
        bench.value(n % 2);
        // Of one sheet, and of two that share the folder and the memory.
        let second: &[&str] =
            if n % 3 == 2 { &["make", "other.ron", "--dpi", "100"] } else { MAKE };
        let mut runs = [begin(&bench, MAKE), begin(&bench, second)];
        for run in &mut runs {
            assert_eq!(run.wait().expect("ended").code(), Some(0), "{n}");
        }
        let mut right = made[n % 2].clone();
        let found = bench.made("out");
        let of = |name: &str| -> Tree {
            found.clone().into_iter().filter(|(path, _)| path.starts_with(name)).collect()
        };
        assert!(of("base") == right, "{n}");
        if n % 3 == 2 {
            right = others[n % 2].clone();
            assert!(of("other") == right, "{n}");
        }
        assert!(bench.parts().is_empty(), "{n}: {:?}", bench.parts());
    }
}

/// Every other command that writes.
const WRITING: [&str; 12] = [
    "labels sheet.ron",
    "labels sheet.ron --trial",
    "board sheet.ron --out out/board.pdf --out out/board.csv",
    "supplies sheet.ron --out out/buy.pdf",
    "shapes sheet.ron --out out/shapes.pdf",
    "tune sheet.ron --paper matte --out out/matte.ron",
    "proof sheet.ron --paper matte",
    "lookalikes sheet.ron --out out/pairs.csv",
    "compare older.ron range.ron --out out/changes.md",
    "compare older.ron range.ron --for buyers --out out/note.pdf",
    "check sheet.ron --out out/findings.csv",
    "export sheet.ron --to csv --out out/tables",
];

#[test]
fn two_runs_of_every_command() {
    for words in WRITING {
        let words: Vec<&str> = words.split(' ').collect();
        let bench = Bench::new();
        plain(&bench, &words);
        let alone = bench.made("out");
        assert!(!alone.is_empty(), "{words:?} writes");
        for n in 0..6 {
            std::fs::remove_dir_all(bench.folder.join("out")).expect("removed");
            let mut runs = [0, 1].map(|_| begin(&bench, &words));
            for run in &mut runs {
                assert_eq!(run.wait().expect("ended").code(), Some(0), "{words:?}, {n}");
            }
            assert!(bench.made("out") == alone, "{words:?}, {n}");
            assert!(bench.parts().is_empty(), "{words:?}, {n}: {:?}", bench.parts());
        }
    }
}

/// Every command that prints.
const PRINTING: [&str; 20] = [
    "make sheet.ron --dpi 100",
    "make sheet.ron --dpi 100 --json",
    "plan sheet.ron",
    "plan sheet.ron --json",
    "check sheet.ron",
    "check sheet.ron --out findings.csv",
    "check gone.ron --json",
    "new spring",
    "export sheet.ron --to csv --out tables",
    "compare older.ron range.ron",
    "supplies sheet.ron",
    "board sheet.ron",
    "labels sheet.ron",
    "tune sheet.ron --paper matte --out values.ron",
    "proof sheet.ron --paper matte --figures",
    "lookalikes sheet.ron",
    "completions bash",
    "manual",
    "help",
    "--version",
];

/// Runs with an output of one's own; the exit code, and what was reported.
fn into(words: &str, out: impl Into<Stdio>) -> (Option<i32>, String) {
    let bench = Bench::new();
    let mut run = command(&bench, &words.split(' ').collect::<Vec<_>>());
    let run = run.stdout(out).stderr(Stdio::piped()).output().expect("runs");
    (run.status.code(), String::from_utf8_lossy(&run.stderr).into_owned())
}

/// A pipe that nobody reads.
fn closed() -> Stdio {
    let (reader, writer) = std::io::pipe().expect("a pipe");
    drop(reader);
    writer.into()
}

#[test]
fn whoever_closes_the_pipe_has_seen_enough() {
    for words in PRINTING {
        assert_eq!(into(words, closed()), into(words, Stdio::null()), "{words}");
    }
}

#[test]
fn nobody_listens_at_all() {
    for words in PRINTING.into_iter().chain(["make gone.ron", "--nonsense"]) {
        let bench = Bench::new();
        let mut run = command(&bench, &words.split(' ').collect::<Vec<_>>());
        let status = run.stdout(closed()).stderr(closed()).status().expect("runs");
        assert_eq!(status.code(), into(words, Stdio::null()).0, "{words}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn what_a_full_disk_does_not_take_of_the_output_is_no_success() {
    for words in PRINTING {
        let full = std::fs::File::options().write(true).open("/dev/full").expect("there");
        let (code, told) = into(words, full);
        assert_eq!(code, Some(2), "{words}: {told}");
        let why = "Error: Standard output cannot be written: the disk is full";
        assert!(told.contains(why) && told.contains("  Suggestion: "), "{words}: {told}");
    }
}
