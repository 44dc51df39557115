//! The workloads on the machine itself, in the form that WASM prints them in.

use std::time::Instant;

fn main() {
    // Cargo adds flags of its own; a word is part of the names wanted.
    let only = std::env::args().skip(1).find(|word| !word.starts_with('-')).unwrap_or_default();
    let start = Instant::now();
    print!("{}", tapewright_speed::timed(&only, || start.elapsed().as_secs_f64() * 1000.0));
}
