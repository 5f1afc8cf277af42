//! Strips that an earlier file has already.

use crate::sheet::identity::Digest;

/// What a strip shows: equal keys, equal pixels.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Key(pub Digest);

/// Where a strip is in the file that has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Strip {
    pub key: Key,
    /// Where its data begins, bytes from the start of the file.
    pub at: u64,
    pub len: u64,
    /// Adler-32 of what it unpacks to.
    pub adler: u32,
}

/// Files with strips that may be used again.
pub trait Shelf: Sync {
    /// Is there such a strip? Answers quickly.
    fn has(&self, key: Key) -> bool;
    /// The strip as compressed, with the Adler-32 of its rows; `None` where
    /// it does not exist, or is incomplete.
    fn fetch(&self, key: Key) -> Option<(Vec<u8>, u32)>;
}
