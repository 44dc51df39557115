//! A page's title, and which axle it is about.

use super::end_switch::EndSwitch;
use yew::prelude::*;

/// The title.
#[derive(Properties, PartialEq)]
pub struct PageHeadProps {
    /// The page's title.
    pub title: AttrValue,
}

/// The title takes the keyboard's focus when its page comes up, so that it is read out.
#[component]
pub fn PageHead(props: &PageHeadProps) -> Html {
    html! {
        <div class="page-head">
            <h1 id="page-title" tabindex="-1">{ props.title.clone() }</h1>
            <EndSwitch />
        </div>
    }
}
