//! Failures of the machine in plain words.

use std::io;
use std::path::{Path, PathBuf};

use crate::diag::Diagnostic;
use crate::read::file::plain;

/// The path that stands for what is printed.
pub const STANDARD_OUTPUT: &str = "standard output";

/// A file or folder that cannot be written, and what to do about it.
pub fn trouble(path: &Path, error: &io::Error) -> Diagnostic {
    use io::ErrorKind as K;
    let shown = quoted(path);
    let cannot = |why: &str| format!("{shown} cannot be written: {why}");
    let (message, help) = match error.kind() {
        K::PermissionDenied => (
            cannot("permission denied"),
            "give yourself permission to write there, or choose another folder",
        ),
        K::StorageFull | K::QuotaExceeded => {
            (cannot("the disk is full"), "free some space, then run again")
        }
        K::ReadOnlyFilesystem => {
            (cannot("the disk is read-only"), "choose a folder on another disk")
        }
        K::AlreadyExists | K::NotADirectory | K::NotFound => return no_folder(path),
        K::IsADirectory => {
            (cannot("a folder has that name"), "move that folder away, or choose another name")
        }
        K::InvalidFilename => {
            (cannot("the name is too long for the disk"), "choose a shorter name")
        }
        K::FileTooLarge => {
            (cannot("the file is too large for the disk"), "choose a folder on another disk")
        }
        _ => (cannot(&plain(error)), "check the disk, then run again"),
    };
    Diagnostic::error("cannot-write", message).help(help)
}

/// The folder for a file does not exist and cannot be made.
fn no_folder(path: &Path) -> Diagnostic {
    let shown = quoted(path);
    let (message, help) = match in_the_way(path) {
        Some(file) if file == *path && file.exists() => (
            format!("{shown} cannot be made: a file has that name"),
            "move that file away, or choose another folder".to_owned(),
        ),
        Some(file) => {
            let what = if file.exists() {
                "is a file, not a folder"
            } else {
                "is a link without a target"
            };
            let message = format!("{shown} cannot be made: {} {what}", quoted(&file));
            let name = file.file_name().unwrap_or_default().to_string_lossy();
            (message, format!("move '{name}' away, or choose another folder"))
        }
        None => (
            format!("{shown} cannot be written: its folder no longer exists"),
            "choose a folder that is kept while the program runs, then run again".to_owned(),
        ),
    };
    Diagnostic::error("cannot-write", message).help(help)
}

/// A file by its path; what is no file, such as standard output, is not quoted.
fn quoted(path: &Path) -> String {
    match path == Path::new(STANDARD_OUTPUT) {
        true => STANDARD_OUTPUT.to_owned(),
        false => format!("'{}'", path.display()),
    }
}

/// What is at the path, or above it, where a folder would have to be.
fn in_the_way(path: &Path) -> Option<PathBuf> {
    let there = path.ancestors().find(|p| std::fs::symlink_metadata(p).is_ok())?;
    (!there.is_dir()).then(|| there.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The numbers are those of POSIX systems (errno.h of Linux).
    #[cfg(target_os = "linux")]
    #[test]
    fn failures_are_reported_in_plain_words() {
        let cases = [
            (13, "'out/a.svg' cannot be written: permission denied"),
            (28, "'out/a.svg' cannot be written: the disk is full"),
            (122, "'out/a.svg' cannot be written: the disk is full"),
            (30, "'out/a.svg' cannot be written: the disk is read-only"),
            (5, "'out/a.svg' cannot be written: input/output error"),
            (21, "'out/a.svg' cannot be written: a folder has that name"),
            (36, "'out/a.svg' cannot be written: the name is too long for the disk"),
            (2, "'out/a.svg' cannot be written: its folder no longer exists"),
        ];
        for (number, reported) in cases {
            let d = trouble(Path::new("out/a.svg"), &io::Error::from_raw_os_error(number));
            assert_eq!((d.message.as_str(), d.help.is_some()), (reported, true));
        }
    }

    #[test]
    fn the_file_in_the_way_is_named() {
        let dir = tempfile::tempdir().expect("a folder");
        let file = dir.path().join("notes.txt");
        std::fs::write(&file, "mine").expect("written");
        for below in ["notes.txt/sheet", "notes.txt/more/sheet"] {
            let path = dir.path().join(below);
            let error = std::fs::create_dir_all(&path).expect_err("a file is in the way");
            let d = trouble(&path, &error);
            let end = format!("'{}' is a file, not a folder", file.display());
            assert!(d.message.ends_with(&end), "{}", d.message);
        }
    }
}
