//! A choice of a few, all in view.

use yew::prelude::*;

/// Buttons in a row, one pressed: what is chosen in words, how they are set ("", "small" or in two
/// columns: "many"), the words on them, which one is on (none when out of range), and what is called
/// with the one picked.
pub fn segments(
    label: &'static str,
    class: &'static str,
    options: Vec<AttrValue>,
    on: usize,
    pick: &Callback<usize>,
) -> Html {
    html! {
        <div class={classes!("segments", class)} role="group" aria-label={label}>
            { for options.into_iter().enumerate().map(|(index, text)| {
                let onclick = pick.reform(move |_: MouseEvent| index);
                let pressed = (index == on).to_string();
                html! { <button type="button" key={index} aria-pressed={pressed} {onclick}>{ text }</button> }
            }) }
        </div>
    }
}
