//! Proofreading: what the rules allow and a careful reader would still ask about.
//!
//! Every function gives findings with a place and a suggestion; none of them
//! stops a sheet.

pub mod against;
mod dictionary;
pub mod drawings;
pub mod garbled;
pub mod measured;
pub mod near;
pub mod terms;
mod texts;
pub mod twins;
pub mod unused;
mod words;

pub use dictionary::Dictionaries;
pub use words::words;

use crate::diag::Findings;
use crate::range::{ColourRange, SheetSpec};
use crate::work::Work;

/// What a careful reader would ask about a range and a sheet; nothing that needs a dictionary or a plan.
pub fn all(range: &ColourRange, sheet: &SheetSpec, work: &Work) -> Findings {
    let mut all = Findings::default();
    for findings in [
        near::near(range),
        terms::terms(range),
        twins::twins(range, sheet, work),
        unused::idle_parts(range),
        garbled::garbled(range, sheet),
        measured::measured(range),
    ] {
        all.extend(findings);
    }
    all
}
