//! See `tapewright_tests::fuzz::json_document`.

#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| {
    tapewright_tests::fuzz::json_document(data);
});
