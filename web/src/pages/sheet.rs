//! The build sheet: everything about one build on one page, to print and take to the truck.
use yew::prelude::*;
/// The page.
#[component]
pub fn SheetPage() -> Html {
    html! { <h1>{ "Build sheet" }</h1> }
}
