//! Checks by themselves, without any build.

use crate::components::look_ups::LookUps;
use yew::prelude::*;

/// The page.
pub fn page() -> Html {
    html! { <LookUps /> }
}
