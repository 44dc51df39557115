//! A choice of a few, all in view.

use yew::prelude::*;

/// The choice.
#[derive(Properties, PartialEq)]
pub struct SegmentsProps {
    /// What is chosen, in words.
    pub label: AttrValue,
    /// The words on the buttons.
    pub options: Vec<AttrValue>,
    /// Which one is on; none when out of range.
    pub on: usize,
    /// Called with the one picked.
    pub pick: Callback<usize>,
    /// Smaller, where space is short.
    #[prop_or_default]
    pub small: bool,
}

/// Buttons in a row, one pressed.
#[component]
pub fn Segments(props: &SegmentsProps) -> Html {
    html! {
        <div class={classes!("segments", props.small.then_some("small"))} role="group" aria-label={props.label.clone()}>
            { for props.options.iter().enumerate().map(|(index, text)| {
                let onclick = props.pick.reform(move |_: MouseEvent| index);
                let pressed = (index == props.on).to_string();
                html! { <button type="button" key={index} aria-pressed={pressed} {onclick}>{ text.clone() }</button> }
            }) }
        </div>
    }
}
