//! What a run has read, so that the next can detect whether anything changed.

use std::path::{Component, Path, PathBuf};

use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};

/// A file as it was found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Seen {
    pub file: PathBuf,
    /// SHA-256 of its bytes, or of the names in a folder; none where there was no such file.
    pub sha256: Option<String>,
}

impl Seen {
    /// A file with these bytes.
    pub(super) fn of(file: &Path, bytes: &[u8]) -> Seen {
        Seen { file: from_here(file), sha256: Some(hash(bytes)) }
    }

    /// A folder with these names in it.
    pub(super) fn folder(folder: &Path, names: &[String]) -> Seen {
        Seen { file: from_here(folder), sha256: Some(hash(names.join("/").as_bytes())) }
    }

    /// A file that does not exist.
    pub(super) fn missing(file: &Path) -> Seen {
        Seen { file: from_here(file), sha256: None }
    }

    /// Is the file still as it was?
    pub fn is_still_so(&self) -> bool {
        match &self.sha256 {
            None => !self.file.exists(),
            Some(sha) if self.file.is_dir() => {
                let names = sorted(names(&self.file, MOST_NAMES));
                hash(names.join("/").as_bytes()) == *sha
            }
            Some(sha) => std::fs::read(&self.file).is_ok_and(|bytes| hash(&bytes) == *sha),
        }
    }
}

/// So many names of a folder are looked at.
pub(super) const MOST_NAMES: usize = 100_000;

/// Names of what is in a folder on the disk, in any order, at most `most`; none where it cannot be listed.
pub(super) fn names(folder: &Path, most: usize) -> Vec<String> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let name = |e: std::io::Result<std::fs::DirEntry>| e.ok()?.file_name().into_string().ok();
    entries.take(most).filter_map(name).collect()
}

fn sorted(mut names: Vec<String>) -> Vec<String> {
    names.sort();
    names
}

/// A path as the folder in which the program runs sees it: notes hold no absolute paths, except of
/// another disk.
pub fn from_here(path: &Path) -> PathBuf {
    let Ok(here) = std::env::current_dir() else { return path.to_owned() };
    if !path.is_absolute() {
        return path.to_owned();
    }
    let common = here.components().zip(path.components()).take_while(|(a, b)| a == b).count();
    if common == 0 {
        return path.to_owned();
    }
    let up = here.components().skip(common).map(|_| Component::ParentDir);
    up.chain(path.components().skip(common)).collect()
}

fn hash(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|b| format!("{b:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_are_those_from_here() {
        let here = std::env::current_dir().expect("a folder");
        assert_eq!(from_here(Path::new("a/b.ron")), Path::new("a/b.ron"));
        assert_eq!(from_here(&here.join("a/b.ron")), Path::new("a/b.ron"));
        let beside = here.parent().expect("above").join("c.ron");
        assert_eq!(from_here(&beside), Path::new("../c.ron"));
    }

    #[test]
    fn what_was_read_and_what_was_missed_is_noted() {
        let dir = tempfile::tempdir().expect("a folder");
        let (here, gone) = (dir.path().join("a.ron"), dir.path().join("b.ron"));
        std::fs::write(&here, "one").expect("written");
        let files = crate::files::Files::default();
        files.was_read(&here, &files.bytes(&here, 10).expect("read"));
        assert!(!files.exists(&gone));
        files.listed(dir.path());
        let seen = files.seen();
        assert_eq!(seen.len(), 3);
        assert!(seen.iter().all(Seen::is_still_so));
        std::fs::write(&gone, "new").expect("written");
        assert!(!seen[1].is_still_so() && !seen[2].is_still_so());
        std::fs::write(&here, "two").expect("written");
        assert!(!seen[0].is_still_so());
    }
}
