//! A status for the ear that speaks once what it says has stood for a moment.

use gloo::timers::callback::Timeout;
use yew::prelude::*;

/// How long it must stand, ms.
const REST: u32 = 500;

/// The words.
#[derive(Properties, PartialEq)]
pub struct CalmProps {
    /// As they are now.
    pub text: AttrValue,
}

/// The status.
#[component]
pub fn Calm(props: &CalmProps) -> Html {
    let said = use_state_eq(|| AttrValue::from(""));
    let set = said.setter();
    use_effect_with(props.text.clone(), move |text| {
        let text = text.clone();
        let later = Timeout::new(REST, move || set.set(text));
        // Words that come before the time is over take its place.
        move || drop(later)
    });
    html! { <p class="unseen" role="status">{ (*said).clone() }</p> }
}
