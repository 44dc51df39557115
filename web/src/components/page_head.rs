//! A page's title, and which axle it is about.

use super::end_switch::end_switch;
use crate::hooks::Desk;
use yew::prelude::*;

/// The title takes the keyboard's focus when its page comes up, so that it is read out.
pub fn page_head(title: &'static str, desk: &Desk) -> Html {
    html! {
        <div class="page-head">
            <h1 id="page-title" tabindex="-1">{ title }</h1>
            { end_switch(desk) }
        </div>
    }
}
