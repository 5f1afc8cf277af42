//! What every target does with its bytes, for `fuzz_targets/` and for `tests/corpus.rs` alike.
//!
//! An entry gives the bytes to one part of the program, panics where a promise
//! is broken, and returns what came of it as text, so that two runs can be
//! compared.

mod arguments;
mod csv;
mod desk;
mod dice;
mod icc;
mod pdf;
mod plan;
#[path = "../../tests/positions/mod.rs"]
mod positions;
#[path = "../../tests/common/press.rs"]
mod press;
mod range;
mod shape;
mod sheet;
mod spelling;
mod told;
mod xlsx;

/// Bytes to what came of them.
pub type Entry = fn(&[u8]) -> String;

/// Every target by its name: that of its file in `fuzz_targets` and of its folder in `corpus`.
pub const ALL: [(&str, Entry); 10] = [
    ("arguments", arguments::entry),
    ("csv", csv::entry),
    ("icc", icc::entry),
    ("pdf", pdf::entry),
    ("plan", plan::entry),
    ("range", range::entry),
    ("shape", shape::entry),
    ("sheet", sheet::entry),
    ("spelling", spelling::entry),
    ("xlsx", xlsx::entry),
];

/// Runs the entry of a target once, and one input in eight twice: the same bytes must come to the same.
#[allow(dead_code, reason = "the replay runs every input twice")]
pub fn run(target: &str, bytes: &[u8]) {
    let entry = ALL.iter().find(|(name, _)| *name == target).expect("a target of that name").1;
    let first = entry(bytes);
    let sum = bytes.iter().fold(0u8, |sum, b| sum.wrapping_add(*b));
    if sum.is_multiple_of(8) {
        assert_eq!(first, entry(bytes), "the same bytes came to something else");
    }
}
