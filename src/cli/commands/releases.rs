//! The ranges of two releases.

use std::path::Path;

use crate::diag::{Findings, Sources};
use crate::range::{ColourRange, Described, load_range};

/// The whole range of a described sheet.
pub(super) fn whole(
    described: Described,
    file: &Path,
    sources: &mut Sources,
) -> Result<ColourRange, Findings> {
    match described.sheet {
        None => Ok(described.range),
        Some(_) => load_range(file, sources),
    }
}

/// Both, or the faults of both.
pub(super) fn both<T>(
    old: Result<T, Findings>,
    new: Result<T, Findings>,
) -> Result<(T, T), Findings> {
    match (old, new) {
        (Ok(old), Ok(new)) => Ok((old, new)),
        (Err(mut old), new) => {
            old.extend(new.err().unwrap_or_default());
            Err(old)
        }
        (_, Err(new)) => Err(new),
    }
}
