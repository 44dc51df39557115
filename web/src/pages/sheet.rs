//! The build sheet.
use yew::prelude::*;
/// The page.
#[component]
pub fn SheetPage() -> Html {
    html! { <h1>{ "Build sheet" }</h1> }
}
