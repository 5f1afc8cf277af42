//! Tells the program which it is: a digest of its source, by which a run knows
//! whether the files of an earlier one were drawn by the same program.

use std::collections::BTreeSet;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};

const SOURCES: [&str; 6] = ["Cargo.toml", "Cargo.lock", "src", "fonts", "layouts", "profiles"];

fn main() {
    let mut files = BTreeSet::new();
    for source in SOURCES {
        println!("cargo::rerun-if-changed={source}");
        collect(Path::new(source), &mut files);
    }
    let mut hasher = DefaultHasher::new();
    for file in files {
        file.hash(&mut hasher);
        std::fs::read(&file).unwrap_or_default().hash(&mut hasher);
    }
    println!("cargo::rustc-env=SHADECARD_SOURCE={:016x}", hasher.finish());
}

fn collect(path: &Path, files: &mut BTreeSet<PathBuf>) {
    match std::fs::read_dir(path) {
        Ok(entries) => entries.flatten().for_each(|e| collect(&e.path(), files)),
        Err(_) => drop(files.insert(path.to_owned())),
    }
}
