//! See `tapewright_tests::fuzz::card_link`.

#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| {
    tapewright_tests::fuzz::card_link(data);
});
