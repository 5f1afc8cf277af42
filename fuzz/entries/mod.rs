//! What every target does with its bytes, for `fuzz_targets/` and for `tests/inputs/corpus.rs` alike.
//!
//! An entry gives the bytes to one part of the program, panics where a promise
//! is broken, and returns what came of it as text, so that two runs can be
//! compared.

pub mod arguments;
pub mod begin;
pub mod besides;
pub mod commands;
pub mod csv;
mod desk;
mod dice;
pub mod drawing;
#[path = "../../tests/exhaustive/mod.rs"]
mod exhaustive;
pub mod icc;
pub mod labels;
pub mod lines;
pub mod pages;
pub mod pdf;
pub mod photograph;
pub mod placing;
pub mod plan;
#[path = "../../tests/positions/mod.rs"]
mod positions;
#[path = "../../tests/common/press.rs"]
mod press;
pub mod range;
pub mod readings;
pub mod shape;
pub mod sheet;
pub mod solver;
pub mod spelling;
pub mod tables;
mod told;
pub mod xlsx;

/// Bytes to what came of them.
pub type Entry = fn(&[u8]) -> String;

/// Every target by its name: that of its file in `fuzz_targets` and of its folder in `corpus`.
pub const ALL: [(&str, Entry); 25] = [
    ("arguments", arguments::entry),
    ("begin", begin::entry),
    ("commands", commands::entry),
    ("csv", csv::entry),
    ("drawing", drawing::entry),
    ("icc", icc::entry),
    ("labels", labels::entry),
    ("lines", lines::entry),
    ("measured", besides::measured),
    ("pages", pages::entry),
    ("pdf", pdf::entry),
    ("photograph", photograph::entry),
    ("placing", placing::entry),
    ("places", besides::places),
    ("plan", plan::entry),
    ("published", besides::published),
    ("range", range::entry),
    ("readings", readings::entry),
    ("shape", shape::entry),
    ("sheet", sheet::entry),
    ("solver", solver::entry),
    ("spelling", spelling::entry),
    ("stock", besides::stock),
    ("tables", tables::entry),
    ("xlsx", xlsx::entry),
];
