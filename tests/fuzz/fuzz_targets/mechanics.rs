#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| springline_tests::invariants::mechanics(data));
