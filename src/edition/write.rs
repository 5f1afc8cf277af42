//! Files that appear whole or not at all: written beside their place under a
//! temporary name, then renamed.

use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use super::cancel;
use crate::diag::Diagnostic;
use crate::paint::png::Cancelled;

/// How the names of files end that are not whole yet.
const PART: &str = ".part";

/// A file on its way: it is not there before [`Pending::keep`].
pub struct Pending {
    file: BufWriter<Counted>,
    path: PathBuf,
}

/// The temporary file, hashed and counted as it is written.
struct Counted {
    file: NamedTempFile,
    bytes: u64,
    hash: sha2::Sha256,
}

impl Write for Counted {
    fn write(&mut self, buf: &[u8]) -> io::Result<usize> {
        use sha2::Digest;
        let n = self.file.write(buf)?;
        self.hash.update(&buf[..n]);
        self.bytes += n as u64;
        Ok(n)
    }
    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

/// A file that was kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    pub path: PathBuf,
    pub bytes: u64,
    /// SHA-256, lower-case hexadecimal.
    pub sha256: String,
}

impl Pending {
    /// Starts a file.
    ///
    /// # Errors
    /// The folder cannot be written to.
    pub fn new(path: &Path) -> Result<Pending, Diagnostic> {
        let folder = path.parent().unwrap_or(Path::new("."));
        let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        let file = tempfile::Builder::new()
            .prefix(&format!(".{name}."))
            .suffix(PART)
            .permissions(permissions())
            .tempfile_in(folder)
            .map_err(|e| trouble(path, &e))?;
        let counted = Counted { file, bytes: 0, hash: sha2::Digest::new() };
        Ok(Pending { file: BufWriter::with_capacity(1 << 18, counted), path: path.to_owned() })
    }

    /// Puts the file in its place, over an older one.
    ///
    /// # Errors
    /// The disk is full or the place cannot be written to; then nothing is changed.
    pub fn keep(self) -> Result<Kept, Diagnostic> {
        let path = self.path;
        let counted = self.file.into_inner().map_err(|e| trouble(&path, e.error()))?;
        let sha256 = hex(&sha2::Digest::finalize(counted.hash));
        let bytes = counted.bytes;
        counted.file.persist(&path).map_err(|e| trouble(&path, &e.error))?;
        Ok(Kept { path, bytes, sha256 })
    }
}

impl Write for Pending {
    fn write(&mut self, buf: &[u8]) -> io::Result<usize> {
        self.file.write(buf)
    }
    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

/// Writes a whole file at once.
///
/// # Errors
/// As [`Pending::new`] and [`Pending::keep`].
pub fn whole(path: &Path, bytes: &[u8]) -> Result<Kept, Diagnostic> {
    let mut pending = Pending::new(path)?;
    pending.write_all(bytes).map_err(|e| trouble(path, &e))?;
    pending.keep()
}

/// Writes files into a folder, each by its path inside it.
///
/// # Errors
/// As [`folder`] and [`whole`]; the files before the failure are there.
pub fn all<B: AsRef<[u8]>>(dir: &Path, files: &[(String, B)]) -> Result<(), Diagnostic> {
    for (name, bytes) in files {
        let path = dir.join(name);
        folder(path.parent().unwrap_or(dir))?;
        whole(&path, bytes.as_ref())?;
    }
    Ok(())
}

/// The folder is this run's alone while it is held.
#[derive(Debug)]
pub struct Lock(#[expect(dead_code, reason = "held, not read")] Option<std::fs::File>);

/// Waits until no other run writes to the folder.
///
/// # Errors
/// Stopped by the person at the keyboard while it waited.
pub fn lock(dir: &Path) -> Result<Lock, Cancelled> {
    // Where folders cannot be locked, runs at once are the person's own care.
    let Ok(file) = std::fs::File::open(dir) else { return Ok(Lock(None)) };
    while let Err(std::fs::TryLockError::WouldBlock) = file.try_lock() {
        cancel::check()?;
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    Ok(Lock(Some(file)))
}

/// Removes what a killed run has left half-written in a folder that is locked.
pub fn sweep(dir: &Path) {
    let Ok(entries) = std::fs::read_dir(dir) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        if name.starts_with('.') && name.ends_with(PART) {
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

/// The SHA-256 of a file, lower-case hexadecimal.
///
/// # Errors
/// It cannot be read.
pub fn sha256(path: &Path) -> io::Result<String> {
    use sha2::Digest;
    let mut hash = sha2::Sha256::new();
    let mut file = std::fs::File::open(path)?;
    let mut buffer = vec![0; 1 << 18];
    loop {
        match io::Read::read(&mut file, &mut buffer)? {
            0 => return Ok(hex(&hash.finalize())),
            n => hash.update(&buffer[..n]),
        }
    }
}

/// Makes a folder with all above it.
///
/// # Errors
/// It cannot be made.
pub fn folder(path: &Path) -> Result<(), Diagnostic> {
    std::fs::create_dir_all(path).map_err(|e| trouble(path, &e))
}

/// A failure of the machine in plain words.
pub fn trouble(path: &Path, error: &io::Error) -> Diagnostic {
    use io::ErrorKind as K;
    let shown = path.display();
    let (message, help) = match error.kind() {
        K::PermissionDenied => (
            format!("{shown} cannot be written: permission denied"),
            "choose another folder with --out",
        ),
        K::StorageFull | K::QuotaExceeded => (
            format!("{shown} cannot be written: the disk is full"),
            "free some space, then run again",
        ),
        K::ReadOnlyFilesystem => (
            format!("{shown} cannot be written: the disk is read-only"),
            "choose another folder with --out",
        ),
        K::AlreadyExists | K::NotADirectory => (
            format!("{shown} cannot be made: a file of that name is in the way"),
            "move that file, or choose another folder with --out",
        ),
        K::NotFound => (format!("{shown} cannot be written: its folder is gone"), "run again"),
        K::IsADirectory => (
            format!("{shown} cannot be written: there is a folder of that name"),
            "move that folder away",
        ),
        _ => (format!("{shown} cannot be written: {error}"), "check the disk, then run again"),
    };
    Diagnostic::error("cannot-write", message).help(help)
}

#[cfg(unix)]
fn permissions() -> std::fs::Permissions {
    use std::os::unix::fs::PermissionsExt;
    // As any new file: the person's own mask takes away from this.
    std::fs::Permissions::from_mode(0o666)
}

#[cfg(not(unix))]
fn permissions() -> std::fs::Permissions {
    std::fs::metadata(".").map(|m| m.permissions()).expect("the current folder")
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_abandoned_file_leaves_the_old_one_and_nothing_else() {
        let dir = tempfile::tempdir().expect("a folder");
        let path = dir.path().join("a.svg");
        whole(&path, b"old").expect("written");
        let mut pending = Pending::new(&path).expect("begun");
        pending.write_all(b"half of the ne").expect("written");
        drop(pending);
        assert_eq!(std::fs::read(&path).expect("there"), b"old");
        assert_eq!(std::fs::read_dir(dir.path()).expect("a folder").count(), 1);
    }

    #[test]
    fn a_kept_file_knows_its_checksum() {
        let dir = tempfile::tempdir().expect("a folder");
        let kept = whole(&dir.path().join("a"), b"abc").expect("written");
        // FIPS 180-4, example of SHA-256 for "abc".
        let sha = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!((kept.bytes, kept.sha256.as_str()), (3, sha));
    }
}
