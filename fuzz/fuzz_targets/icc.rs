//! See `entries/icc.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| shadecard_fuzz::run("icc", bytes));
