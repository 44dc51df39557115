//! Whether the tire fits: placeholder until the map lands.
use yew::prelude::*;
/// The page.
#[component]
pub fn FitPage() -> Html {
    html! { <h1>{ "Does the tire fit" }</h1> }
}
