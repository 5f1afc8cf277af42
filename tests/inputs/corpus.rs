//! The inputs of the fuzz targets, run again: what was found at random, and what was once wrong.
//!
//! `fuzz/corpus/TARGET` holds a small selection, `fuzz/regressions/TARGET` every input that the program did not
//! stand, called after what was wrong. `fuzz/entries` says what must hold.

#[path = "../../fuzz/entries/mod.rs"]
mod entries;

use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Files of a folder, by name; none where there is no folder.
fn files(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut files: Vec<PathBuf> = entries.map(|e| e.expect("an entry").path()).collect();
    files.sort();
    files
}

/// Runs an input twice; why it is not, if it does not.
fn stands(entry: entries::Entry, file: &Path) -> Option<String> {
    let bytes = std::fs::read(file).expect("readable");
    let twice = std::panic::catch_unwind(|| (entry(&bytes), entry(&bytes)));
    match twice {
        Ok((first, second)) if first == second => None,
        Ok(_) => Some("came to something else the second time".to_owned()),
        Err(panic) => Some(match panic.downcast::<String>() {
            Ok(text) => *text,
            Err(other) => other.downcast::<&str>().map_or("panicked".into(), |t| (*t).to_owned()),
        }),
    }
}

#[test]
fn every_input_stands() {
    let mut work = Vec::new();
    for (target, entry) in entries::ALL {
        let own = files(&Path::new("fuzz/corpus").join(target));
        assert!(own.len() >= 8, "only {} inputs for '{target}'", own.len());
        let wrong = files(&Path::new("fuzz/regressions").join(target));
        work.extend(own.into_iter().chain(wrong).map(|file| (entry, file)));
    }
    if let Ok(only) = std::env::var("ONLY") {
        work.retain(|(_, file): &(_, PathBuf)| file.ends_with(&only));
        assert!(!work.is_empty(), "there is no input '{only}'");
    }
    let next = AtomicUsize::new(0);
    let wrong = Mutex::new(Vec::new());
    let threads = std::thread::available_parallelism().map_or(1, |n| n.get());
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                while let Some((entry, file)) = work.get(next.fetch_add(1, Ordering::Relaxed)) {
                    if let Some(why) = stands(*entry, file) {
                        wrong.lock().expect("no panic while held").push((file, why));
                    }
                }
            });
        }
    });
    let mut wrong = wrong.into_inner().expect("no panic while held");
    wrong.sort();
    let told: Vec<String> =
        wrong.iter().map(|(f, why)| format!("{}: {why}", f.display())).collect();
    assert!(told.is_empty(), "{} of {} inputs\n{}", told.len(), work.len(), told.join("\n"));
}

/// A folder without a target, or a target that no program is made of, would be checked by nobody.
#[test]
fn every_folder_has_its_target() {
    let mut named: Vec<String> = entries::ALL.map(|(name, _)| name.to_owned()).to_vec();
    named.sort();
    let stems = |folder: &str| {
        let stem = |p: PathBuf| p.file_stem().expect("a name").to_string_lossy().into_owned();
        files(Path::new(folder)).into_iter().map(stem).collect::<Vec<_>>()
    };
    assert_eq!(stems("fuzz/corpus"), named);
    // It runs the others, and the replay does all twice.
    named.push("twice".to_owned());
    named.sort();
    assert_eq!(stems("fuzz/fuzz_targets"), named);
    assert!(stems("fuzz/regressions").iter().all(|folder| named.contains(folder)));
}
