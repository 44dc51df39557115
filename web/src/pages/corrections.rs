//! What fixes it.
use yew::prelude::*;
/// The page.
#[component]
pub fn CorrectionsPage() -> Html {
    html! { <h1>{ "What fixes it" }</h1> }
}
