//! How a value came out: a word, a shape, and a color that is never alone.

use fitment::finding::Severity;
use yew::prelude::*;

/// The mark and the word.
pub fn severity(which: Severity) -> Html {
    // Ring, open diamond, half diamond, triangle, octagon: told apart without color.
    let (class, d) = match which {
        Severity::InBand => ("in-band", "M2 8a6 6 0 1 0 12 0a6 6 0 1 0-12 0"),
        Severity::Unknown => ("unknown", "M8 1.5l6.5 6.5L8 14.5 1.5 8z"),
        Severity::Watch => ("watch", "M8 1.5l6.5 6.5L8 14.5 1.5 8z"),
        Severity::Out => ("out", "M8 1.5l7 13H1z"),
        Severity::Stop => ("stop", "M5 1h6l4 4v6l-4 4H5l-4-4V5z"),
    };
    html! {
        <span class={classes!("severity", class)}>
            <svg viewBox="0 0 16 16" width="16" height="16" aria-hidden="true" focusable="false"><path d={d} /></svg>
            { which.word() }
        </span>
    }
}
