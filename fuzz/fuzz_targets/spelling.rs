//! What it does with its bytes stands in `entries/spelling.rs`.
#![no_main]

#[path = "../entries/mod.rs"]
mod entries;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| entries::run("spelling", bytes));
