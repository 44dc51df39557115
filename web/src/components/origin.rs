//! The mark of where a number came from: a line like the one in the drawing, and the word.

use crate::drawing::Mark;
use yew::prelude::*;

/// The mark.
pub fn origin_mark(mark: Mark) -> Html {
    let class = match mark {
        Mark::Measured => "measured",
        Mark::Published => "published",
        Mark::Assumed => "assumed",
        Mark::Computed => "computed",
    };
    let d = if mark == Mark::Published { "M0 2.5H26M0 5.5H26" } else { "M0 4H26" };
    html! {
        <span class={classes!("origin", class)}>
            <svg viewBox="0 0 26 8" width="26" height="8" aria-hidden="true" focusable="false">
                <path class="origin-line" d={d} />
            </svg>
            { mark.word() }
        </span>
    }
}
