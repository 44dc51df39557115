//! What the engine is timed at: one list of workloads and one way of timing them, the same for the
//! machine itself (`benches/native.rs`) and for WASM ([`table`]), so that the two compare.

mod clock;
mod work;

pub use clock::{Timed, measure};
pub use work::Work;

use std::fmt::Write as _;
use wasm_bindgen::prelude::wasm_bindgen;

/// Times every workload whose name contains `only` by `now_ms`: a line for each, of its name, the
/// median of one run in seconds and what it came to.
pub fn timed(only: &str, now_ms: impl Fn() -> f64) -> String {
    let mut text = String::new();
    for work in Work::all().into_iter().filter(|work| work.name().contains(only)) {
        let Timed { seconds, result } = measure(&work, &now_ms);
        // Writing to a string does not fail.
        let _ = writeln!(text, "{} {seconds:e} {result:e}", work.name());
    }
    text
}

#[wasm_bindgen]
extern "C" {
    /// The host's clock, ms.
    #[wasm_bindgen(js_namespace = performance)]
    fn now() -> f64;
}

/// [`timed`] in WASM, by the clock of the host.
#[wasm_bindgen]
pub fn table(only: &str) -> String {
    timed(only, now)
}
