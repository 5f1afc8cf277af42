//! Look-alikes: which colours are close enough to be confused, and how the
//! second of two differs from the first in plain words.

mod pairs;
mod terms;
#[cfg(test)]
mod tests;
mod words;

pub use pairs::{Pair, nearest, pairs};
pub use words::{Word, words};

/// The CIEDE2000 distance up to which two colours are look-alikes by default.
///
/// Common practice, no source: at arm's length, in two places, colours
/// further apart are seldom taken for each other.
pub const LIMIT: f64 = 10.0;
