//! What earlier runs left: which files are up to date, and strips to use again.
//!
//! `.shadecard/reuse/` beside the folder of a sheet may be deleted at any time: then
//! everything is drawn again. Nothing in it is trusted that cannot be
//! checked: a file counts only with the size and time it had, or the
//! checksum; a strip only with the checksum of its chunk.

use std::collections::{BTreeMap, HashMap};
use std::fs::File;
use std::io::{Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError, RwLock};
use std::time::UNIX_EPOCH;

use serde::{Deserialize, Serialize};

use super::book::NOTES;
use super::write::{self, Kept};
use crate::diag::Diagnostic;
use crate::disk::Disk;
use crate::paint::png::{Key, Shelf, Strip};
use crate::sheet::identity::Digest;

/// The folder of what is remembered, in [`NOTES`].
const REUSE: &str = "reuse";

/// Where runs into a folder of results remember what they did.
pub fn memory(out: &Path) -> PathBuf {
    out.join(NOTES).join(REUSE)
}

/// Which program this is: a digest of its source. Another one draws everything again.
pub const PROGRAM: &str = env!("SHADECARD_SOURCE");

/// How a file was found on the disk.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stamp {
    pub bytes: u64,
    /// When it was last written, nanoseconds since 1970.
    pub written: u128,
    /// When anything about it last changed, seconds and nanoseconds, where the system knows: the time of
    /// writing can be set back, this one cannot.
    pub changed: Option<(i64, i64)>,
}

impl Stamp {
    /// That of a file; `None` where it does not exist.
    pub fn of(path: &Path, disk: &Disk) -> Option<Stamp> {
        let meta = disk.metadata(path).ok().filter(std::fs::Metadata::is_file)?;
        let written = meta.modified().ok()?.duration_since(UNIX_EPOCH).ok()?.as_nanos();
        Some(Stamp { bytes: meta.len(), written, changed: changed(&meta) })
    }
}

#[cfg(unix)]
fn changed(meta: &std::fs::Metadata) -> Option<(i64, i64)> {
    use std::os::unix::fs::MetadataExt;
    Some((meta.ctime(), meta.ctime_nsec()))
}

#[cfg(not(unix))]
fn changed(_: &std::fs::Metadata) -> Option<(i64, i64)> {
    None
}

/// A file that a run made.
#[derive(Debug, Clone, Serialize, Deserialize)]
struct MadeFile {
    stamp: Stamp,
    sha256: String,
    /// What it shows.
    shows: String,
    /// Its strips, where it has any: key, place, length, Adler-32.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    strips: Vec<(String, u64, u64, u32)>,
}

#[derive(Debug, Default, Serialize, Deserialize)]
struct Index {
    program: String,
    files: BTreeMap<String, MadeFile>,
}

/// A file that can lend strips.
struct Lender(Mutex<File>);

/// All of them, and which has a strip.
#[derive(Default)]
struct Lenders {
    files: Vec<Lender>,
    strips: HashMap<Key, (usize, Strip)>,
}

/// Files that lend at most: each stays open.
const MOST_LENDERS: usize = 128;

/// The files of a folder as earlier runs and this one left them.
pub struct Reuse {
    folder: PathBuf,
    disk: Disk,
    files: RwLock<BTreeMap<String, MadeFile>>,
    lenders: RwLock<Lenders>,
}

impl Reuse {
    /// What is in `folder`; nothing of it when `fresh`.
    pub fn open(folder: &Path, fresh: bool, disk: &Disk) -> Reuse {
        let reuse = Reuse {
            folder: folder.to_owned(),
            disk: disk.clone(),
            files: RwLock::default(),
            lenders: RwLock::default(),
        };
        let index = if fresh { None } else { read(&file(folder), disk) };
        for (name, made) in index.into_iter().flat_map(|i| i.files) {
            if reuse.is_whole(&name, &made) {
                reuse.lend(&name, &made.strips.iter().filter_map(strip).collect::<Vec<_>>());
                lock_mut(&reuse.files).insert(name, made);
            }
        }
        reuse
    }

    /// Is the file on the disk the one that was made?
    fn is_whole(&self, name: &str, made: &MadeFile) -> bool {
        let path = self.folder.join(name);
        match Stamp::of(&path, &self.disk) {
            Some(stamp) if stamp == made.stamp => true,
            // Copied or touched: the same bytes will do.
            Some(stamp) if stamp.bytes == made.stamp.bytes => {
                write::sha256(&path, &self.disk).is_ok_and(|sha| sha == made.sha256)
            }
            _ => false,
        }
    }

    /// The file, if it exists and shows this already.
    pub fn kept(&self, name: &str, shows: &Digest) -> Option<Kept> {
        let files = self.files.read().unwrap_or_else(PoisonError::into_inner);
        let made = files.get(name).filter(|made| made.shows == shows.hex())?;
        let path = self.folder.join(name);
        Some(Kept { path, bytes: made.stamp.bytes, sha256: made.sha256.clone() })
    }

    /// The checksum of a file that is as this program made it, whatever it shows.
    pub fn knows(&self, name: &str) -> Option<String> {
        let files = self.files.read().unwrap_or_else(PoisonError::into_inner);
        files.get(name).map(|made| made.sha256.clone())
    }

    /// Remembers a file that was made now.
    pub fn add(&self, name: &str, shows: &Digest, kept: &Kept, strips: &[Strip]) {
        let Some(stamp) = Stamp::of(&kept.path, &self.disk) else { return };
        self.lend(name, strips);
        let strips = strips.iter().map(|s| (s.key.0.hex(), s.at, s.len, s.adler)).collect();
        let made = MadeFile { stamp, sha256: kept.sha256.clone(), shows: shows.hex(), strips };
        lock_mut(&self.files).insert(name.to_owned(), made);
    }

    fn lend(&self, name: &str, strips: &[Strip]) {
        let mut lenders = lock_mut(&self.lenders);
        if strips.is_empty() || lenders.files.len() == MOST_LENDERS {
            return;
        }
        // Open from the start: a file that takes its place would have other strips there.
        let Ok(file) = self.disk.open(&self.folder.join(name)) else { return };
        lenders.files.push(Lender(Mutex::new(file)));
        let index = lenders.files.len() - 1;
        for strip in strips {
            lenders.strips.insert(strip.key, (index, *strip));
        }
    }

    /// Records the state for the next run.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn save(&self) -> Result<(), Diagnostic> {
        let mut files = self.files.read().unwrap_or_else(PoisonError::into_inner).clone();
        files.retain(|name, _| Stamp::of(&self.folder.join(name), &self.disk).is_some());
        let index = Index { program: PROGRAM.to_owned(), files };
        let text = serde_json::to_string(&index).unwrap_or_default();
        remember(&file(&self.folder), &text, &self.disk)
    }
}

/// Writes a file of the memory, which runs on other sheets share.
///
/// # Errors
/// Those of the disk.
pub fn remember(file: &Path, text: &str, disk: &Disk) -> Result<(), Diagnostic> {
    let folder = file.parent().unwrap_or(Path::new("."));
    write::folder(folder, disk)?;
    let _lock = write::hold(folder, disk);
    write::sweep(folder, disk);
    write::whole(file, text.as_bytes(), disk).map(drop)
}

impl Shelf for Reuse {
    fn has(&self, key: Key) -> bool {
        self.lenders.read().unwrap_or_else(PoisonError::into_inner).strips.contains_key(&key)
    }

    fn fetch(&self, key: Key) -> Option<(Vec<u8>, u32)> {
        let lenders = self.lenders.read().unwrap_or_else(PoisonError::into_inner);
        let (index, strip) = lenders.strips.get(&key)?;
        let mut file = lenders.files[*index].0.lock().unwrap_or_else(PoisonError::into_inner);
        let data = chunk(&mut file, strip)?;
        Some((data, strip.adler))
    }
}

/// The data of an IDAT chunk, if its length, type and checksum are right
/// (PNG, third edition, 5.3).
fn chunk(file: &mut File, strip: &Strip) -> Option<Vec<u8>> {
    let len = usize::try_from(strip.len).ok().filter(|n| *n <= 1 << 28)?;
    file.seek(SeekFrom::Start(strip.at.checked_sub(8)?)).ok()?;
    let mut bytes = vec![0; len + 12];
    file.read_exact(&mut bytes).ok()?;
    let (head, rest) = bytes.split_at(8);
    let (data, sum) = rest.split_at(len);
    let mut crc = flate2::Crc::new();
    crc.update(&head[4..]);
    crc.update(data);
    let right = head[..4] == (len as u32).to_be_bytes()
        && head[4..] == *b"IDAT"
        && sum == crc.sum().to_be_bytes();
    right.then(|| data.to_vec())
}

fn strip((key, at, len, adler): &(String, u64, u64, u32)) -> Option<Strip> {
    Some(Strip { key: Key(Digest::parse(key)?), at: *at, len: *len, adler: *adler })
}

/// What is remembered of a folder.
fn file(folder: &Path) -> PathBuf {
    let name = folder.file_name().unwrap_or_default().to_string_lossy();
    memory(&folder.with_file_name("")).join(format!("{name}.files.json"))
}

fn read(path: &Path, disk: &Disk) -> Option<Index> {
    let text = disk.bytes(path).ok()?;
    let index: Index = serde_json::from_slice(&text).ok()?;
    (index.program == PROGRAM).then_some(index)
}

fn lock_mut<T>(lock: &RwLock<T>) -> std::sync::RwLockWriteGuard<'_, T> {
    lock.write().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_strip_is_lent_only_whole() {
        let mut png = b"\0\0\0\x03IDATabc".to_vec();
        let mut crc = flate2::Crc::new();
        crc.update(b"IDATabc");
        png.extend(crc.sum().to_be_bytes());
        let dir = tempfile::tempdir().expect("a folder");
        let path = dir.path().join("a.png");
        let fetched = |bytes: &[u8], at: u64, len: u64| {
            std::fs::write(&path, bytes).expect("written");
            let strip = Strip { key: Key(Digest([0; 16])), at, len, adler: 0 };
            chunk(&mut File::open(&path).expect("there"), &strip)
        };
        assert_eq!(fetched(&png, 8, 3).as_deref(), Some(b"abc".as_slice()));
        assert_eq!(fetched(&png, 8, 2), None);
        assert_eq!(fetched(&png, 7, 3), None);
        assert_eq!(fetched(&png, 2, 3), None);
        assert_eq!(fetched(&png[..12], 8, 3), None);
        for at in 0..png.len() {
            let mut harmed = png.clone();
            harmed[at] ^= 1;
            assert_eq!(fetched(&harmed, 8, 3), None, "{at}");
        }
    }
}
