//! See `tapewright_tests::fuzz::link_decoder`.

#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| {
    tapewright_tests::fuzz::link_decoder(data);
});
