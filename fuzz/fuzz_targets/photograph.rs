//! See `entries/photograph.rs`.
#![no_main]

use shadecard_fuzz::{entries, run};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| run(entries::photograph::entry, bytes));
