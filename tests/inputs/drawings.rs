//! Drawings that were not made for this program, as parts: `ASSETS.md` says where each is from.

use std::path::{Path, PathBuf};

use crate::silhouettes::{Came, came, sized};

fn files(folder: &Path) -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("a folder")
        .flatten()
        .flat_map(|e| if e.path().is_dir() { files(&e.path()) } else { vec![e.path()] })
        .filter(|p| p.extension().is_some_and(|e| e == "svg"))
        .collect();
    files.sort();
    files
}

/// Each covers what an independent renderer paints, at two sizes; those in `refused` get a
/// message instead.
#[test]
fn each_is_used_rightly_or_refused_with_a_reason() {
    let all = files(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/drawings"));
    assert!(all.len() >= 24, "{} drawings", all.len());
    for (n, file) in all.into_iter().enumerate() {
        let text = std::fs::read_to_string(&file).expect("text");
        let refused = file.parent().is_some_and(|p| p.ends_with("refused"));
        for mm in [9.0, [5.0, 18.0][n % 2]] {
            let sized = sized(&text, mm).expect("a size");
            match came(&file, &sized) {
                Came::Used(share) => assert!(!refused, "{} is used: {share}", file.display()),
                Came::Refused(why) => assert!(refused, "{}: {why}", file.display()),
                Came::Blank => panic!("{} shows nothing", file.display()),
                Came::Wrong(share) => panic!("{} at {mm} mm: {share}", file.display()),
            }
        }
    }
}
