//! A page's title, and which axle it is about.

use super::end_switch::end_switch;
use crate::hooks::Desk;
use yew::prelude::*;

/// The title takes the keyboard's focus when its page comes up, so that it is read out.
pub fn page_head(title: &'static str, desk: &Desk) -> Html {
    html! {
        <div class="page-head">
            { page_title(title) }
            { end_switch(desk) }
        </div>
    }
}

/// The title alone.
pub fn page_title(title: &'static str) -> Html {
    html! { <h1 id="page-title" tabindex="-1">{ title }</h1> }
}
