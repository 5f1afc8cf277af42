//! A shelf of strips in memory.

use std::collections::HashMap;
use std::sync::atomic::{AtomicUsize, Ordering};

use shadecard::paint::png::{Key, Shelf};

/// Strips of an earlier run, and how many are taken.
#[derive(Default)]
pub struct Memory {
    pub strips: HashMap<Key, (Vec<u8>, u32)>,
    pub taken: AtomicUsize,
}

impl Shelf for Memory {
    fn has(&self, key: Key) -> bool {
        self.strips.contains_key(&key)
    }
    fn fetch(&self, key: Key) -> Option<(Vec<u8>, u32)> {
        self.taken.fetch_add(1, Ordering::Relaxed);
        self.strips.get(&key).cloned()
    }
}
