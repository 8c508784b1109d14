#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| pairsight::fuzz::run("socket", bytes));
