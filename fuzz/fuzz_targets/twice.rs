//! Every other target, each input twice.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| shadecard_fuzz::run_twice(bytes));
