//! Reads every SVG file below some folders as a part, at several sizes, draws it in every
//! finish, and compares with what resvg paints of it.
//!
//!     cargo run --release --example foreign_drawings -- FOLDER ...
//!
//! Prints for each folder how many files were used rightly, were refused and why, and were
//! drawn otherwise; names those, and ends with 1 if there are any.

#[path = "../tests/silhouettes/mod.rs"]
mod silhouettes;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::Instant;

use silhouettes::{Came, came, sized};

/// Longer sides of pages, mm.
const SIZES: [f64; 4] = [5.0, 9.0, 12.0, 40.0];

fn main() {
    let mut wrong = 0;
    for folder in std::env::args().skip(1) {
        wrong += of_folder(Path::new(&folder));
    }
    std::process::exit(i32::from(wrong > 0));
}

fn of_folder(folder: &Path) -> usize {
    let mut files = Vec::new();
    below(folder, &mut files);
    files.sort();
    let (mut used, mut blank, mut least, mut slowest) = (0, 0, 1.0_f64, (0.0, String::new()));
    let mut refused: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let mut wrong: Vec<String> = Vec::new();
    for file in &files {
        let short = file.strip_prefix(folder).unwrap_or(file).display().to_string();
        let Ok(text) = std::fs::read_to_string(file) else {
            refused.entry("not text".to_owned()).or_default().push(short);
            continue;
        };
        let begun = Instant::now();
        let mut why: Option<String> = None;
        let mut alike: Option<f64> = None;
        let mut bad = false;
        for mm in SIZES {
            // Without a size of its own a drawing is read as it is.
            let text = sized(&text, mm).unwrap_or_else(|| text.clone());
            match came(file, &text) {
                Came::Used(share) => alike = Some(alike.map_or(share, |a| a.min(share))),
                Came::Refused(message) => why = Some(message),
                Came::Blank => {}
                Came::Wrong(share) => {
                    bad = true;
                    wrong.push(format!("{short} at {mm} mm: {share:.4}"));
                    break;
                }
            }
        }
        let took = begun.elapsed().as_secs_f64();
        if took > slowest.0 {
            slowest = (took, short.clone());
        }
        match (bad, alike, why) {
            (true, ..) => {}
            (_, _, Some(why)) => refused.entry(reason(&why)).or_default().push(short),
            (_, Some(share), None) => {
                used += 1;
                least = least.min(share);
            }
            _ => blank += 1,
        }
    }
    let refusals: usize = refused.values().map(Vec::len).sum();
    println!(
        "{}: {} files, {used} used (least alike {least:.4}), {refusals} refused, {blank} blank, {} otherwise; slowest {:.1} s ({})",
        folder.display(),
        files.len(),
        wrong.len(),
        slowest.0,
        slowest.1
    );
    for (why, of) in &refused {
        println!("    {:4} {why} [{}]", of.len(), of[0]);
    }
    for line in &wrong {
        println!("    OTHERWISE {line}");
    }
    wrong.len()
}

/// A message without what is particular to one drawing.
fn reason(message: &str) -> String {
    let mut out = String::new();
    let mut deep = 0;
    for c in message.chars() {
        match c {
            '(' => deep += 1,
            ')' => deep -= 1,
            _ if deep > 0 => {}
            c if c.is_ascii_digit() || c == '.' => {
                out.push_str(if out.ends_with('#') { "" } else { "#" })
            }
            c => out.push(c),
        }
    }
    out.trim_end_matches('#').replace("  ", " ").trim().to_owned()
}

fn below(folder: &Path, out: &mut Vec<PathBuf>) {
    let Ok(list) = std::fs::read_dir(folder) else { return };
    for entry in list.flatten() {
        let path = entry.path();
        if path.is_symlink() {
            continue;
        }
        if path.is_dir() {
            below(&path, out);
        } else if path.extension().is_some_and(|e| e == "svg") {
            out.push(path);
        }
    }
}
