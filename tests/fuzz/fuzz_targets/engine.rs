//! See `tapewright_tests::fuzz::engine`.

#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| {
    tapewright_tests::fuzz::engine(data);
});
