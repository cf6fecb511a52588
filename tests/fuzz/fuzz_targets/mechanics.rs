#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| springline_tests::hold::mechanics(data));
