//! Files that appear whole or not at all: written beside their place under a
//! temporary name, then renamed.

use std::io::{self, BufWriter, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use super::cancel;
use crate::diag::Diagnostic;
use crate::disk::Disk;
use crate::paint::png::Cancelled;
use crate::session::Session;

pub use super::trouble::{STANDARD_OUTPUT, trouble};

/// How the names of files end that are not whole yet.
const PART: &str = ".part";

/// A file being written: it does not exist before [`Pending::keep`].
pub struct Pending(BufWriter<Counted>);

/// The temporary file, hashed and counted as it is written.
struct Counted {
    disk: Disk,
    file: NamedTempFile,
    /// Where it will be.
    path: PathBuf,
    /// The disk rejected something.
    failed: bool,
    bytes: u64,
    hash: sha2::Sha256,
    /// Some of it was written over: the hash is not that of the file.
    turned: bool,
}

impl Seek for Counted {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.turned = true;
        self.file.seek(to)
    }
}

impl Write for Counted {
    fn write(&mut self, buf: &[u8]) -> io::Result<usize> {
        use sha2::Digest;
        let taken = self.disk.write(&mut self.file, &self.path, buf);
        let again = |e: &io::Error| e.kind() == io::ErrorKind::Interrupted;
        self.failed |= taken.as_ref().is_err_and(|e| !again(e));
        let n = taken?;
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
    pub fn new(path: &Path, disk: &Disk) -> Result<Pending, Diagnostic> {
        let mut builder = tempfile::Builder::new();
        let prefix = prefix(path);
        builder.prefix(&prefix).suffix(PART).permissions(permissions());
        let file = disk.begin(&mut builder, path).map_err(|e| trouble(path, &e))?;
        let (disk, path) = (disk.clone(), path.to_owned());
        let hash = sha2::Digest::new();
        let counted = Counted { disk, file, path, failed: false, bytes: 0, hash, turned: false };
        Ok(Pending(BufWriter::with_capacity(1 << 18, counted)))
    }

    /// Where the file will be, if the disk did not accept all of it.
    pub fn failed(&self) -> Option<&Path> {
        let counted = self.0.get_ref();
        counted.failed.then_some(&counted.path)
    }

    /// Puts the file in its place, over an older one.
    ///
    /// # Errors
    /// The disk is full or the place cannot be written to; then nothing is changed.
    pub fn keep(self) -> Result<Kept, Diagnostic> {
        self.keep_after(|_| Ok(()))
    }

    /// The same, once `first` is done with what will be there.
    ///
    /// # Errors
    /// As [`Pending::keep`], and those of `first`.
    pub fn keep_after(
        self,
        first: impl FnOnce(&Kept) -> Result<(), Diagnostic>,
    ) -> Result<Kept, Diagnostic> {
        let path = self.0.get_ref().path.clone();
        let counted = self.0.into_inner().map_err(|e| trouble(&path, e.error()))?;
        let Counted { disk, file, mut bytes, hash, turned, .. } = counted;
        let mut sha256 = hex(&sha2::Digest::finalize(hash));
        if turned {
            let size = disk.metadata(file.path()).map_err(|e| trouble(&path, &e))?;
            bytes = size.len();
            sha256 = self::sha256(file.path(), &disk).map_err(|e| trouble(&path, &e))?;
        }
        let kept = Kept { path, bytes, sha256 };
        first(&kept)?;
        disk.rename(file, &kept.path).map_err(|e| trouble(&kept.path, &e))?;
        Ok(kept)
    }
}

impl Kept {
    /// What a file of these bytes will be.
    pub fn of(path: &Path, bytes: &[u8]) -> Kept {
        let sha256 = hex(&<sha2::Sha256 as sha2::Digest>::digest(bytes));
        Kept { path: path.to_owned(), bytes: bytes.len() as u64, sha256 }
    }

    /// Is there a file with these very bytes already?
    pub fn is_there(&self, disk: &Disk) -> bool {
        sha256(&self.path, disk).is_ok_and(|sha| sha == self.sha256)
    }
}

impl Write for Pending {
    fn write(&mut self, buf: &[u8]) -> io::Result<usize> {
        self.0.write(buf)
    }
    fn flush(&mut self) -> io::Result<()> {
        self.0.flush()
    }
}

impl Seek for Pending {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.0.seek(to)
    }
}

/// Writes a whole file at once.
///
/// # Errors
/// As [`Pending::new`] and [`Pending::keep`].
pub fn whole(path: &Path, bytes: &[u8], disk: &Disk) -> Result<Kept, Diagnostic> {
    let mut pending = Pending::new(path, disk)?;
    pending.write_all(bytes).map_err(|e| trouble(path, &e))?;
    pending.keep()
}

/// Writes files into a folder, each by its path inside it. What a killed run
/// has left of them half-written is removed first.
///
/// # Errors
/// As [`folder`] and [`whole`]; the files before the failure exist.
pub fn all<P: AsRef<Path>, B: AsRef<[u8]>>(
    dir: &Path,
    files: &[(P, B)],
    disk: &Disk,
) -> Result<(), Diagnostic> {
    let files: Vec<(PathBuf, &[u8])> =
        files.iter().map(|(name, bytes)| (dir.join(name), bytes.as_ref())).collect();
    for together in files.chunk_by(|(a, _), (b, _)| a.parent() == b.parent()) {
        let at = together[0].0.parent().filter(|p| !p.as_os_str().is_empty());
        at.map_or(Ok(()), |at| folder(at, disk))?;
        let at = at.unwrap_or(Path::new("."));
        let _lock = hold(at, disk);
        let begun: Vec<String> = together.iter().map(|(path, _)| prefix(path)).collect();
        remove_parts(at, |name| begun.iter().any(|prefix| name.starts_with(prefix)), disk);
        for (path, bytes) in together {
            whole(path, bytes, disk)?;
        }
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
pub fn lock(dir: &Path, session: &Session) -> Result<Lock, Cancelled> {
    waiting(dir, || cancel::check(session.stop()), &session.disk)
}

/// Waits until no other run writes to the folder, without a way to stop it:
/// for what takes no time.
pub fn hold(dir: &Path, disk: &Disk) -> Lock {
    waiting(dir, || Ok(()), disk).unwrap_or(Lock(None))
}

fn waiting(
    dir: &Path,
    stopped: impl Fn() -> Result<(), Cancelled>,
    disk: &Disk,
) -> Result<Lock, Cancelled> {
    // Where folders cannot be locked, the user must keep runs apart.
    let Ok(file) = disk.open(dir) else { return Ok(Lock(None)) };
    while let Err(std::fs::TryLockError::WouldBlock) = file.try_lock() {
        stopped()?;
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    Ok(Lock(Some(file)))
}

/// Removes what a killed run has left half-written in a folder that is locked.
pub fn sweep(dir: &Path, disk: &Disk) {
    remove_parts(dir, |name| name.starts_with('.'), disk);
}

/// Removes what a killed run has left half-written of one file.
pub fn sweep_file(path: &Path, disk: &Disk) {
    let begun = prefix(path);
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    remove_parts(folder, |name| name.starts_with(&begun), disk);
}

/// Has no run left anything half-written in a folder?
pub fn is_swept(dir: &Path, disk: &Disk) -> bool {
    parts(dir, |name| name.starts_with('.'), disk).is_ok_and(|parts| parts.is_empty())
}

/// A file that cannot be removed is harmless: the next run tries again.
fn remove_parts(dir: &Path, is_ours: impl Fn(&str) -> bool, disk: &Disk) {
    for path in parts(dir, is_ours, disk).unwrap_or_default() {
        let _ = disk.remove(&path);
    }
}

fn parts(dir: &Path, is_ours: impl Fn(&str) -> bool, disk: &Disk) -> io::Result<Vec<PathBuf>> {
    let is_part = |path: &PathBuf| {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        name.ends_with(PART) && is_ours(&name)
    };
    Ok(disk.entries(dir)?.into_iter().filter(is_part).collect())
}

/// The SHA-256 of a file, lower-case hexadecimal.
///
/// # Errors
/// It cannot be read.
pub fn sha256(path: &Path, disk: &Disk) -> io::Result<String> {
    use sha2::Digest;
    let mut hash = sha2::Sha256::new();
    let mut file = disk.open(path)?;
    let mut buffer = vec![0; 1 << 18];
    loop {
        match disk.read(&mut file, path, &mut buffer)? {
            0 => return Ok(hex(&hash.finalize())),
            n => hash.update(&buffer[..n]),
        }
    }
}

/// Makes a folder with all above it.
///
/// # Errors
/// It cannot be made.
pub fn folder(path: &Path, disk: &Disk) -> Result<(), Diagnostic> {
    disk.folder(path).map_err(|e| trouble(path, &e))
}

/// How the temporary names of a file begin.
fn prefix(path: &Path) -> String {
    format!(".{}.", path.file_name().unwrap_or_default().to_string_lossy())
}

#[cfg(unix)]
fn permissions() -> std::fs::Permissions {
    use std::os::unix::fs::PermissionsExt;
    // As any new file: the user's mask is applied to this.
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
        whole(&path, b"old", &Disk::default()).expect("written");
        let mut pending = Pending::new(&path, &Disk::default()).expect("begun");
        pending.write_all(b"half of the ne").expect("written");
        drop(pending);
        assert_eq!(std::fs::read(&path).expect("there"), b"old");
        assert_eq!(std::fs::read_dir(dir.path()).expect("a folder").count(), 1);
    }

    #[test]
    fn what_a_killed_run_left_of_a_file_is_removed_and_nothing_else() {
        let dir = tempfile::tempdir().expect("a folder");
        for name in [".a.csv.x1y2z3.part", ".b.csv.x1y2z3.part", "a.csv.part"] {
            std::fs::write(dir.path().join(name), b"half").expect("written");
        }
        all(dir.path(), &[("a.csv", b"new")], &Disk::default()).expect("written");
        let mut left = Disk::default().entries(dir.path()).expect("a folder");
        left.sort();
        let names = [".b.csv.x1y2z3.part", "a.csv", "a.csv.part"];
        assert_eq!(left, names.map(|name| dir.path().join(name)));
    }

    #[test]
    fn a_file_that_was_turned_back_in_knows_its_checksum_too() {
        let dir = tempfile::tempdir().expect("a folder");
        let path = dir.path().join("a");
        let mut pending = Pending::new(&path, &Disk::default()).expect("begun");
        pending.write_all(b"xbcdef").expect("written");
        pending.seek(SeekFrom::Start(0)).expect("there");
        pending.write_all(b"a").expect("written");
        pending.seek(SeekFrom::End(0)).expect("there");
        pending.write_all(b"g").expect("written");
        let kept = pending.keep().expect("kept");
        assert_eq!(std::fs::read(&path).expect("there"), b"abcdefg");
        let whole = whole(&dir.path().join("b"), b"abcdefg", &Disk::default()).expect("written");
        assert_eq!((kept.bytes, kept.sha256), (whole.bytes, whole.sha256));
    }

    #[test]
    fn a_kept_file_knows_its_checksum() {
        let dir = tempfile::tempdir().expect("a folder");
        let kept = whole(&dir.path().join("a"), b"abc", &Disk::default()).expect("written");
        // FIPS 180-4, example of SHA-256 for "abc".
        let sha = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!((kept.bytes, kept.sha256.as_str()), (3, sha));
    }
}
