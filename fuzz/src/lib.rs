//! What the fuzz targets share.

mod budget;
#[path = "../entries/mod.rs"]
pub mod entries;

/// Gives an input to a target, within its budget. Each names its entry, so that the others are not linked: counters of
/// code that never runs are gone through after every run, too.
pub fn run(entry: entries::Entry, bytes: &[u8]) {
    budget::kept(|| entry(bytes));
}

/// The first byte names a target, and the same bytes must come to the same twice.
pub fn run_twice(bytes: &[u8]) {
    let Some((first, bytes)) = bytes.split_first() else { return };
    let (name, entry) = entries::ALL[usize::from(*first) % entries::ALL.len()];
    let once = budget::kept(|| entry(bytes));
    assert_eq!(once, budget::kept(|| entry(bytes)), "'{name}' came to something else");
}
