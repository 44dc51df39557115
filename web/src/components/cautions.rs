//! The usual cautions, wherever a result bears on steering, brakes or wheels.

use yew::prelude::*;

/// The words, short.
pub const WORDS: [&str; 4] = [
    "These are results of geometry, not a judgment of your truck. Measure again before you cut, drill or weld.",
    "Steering, brakes, wheels and suspension brackets can kill when they fail. Have welds and load-bearing work done or inspected by someone licensed for it.",
    "After any change: alignment; full lock and full travel checked by hand; brake-hose and driveshaft slack; wheel-nut torque again after the first drive.",
    "Local rules on lift, tires, spacers and inspection come first.",
];

/// A box of cautions.
pub fn cautions() -> Html {
    html! {
        <aside class="cautions" aria-labelledby="cautions-title">
            <h2 id="cautions-title">{ "Before you trust this" }</h2>
            <ul>{ for WORDS.iter().map(|words| html! { <li>{ *words }</li> }) }</ul>
        </aside>
    }
}
