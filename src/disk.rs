//! Everything that is asked of the disk for results, one function an operation.
//!
//! A test can make a disk fail: [`Disk::failing`] names an operation and gives
//! which of them does not work. The program itself never calls it.

use std::collections::BTreeSet;
use std::fs::{self, File, Metadata};
use std::io::{self, Read, Write};
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};

use tempfile::NamedTempFile;

/// What can be asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Op {
    /// Make a folder with all above it.
    Folder,
    /// Begin a file.
    Begin,
    /// Open an existing file or folder.
    Open,
    Write,
    Rename,
    Remove,
    /// Metadata, or what is in a folder.
    Look,
    Read,
}

impl Op {
    pub const ALL: [Op; 8] =
        [Op::Folder, Op::Begin, Op::Open, Op::Write, Op::Rename, Op::Remove, Op::Look, Op::Read];
}

/// A planned failure.
#[derive(Debug)]
struct Fault {
    op: Op,
    which: Range<usize>,
    error: i32,
    asked: AtomicUsize,
    struck: OnceLock<PathBuf>,
}

/// The disk as one run sees it. Copies are one disk.
#[derive(Debug, Clone, Default)]
pub struct Disk {
    fault: Option<Arc<Fault>>,
    /// Existing temporary files: what a run that ends at once removes.
    begun: Arc<Mutex<BTreeSet<PathBuf>>>,
}

impl Disk {
    /// A disk that fails at some operations of a kind, numbered from 0, with an error number of the system.
    pub fn failing(op: Op, which: Range<usize>, error: i32) -> Disk {
        let fault = Fault { op, which, error, asked: AtomicUsize::new(0), struck: OnceLock::new() };
        Disk { fault: Some(Arc::new(fault)), begun: Arc::default() }
    }

    /// The file or folder at which it first failed; none until then.
    pub fn struck(&self) -> Option<PathBuf> {
        self.fault.as_ref()?.struck.get().cloned()
    }

    /// Asks for an operation on a path.
    fn ask(&self, op: Op, path: &Path) -> io::Result<()> {
        let Some(fault) = self.fault.as_ref().filter(|f| f.op == op) else { return Ok(()) };
        if !fault.which.contains(&fault.asked.fetch_add(1, Ordering::SeqCst)) {
            return Ok(());
        }
        let _ = fault.struck.set(path.to_owned());
        Err(io::Error::from_raw_os_error(fault.error))
    }

    fn begun(&self) -> MutexGuard<'_, BTreeSet<PathBuf>> {
        self.begun.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Makes a folder with all above it.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn folder(&self, path: &Path) -> io::Result<()> {
        self.ask(Op::Folder, path).and_then(|()| fs::create_dir_all(path))
    }

    /// Opens a file or folder to read.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn open(&self, path: &Path) -> io::Result<File> {
        self.ask(Op::Open, path).and_then(|()| File::open(path))
    }

    /// Removes all files that were begun; none can be begun as long as what is handed back is held.
    pub fn drop_begun(&self) -> impl Drop {
        let begun = self.begun();
        begun.iter().for_each(|path| drop(fs::remove_file(path)));
        begun
    }

    /// Begins a file under a temporary name beside its place `path`.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn begin(
        &self,
        builder: &mut tempfile::Builder<'_, '_>,
        path: &Path,
    ) -> io::Result<NamedTempFile> {
        let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
        self.ask(Op::Begin, path)?;
        let mut begun = self.begun();
        let file = builder.tempfile_in(folder)?;
        begun.insert(file.path().to_owned());
        Ok(file)
    }

    /// Writes to a file whose place will be `path`; a full disk takes part of it first.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn write(&self, file: &mut NamedTempFile, path: &Path, bytes: &[u8]) -> io::Result<usize> {
        if let Err(e) = self.ask(Op::Write, path) {
            file.write_all(&bytes[..bytes.len() / 2])?;
            return Err(e);
        }
        file.write(bytes)
    }

    /// Puts a file in its place.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn rename(&self, file: NamedTempFile, path: &Path) -> io::Result<()> {
        self.ask(Op::Rename, path)?;
        let was = file.path().to_owned();
        file.persist(path).map(drop).map_err(|e| e.error)?;
        self.begun().remove(&was);
        Ok(())
    }

    /// Removes a file.
    ///
    /// # Errors
    /// It does not exist, or those of the disk.
    pub fn remove(&self, path: &Path) -> io::Result<()> {
        self.ask(Op::Remove, path).and_then(|()| fs::remove_file(path))
    }

    /// What the system knows of a file.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn metadata(&self, path: &Path) -> io::Result<Metadata> {
        self.ask(Op::Look, path).and_then(|()| fs::metadata(path))
    }

    /// What the system knows of a file, or of the link in its place.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn link_metadata(&self, path: &Path) -> io::Result<Metadata> {
        self.ask(Op::Look, path).and_then(|()| fs::symlink_metadata(path))
    }

    /// Removes a folder with nothing in it.
    ///
    /// # Errors
    /// It is not empty, or those of the disk.
    pub fn remove_folder(&self, path: &Path) -> io::Result<()> {
        self.ask(Op::Remove, path).and_then(|()| fs::remove_dir(path))
    }

    /// All that is in a folder.
    ///
    /// # Errors
    /// It cannot be read.
    pub fn entries(&self, path: &Path) -> io::Result<Vec<PathBuf>> {
        self.ask(Op::Look, path)?;
        fs::read_dir(path)?.map(|entry| entry.map(|e| e.path())).collect()
    }

    /// Fills a buffer from a file.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn read(&self, file: &mut File, path: &Path, buffer: &mut [u8]) -> io::Result<usize> {
        self.ask(Op::Read, path).and_then(|()| file.read(buffer))
    }

    /// All bytes of a file.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn bytes(&self, path: &Path) -> io::Result<Vec<u8>> {
        let mut file = self.open(path)?;
        self.ask(Op::Read, path)?;
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes).map(|_| bytes)
    }
}
