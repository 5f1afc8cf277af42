//! The record of what the program wrote: name, size and checksum of every file, kept beside the
//! results, so that a file the program did not write is never replaced or removed.
//!
//! A file is the program's own if the record has its name and its checksum. The checksum of a new
//! file is recorded before the file is put in its place, beside that of the file it replaces: a
//! run that is killed in between leaves no file without a record.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use serde::{Deserialize, Serialize};

use super::owner::Owner;
use super::refusal::{self, Refused};
use super::write::{self, Kept, Lock, Pending};
use crate::diag::Diagnostic;
use crate::session::Session;
use crate::stop::Stop;

/// The folder of the program's own notes, in the folder that a command writes to.
pub const NOTES: &str = ".shadecard";

/// How the names of records end.
const RECORD: &str = "written.json";

/// A file as it was written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
struct Mark {
    /// The command, with the options that make its output a different kind.
    by: String,
    bytes: u64,
    sha256: String,
}

#[derive(Debug, Default, Serialize, Deserialize)]
struct Record {
    /// One mark a file; two while it is being replaced.
    files: BTreeMap<String, Vec<Mark>>,
}

/// Where a command writes, and as what.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct OutputFolder {
    /// The folder that was asked for; the record is in it.
    root: PathBuf,
    /// The folder of the files inside it; empty for the folder itself.
    inner: String,
    by: String,
}

impl OutputFolder {
    /// The folder `inner` of `root`, written by the command `by`.
    pub fn new(root: &Path, inner: &str, by: &str) -> OutputFolder {
        OutputFolder { root: root.to_owned(), inner: inner.to_owned(), by: by.to_owned() }
    }

    /// The folder of the files.
    pub fn folder(&self) -> PathBuf {
        if self.inner.is_empty() { self.root.clone() } else { self.root.join(&self.inner) }
    }

    fn record(&self) -> PathBuf {
        let notes = self.root.join(NOTES);
        match self.inner.as_str() {
            "" => notes.join(RECORD),
            inner => notes.join(format!("{inner}.{RECORD}")),
        }
    }
}

/// The record of a folder that is this run's alone.
#[derive(Debug)]
pub struct Book {
    place: OutputFolder,
    session: Session,
    folder: PathBuf,
    files: Mutex<BTreeMap<String, Vec<Mark>>>,
    _lock: Lock,
}

impl Book {
    /// Makes the folder if it does not exist, and waits until no other run writes to it.
    ///
    /// # Errors
    /// It cannot be made, or its record cannot be read.
    pub fn open(place: OutputFolder, session: &Session) -> Result<Book, Diagnostic> {
        let folder = place.folder();
        write::folder(&here(&folder), &session.disk)?;
        Book::read(place, write::hold(&here(&folder), &session.disk), session)
    }

    /// The record of a folder that is locked.
    ///
    /// # Errors
    /// It cannot be read.
    pub fn read(place: OutputFolder, lock: Lock, session: &Session) -> Result<Book, Diagnostic> {
        let path = place.record();
        write::sweep_file(&path, &session.disk);
        let text = match session.disk.bytes(&path) {
            Ok(text) => text,
            Err(e) if is_absent(&e) => Vec::new(),
            Err(e) => return Err(write::trouble(&path, &e)),
        };
        // A damaged record is not trusted: its files count as not the program's own.
        let Record { files } = serde_json::from_slice(&text).unwrap_or_default();
        let folder = place.folder();
        let session = session.clone();
        Ok(Book { place, session, folder, files: Mutex::new(files), _lock: lock })
    }

    /// The command that writes.
    pub fn by(&self) -> &str {
        &self.place.by
    }

    /// The folder of the files.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// What asks the run that writes to stop.
    pub fn stop(&self) -> &Stop {
        self.session.stop()
    }

    /// Names of all files that this command has written here.
    pub fn names(&self) -> Vec<String> {
        let own = |marks: &Vec<Mark>| marks.iter().any(|m| m.by == self.place.by);
        let files = self.files.lock().unwrap_or_else(PoisonError::into_inner);
        files.iter().filter(|(_, marks)| own(marks)).map(|(name, _)| name.clone()).collect()
    }

    /// Whose is the file of this name?
    ///
    /// # Errors
    /// It cannot be examined or read.
    pub fn owner(&self, name: &str) -> Result<Owner, Diagnostic> {
        let path = self.folder.join(name);
        let meta = match self.session.disk.link_metadata(&path) {
            Ok(meta) => meta,
            Err(e) if is_absent(&e) => return Ok(Owner::Nobody),
            Err(e) => return Err(write::trouble(&path, &e)),
        };
        if meta.is_dir() {
            let error = std::io::Error::from(std::io::ErrorKind::IsADirectory);
            return Err(write::trouble(&path, &error));
        }
        let files = self.files.lock().unwrap_or_else(PoisonError::into_inner);
        let marks = files.get(name).cloned().unwrap_or_default();
        drop(files);
        if marks.is_empty() || !meta.is_file() {
            return Ok(Owner::Somebody);
        }
        if marks.iter().all(|m| m.bytes != meta.len()) {
            return Ok(Owner::Changed);
        }
        let sha =
            write::sha256(&path, &self.session.disk).map_err(|e| write::trouble(&path, &e))?;
        let by = |m: &&Mark| m.sha256 == sha;
        Ok(match marks.iter().filter(by).max_by_key(|m| m.by == self.place.by) {
            None => Owner::Changed,
            Some(mark) if mark.by == self.place.by => Owner::Us,
            Some(mark) => Owner::Other(mark.by.clone()),
        })
    }

    /// Is the file the program's own of this kind of output, with this checksum?
    ///
    /// # Errors
    /// As [`Book::owner`].
    pub fn is_still(&self, name: &str, sha256: &str) -> Result<bool, Diagnostic> {
        let files = self.files.lock().unwrap_or_else(PoisonError::into_inner);
        let marks = files.get(name).cloned().unwrap_or_default();
        drop(files);
        let known = matches!(marks.as_slice(), [mark] if mark.sha256 == sha256);
        Ok(known && self.owner(name)? == Owner::Us)
    }

    /// Rejects replacing files that are not the program's own; all of them are named together.
    /// `is_known` gives those that need no check.
    ///
    /// # Errors
    /// See [`Refused`].
    pub fn check<'n>(
        &self,
        names: impl IntoIterator<Item = &'n str>,
        is_known: impl Fn(&str) -> bool,
    ) -> Result<(), Refused> {
        let mut found = refusal::Found::default();
        for name in names.into_iter().filter(|name| !is_known(name)) {
            found.add(self.owner(name)?, self.folder.join(name));
        }
        found.refuse(&self.place.by)
    }

    /// Starts a file.
    ///
    /// # Errors
    /// The folder cannot be written to.
    pub fn begin(&self, name: &str) -> Result<Pending, Diagnostic> {
        Pending::new(&self.folder.join(name), &self.session.disk)
    }

    /// Puts a file in its place, over an older one, and records it.
    ///
    /// # Errors
    /// As [`Pending::keep`]; the record cannot be written.
    pub fn keep(&self, pending: Pending) -> Result<Kept, Diagnostic> {
        pending
            .keep_after(|kept| {
                self.intend(&[kept]);
                self.save()
            })
            .inspect(|kept| self.settle(kept))
    }

    /// Writes a whole file at once.
    ///
    /// # Errors
    /// As [`Book::begin`] and [`Book::keep`].
    pub fn whole(&self, name: &str, bytes: &[u8]) -> Result<Kept, Diagnostic> {
        let kept = Kept::of(&self.folder.join(name), bytes);
        self.intend(&[&kept]);
        self.save()?;
        write::whole(&kept.path, bytes, &self.session.disk).inspect(|kept| self.settle(kept))
    }

    /// Writes several files; the record is written before and after, not for each.
    ///
    /// # Errors
    /// As [`Book::whole`]; the files before the failure are there.
    pub fn all(&self, files: &[(String, &[u8])]) -> Result<(), Diagnostic> {
        let kept: Vec<Kept> =
            files.iter().map(|(name, bytes)| Kept::of(&self.folder.join(name), bytes)).collect();
        self.intend(&kept.iter().collect::<Vec<_>>());
        self.save()?;
        for (kept, (_, bytes)) in kept.iter().zip(files) {
            kept.path.parent().map_or(Ok(()), |p| write::folder(&here(p), &self.session.disk))?;
            write::sweep_file(&kept.path, &self.session.disk);
            self.settle(&write::whole(&kept.path, bytes, &self.session.disk)?);
        }
        self.save()
    }

    /// Removes a file if it is the program's own of this kind of output; returns whether it did.
    ///
    /// # Errors
    /// It cannot be read or removed.
    pub fn remove(&self, name: &str) -> Result<bool, Diagnostic> {
        if self.owner(name)? != Owner::Us {
            return Ok(false);
        }
        let path = self.folder.join(name);
        self.session.disk.remove(&path).map_err(|e| write::trouble(&path, &e))?;
        self.files.lock().unwrap_or_else(PoisonError::into_inner).remove(name);
        Ok(true)
    }

    /// Writes the record down.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn save(&self) -> Result<(), Diagnostic> {
        let path = self.place.record();
        // Held while writing: the next save must not be overtaken by this one.
        let files = self.files.lock().unwrap_or_else(PoisonError::into_inner);
        let record = Record { files: files.clone() };
        let mut text = serde_json::to_string_pretty(&record).unwrap_or_default();
        text.push('\n');
        write::folder(path.parent().unwrap_or(Path::new(NOTES)), &self.session.disk)?;
        write::whole(&path, text.as_bytes(), &self.session.disk).map(drop)
    }

    /// From now on the file may be the old one or this one.
    fn intend(&self, kept: &[&Kept]) {
        let mut files = self.files.lock().unwrap_or_else(PoisonError::into_inner);
        for kept in kept {
            let mark = self.mark(kept);
            let marks = files.entry(self.name(kept)).or_default();
            marks.retain(|m| *m != mark);
            marks.push(mark);
        }
    }

    /// From now on it is this one alone.
    fn settle(&self, kept: &Kept) {
        let mut files = self.files.lock().unwrap_or_else(PoisonError::into_inner);
        files.insert(self.name(kept), vec![self.mark(kept)]);
    }

    fn mark(&self, kept: &Kept) -> Mark {
        Mark { by: self.place.by.clone(), bytes: kept.bytes, sha256: kept.sha256.clone() }
    }

    /// Its path inside the folder, written with /.
    fn name(&self, kept: &Kept) -> String {
        let inside = kept.path.strip_prefix(&self.folder).unwrap_or(&kept.path);
        let parts: Vec<_> = inside.iter().map(|part| part.to_string_lossy()).collect();
        parts.join("/")
    }
}

/// A path to ask the disk about: the folder in which the program runs has no name.
pub(super) fn here(folder: &Path) -> PathBuf {
    if folder.as_os_str().is_empty() { PathBuf::from(".") } else { folder.to_owned() }
}

fn is_absent(error: &std::io::Error) -> bool {
    matches!(error.kind(), std::io::ErrorKind::NotFound | std::io::ErrorKind::NotADirectory)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn open(folder: &Path, by: &str) -> Book {
        Book::open(OutputFolder::new(folder, "made", by), &Session::default()).expect("opened")
    }

    #[test]
    fn a_run_that_ends_at_any_step_leaves_files_that_are_known() {
        let dir = tempfile::tempdir().expect("a folder");
        open(dir.path(), "a").whole("x", b"old").expect("written");
        // Killed before its first save: the mark of the first file is there twice at most.
        assert_eq!(open(dir.path(), "a").owner("x").expect("read"), Owner::Us);
        // Killed between the record and the rename.
        let book = open(dir.path(), "a");
        let kept = Kept::of(&book.folder.join("x"), b"new");
        book.intend(&[&kept]);
        book.save().expect("written");
        drop(book);
        assert_eq!(open(dir.path(), "a").owner("x").expect("read"), Owner::Us);
        // Killed after the rename.
        std::fs::write(dir.path().join("made/x"), b"new").expect("written");
        assert_eq!(open(dir.path(), "a").owner("x").expect("read"), Owner::Us);
        // Of the same size, and another: changed by somebody.
        std::fs::write(dir.path().join("made/x"), b"his").expect("written");
        assert_eq!(open(dir.path(), "a").owner("x").expect("read"), Owner::Changed);
    }

    #[test]
    fn whose_a_file_is() {
        let dir = tempfile::tempdir().expect("a folder");
        let book = open(dir.path(), "a");
        book.all(&[("x".into(), b"1"), ("in/y".into(), b"2")]).expect("written");
        drop(book);
        std::fs::write(dir.path().join("made/z"), b"3").expect("written");
        let book = open(dir.path(), "b");
        let owner = |name: &str| book.owner(name).expect("read");
        assert_eq!(owner("x"), Owner::Other("a".into()));
        assert_eq!(owner("in/y"), Owner::Other("a".into()));
        assert_eq!(owner("z"), Owner::Somebody);
        assert_eq!(owner("gone"), Owner::Nobody);
        assert_eq!(owner("x/under/a/file"), Owner::Nobody);
        assert!(!book.remove("x").expect("looked at") && dir.path().join("made/x").exists());
        drop(book);
        // A record that cannot be read makes no file the program's own.
        std::fs::write(dir.path().join(".shadecard/made.written.json"), b"{").expect("written");
        assert_eq!(open(dir.path(), "a").owner("x").expect("read"), Owner::Somebody);
    }
}
