//! Where files are read from: the disk, or memory; and what was read, so that the next run can detect whether
//! anything has changed.

pub mod seen;

use std::collections::BTreeMap;
use std::fs;
use std::io::{self, ErrorKind, Read};
use std::path::{Component, Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

pub use seen::{Seen, from_here};

/// The files that can be read. Copies read from the same place and keep one list of what was read.
#[derive(Debug, Clone, Default)]
pub struct Files {
    /// By their paths; none where files are on the disk.
    memory: Option<Arc<BTreeMap<PathBuf, Arc<[u8]>>>>,
    seen: Arc<Mutex<Vec<Seen>>>,
}

/// What a path leads to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// An ordinary file of so many bytes.
    File(u64),
    Folder,
    /// A pipe, a device ...
    Other,
}

impl Files {
    /// Nothing but these, by their paths; names with `.` in them are found too.
    pub fn in_memory<P, B>(files: impl IntoIterator<Item = (P, B)>) -> Files
    where
        P: AsRef<Path>,
        B: Into<Arc<[u8]>>,
    {
        let files = files.into_iter().map(|(path, bytes)| (plain(path.as_ref()), bytes.into()));
        Files { memory: Some(Arc::new(files.collect())), seen: Arc::default() }
    }

    /// What a path leads to.
    ///
    /// # Errors
    /// It does not exist, or cannot be examined.
    pub fn kind(&self, path: &Path) -> io::Result<FileKind> {
        let Some(memory) = &self.memory else {
            let meta = fs::metadata(path)?;
            return Ok(match meta.is_file() {
                true => FileKind::File(meta.len()),
                false if meta.is_dir() => FileKind::Folder,
                false => FileKind::Other,
            });
        };
        let path = plain(path);
        match memory.get(&path) {
            Some(bytes) => Ok(FileKind::File(bytes.len() as u64)),
            None if memory.keys().any(|file| file.starts_with(&path)) => Ok(FileKind::Folder),
            None => Err(ErrorKind::NotFound.into()),
        }
    }

    /// Is it an ordinary file?
    pub fn is_file(&self, path: &Path) -> bool {
        matches!(self.kind(path), Ok(FileKind::File(_)))
    }

    /// Is it a folder?
    pub fn is_folder(&self, path: &Path) -> bool {
        matches!(self.kind(path), Ok(FileKind::Folder))
    }

    /// Is there such a file or folder? A run that finds none depends on that, too.
    pub fn exists(&self, path: &Path) -> bool {
        let there = self.kind(path).is_ok();
        if !there {
            self.note(Seen::missing(path));
        }
        there
    }

    /// The bytes of a file; of a larger one the first `most`. Who takes them notes them with [`Files::was_read`].
    ///
    /// # Errors
    /// Those of the disk.
    pub fn bytes(&self, path: &Path, most: u64) -> io::Result<Vec<u8>> {
        let Some(memory) = &self.memory else {
            let mut bytes = Vec::new();
            fs::File::open(path)?.take(most).read_to_end(&mut bytes)?;
            return Ok(bytes);
        };
        let bytes = memory.get(&plain(path)).ok_or(ErrorKind::NotFound)?;
        let most = usize::try_from(most).unwrap_or(usize::MAX);
        Ok(bytes[..bytes.len().min(most)].to_vec())
    }

    /// Names of what is in a folder, sorted, at most `most`; none where it cannot be listed.
    pub fn names(&self, folder: &Path, most: usize) -> Vec<String> {
        let mut names: Vec<String> = match &self.memory {
            None => seen::names(folder, most),
            Some(memory) => {
                let folder = plain(folder);
                let within = memory.keys().filter_map(|file| file.strip_prefix(&folder).ok());
                let first = |path: &Path| path.iter().next()?.to_str().map(str::to_owned);
                within.filter_map(first).take(most).collect()
            }
        };
        names.sort();
        names.dedup();
        names
    }

    /// The same, for a run whose results depend on what is in the folder.
    pub fn listed(&self, folder: &Path) -> Vec<String> {
        let names = self.names(folder, seen::MOST_NAMES);
        if self.memory.is_none() {
            self.note(Seen::folder(folder, &names));
        }
        names
    }

    /// Does a path lead out of a folder by a link? One that leads to nothing does not.
    pub fn leads_out(&self, path: &Path, folder: &Path) -> bool {
        // There are no links in memory.
        if self.memory.is_some() {
            return false;
        }
        let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
        match (fs::canonicalize(path), fs::canonicalize(folder)) {
            (Ok(real), Ok(folder)) => !real.starts_with(&folder),
            _ => false,
        }
    }

    /// Notes the bytes of a file that was read.
    pub fn was_read(&self, file: &Path, bytes: &[u8]) {
        if self.memory.is_none() {
            self.note(Seen::of(file, bytes));
        }
    }

    /// Every file that was read, or looked for in vain, in the order of the first time.
    pub fn seen(&self) -> Vec<Seen> {
        self.list().clone()
    }

    fn note(&self, seen: Seen) {
        let mut list = self.list();
        if !list.contains(&seen) {
            list.push(seen);
        }
    }

    fn list(&self) -> MutexGuard<'_, Vec<Seen>> {
        self.seen.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A path without what means nothing in it.
fn plain(path: &Path) -> PathBuf {
    path.components().filter(|c| *c != Component::CurDir).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The answers of a folder on the disk and of the same files in memory.
    #[test]
    fn memory_is_as_the_disk_is() {
        let dir = tempfile::tempdir().expect("a folder");
        let at = |name: &str| dir.path().join(name);
        fs::create_dir(at("lists")).expect("made");
        let mut memory = Vec::new();
        for (name, text) in [("sheet.ron", "one"), ("lists/a.csv", "two"), ("lists/b.csv", "")] {
            fs::write(at(name), text).expect("written");
            memory.push((at(name), text.as_bytes()));
        }
        let both = [Files::default(), Files::in_memory(memory)];
        let said = both.map(|files| {
            let paths =
                ["", "sheet.ron", "./lists/a.csv", "lists/b.csv", "lists", "none", "lists/c"];
            let of = |path: &&str| {
                let path = at(path);
                let bytes = files.bytes(&path, 2).map_err(|e| e.kind()).ok();
                let kind = files.kind(&path).map_err(|e| e.kind());
                let out = files.leads_out(&path, dir.path());
                (bytes, kind, files.exists(&path), files.names(&path, 10), out)
            };
            format!("{:?}", paths.iter().map(of).collect::<Vec<_>>())
        });
        assert_eq!(said[0], said[1]);
    }
}
