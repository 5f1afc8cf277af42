//! See `entries/plan.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| shadecard_fuzz::run("plan", bytes));
