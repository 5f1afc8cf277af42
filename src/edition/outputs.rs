//! What a command that works in memory writes: all of it, or nothing.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::path::{Path, PathBuf};

use super::book::{Book, OutputFolder, here};
use super::owner::Owner;
use super::refusal::{Found, Refused};
use super::write::{self, Kept};
use crate::session::Session;

/// Decides from the name of an older file whether new files, by name, make it stale.
pub type Stale = fn(&str, &[OutputFile]) -> bool;

/// A path inside a place, with /, and its bytes.
pub type OutputFile = (String, Vec<u8>);

/// What a command writes into one place.
pub struct Outputs {
    pub place: OutputFolder,
    /// Paths inside the place, with /, and bytes.
    pub files: Vec<(String, Vec<u8>)>,
    /// Decides which names of earlier runs these files make stale.
    pub stale: Stale,
}

impl Outputs {
    /// Files that make no others stale.
    pub fn new(place: OutputFolder, files: Vec<(String, Vec<u8>)>) -> Outputs {
        Outputs { place, files, stale: |_, _| false }
    }

    /// A file for each path, by folders.
    pub fn each(by: &str, files: Vec<(PathBuf, Vec<u8>)>) -> Vec<Outputs> {
        let mut places: BTreeMap<OutputFolder, Vec<(String, Vec<u8>)>> = BTreeMap::new();
        for (path, bytes) in files {
            let folder = path.parent().unwrap_or(Path::new(""));
            let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            places.entry(OutputFolder::new(folder, "", by)).or_default().push((name, bytes));
        }
        places.into_iter().map(|(place, files)| Outputs::new(place, files)).collect()
    }
}

/// Writes all of it, or nothing where a file the program did not write would be replaced and `replace`
/// does not allow it. Stale files that are the program's own are removed; those that are not any
/// more are returned.
///
/// # Errors
/// See [`Refused`]; after a failure of the machine the files before it exist.
pub fn write_all(
    outputs: Vec<Outputs>,
    replace: bool,
    session: &Session,
) -> Result<Vec<PathBuf>, Refused> {
    // A folder is locked once, however it is named, and several always in one order.
    let mut places: BTreeMap<PathBuf, Outputs> = BTreeMap::new();
    for output in outputs {
        let folder = here(&output.place.folder());
        write::folder(&folder, &session.disk)?;
        match places.entry(std::fs::canonicalize(&folder).unwrap_or(folder)) {
            Entry::Occupied(mut there) => there.get_mut().files.extend(output.files),
            Entry::Vacant(free) => drop(free.insert(output)),
        }
    }
    let mut open: Vec<(Book, Outputs)> = Vec::new();
    for output in places.into_values() {
        open.push((Book::open(output.place.clone(), session)?, output));
    }
    if !replace {
        let mut found = Found::default();
        let mut by = String::new();
        for (book, output) in &open {
            by = book.by().to_owned();
            for (name, bytes) in &output.files {
                let owner = book.owner(name)?;
                let path = book.folder().join(name);
                // A file that is already what it is to become loses nothing.
                let is_ours = matches!(owner, Owner::Nobody | Owner::Us);
                if !is_ours && !Kept::of(&path, bytes).is_there(&session.disk) {
                    found.add(owner, path);
                }
            }
        }
        found.refuse(&by)?;
    }
    let mut left = Vec::new();
    for (book, output) in &open {
        let files: Vec<(String, &[u8])> =
            output.files.iter().map(|(name, bytes)| (name.clone(), bytes.as_slice())).collect();
        book.all(&files)?;
        let mut removed = false;
        for name in book.names() {
            let is_new = output.files.iter().any(|(new, _)| *new == name);
            if is_new || !(output.stale)(&name, &output.files) {
                continue;
            }
            match book.remove(&name)? {
                true => removed = true,
                false if book.owner(&name)? != Owner::Nobody => {
                    left.push(book.folder().join(&name))
                }
                false => {}
            }
        }
        if removed {
            book.save()?;
        }
    }
    Ok(left)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stale_files_are_removed_unless_they_were_changed() {
        let dir = tempfile::tempdir().expect("a folder");
        let write = |names: &[&str]| {
            let files = names.iter().map(|n| ((*n).to_owned(), n.as_bytes().to_vec())).collect();
            let place = OutputFolder::new(dir.path(), "made", "a");
            let stale = |name: &str, _: &[(String, Vec<u8>)]| name != "stays";
            let outputs = Outputs { stale, ..Outputs::new(place, files) };
            write_all(vec![outputs], false, &Session::default())
        };
        write(&["1", "2", "3", "stays"]).expect("written");
        std::fs::write(dir.path().join("made/2"), b"x").expect("written");
        std::fs::write(dir.path().join("made/4"), b"4").expect("written");
        let left = write(&["1"]).expect("written");
        assert_eq!(left, [dir.path().join("made/2")]);
        let mut there =
            crate::disk::Disk::default().entries(&dir.path().join("made")).expect("a folder");
        there.sort();
        assert_eq!(there, ["1", "2", "4", "stays"].map(|n| dir.path().join("made").join(n)));
    }
}
