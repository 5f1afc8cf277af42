//! Stamps that are kept for the next time.

use std::collections::HashMap;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, PoisonError, RwLock};

use super::stamp::Stamp;
use crate::sheet::Turn;

/// Most that is kept, bytes. What does not fit is made again: slower, the same.
const MOST: usize = 24 << 20;

/// What a stamp was made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Key {
    pub path: usize,
    pub even_odd: bool,
    pub ramp: Option<usize>,
    pub turn: Turn,
    /// Bits of the pixels in a unit of the outline, across.
    pub scale: u64,
    /// Steps right and down in its pixel.
    pub phase: (i64, i64),
}

/// Stamps by what they were made of, for all threads.
#[derive(Debug, Default)]
pub struct Cache {
    kept: RwLock<HashMap<Key, Arc<Stamp>>>,
    bytes: AtomicUsize,
}

impl Cache {
    /// The stamp of a key, made if it is missing.
    pub fn get(&self, key: Key, make: impl FnOnce() -> Stamp) -> Arc<Stamp> {
        let there = self.kept.read().unwrap_or_else(PoisonError::into_inner).get(&key).cloned();
        if let Some(stamp) = there {
            return stamp;
        }
        let stamp = Arc::new(make());
        if self.bytes.load(Ordering::Relaxed) + stamp.bytes() <= MOST {
            let mut kept = self.kept.write().unwrap_or_else(PoisonError::into_inner);
            if kept.insert(key, Arc::clone(&stamp)).is_none() {
                self.bytes.fetch_add(stamp.bytes() + size_of::<Key>(), Ordering::Relaxed);
            }
        }
        stamp
    }
}
