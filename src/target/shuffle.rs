//! An order by chance that is the same every time: uneven light and ink fall on all colours alike.

use sha2::{Digest, Sha256};

/// Puts items into the order of hashes of their names.
pub fn shuffled<T>(items: Vec<T>, name: impl Fn(&T) -> String) -> Vec<T> {
    let mut keyed: Vec<(Vec<u8>, T)> = items
        .into_iter()
        .map(|item| (Sha256::digest(name(&item).as_bytes()).to_vec(), item))
        .collect();
    keyed.sort_by(|a, b| a.0.cmp(&b.0));
    keyed.into_iter().map(|(_, item)| item).collect()
}
