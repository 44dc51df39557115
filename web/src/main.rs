//! Mounts the app on the page.

use yew::prelude::*;

#[function_component]
fn App() -> Html {
    html! { <main><h1>{ "Tapewright" }</h1></main> }
}

fn main() {
    yew::Renderer::<App>::new().render();
}
