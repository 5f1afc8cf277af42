//! See `entries/readings.rs`.
#![no_main]

use shadecard_fuzz::{entries, run};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| run(entries::readings::entry, bytes));
