//! How a value came out: a word, a shape, and a color that is never alone.

use fitment::finding::Severity;
use yew::prelude::*;

/// The mark and the word.
pub fn severity(which: Severity) -> Html {
    html! { <span class={classes!("severity", class(which))}>{ shape(which) }{ which.word() }</span> }
}

/// The mark alone: ring, open diamond, half diamond, triangle, octagon are told apart without color.
pub fn shape(which: Severity) -> Html {
    let d = match which {
        Severity::InBand => "M2 8a6 6 0 1 0 12 0a6 6 0 1 0-12 0",
        Severity::Unknown | Severity::Watch => "M8 1.5l6.5 6.5L8 14.5 1.5 8z",
        Severity::Out => "M8 1.5l7 13H1z",
        Severity::Stop => "M5 1h6l4 4v6l-4 4H5l-4-4V5z",
    };
    html! { <svg class={classes!("shape", class(which))} viewBox="0 0 16 16" width="16" height="16" aria-hidden="true" focusable="false"><path {d} /></svg> }
}

const fn class(which: Severity) -> &'static str {
    match which {
        Severity::InBand => "in-band",
        Severity::Unknown => "unknown",
        Severity::Watch => "watch",
        Severity::Out => "out",
        Severity::Stop => "stop",
    }
}
