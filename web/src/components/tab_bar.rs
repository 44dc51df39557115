//! The five pages, in reach of a thumb.

use super::icon::{Icon, icon};
use crate::state::Page;
use yew::prelude::*;

/// Which page is in view.
#[derive(Properties, PartialEq)]
pub struct TabBarProps {
    /// The page in view.
    pub page: Page,
}

const fn icon_of(page: Page) -> Icon {
    match page {
        Page::Truck => Icon::Truck,
        Page::Lift => Icon::Lift,
        Page::Fit => Icon::Fit,
        Page::Corrections => Icon::Fixes,
        Page::Sheet => Icon::Sheet,
    }
}

/// Links, so that back, middle click and the keyboard work as everywhere.
#[component]
pub fn TabBar(props: &TabBarProps) -> Html {
    html! {
        <nav class="tabs" aria-label="Pages">
            { for Page::ALL.into_iter().map(|page| {
                let here = page == props.page;
                html! {
                    <a key={page.slug()} href={format!("#{}", page.slug())} aria-current={here.then_some("page")}>
                        { icon(icon_of(page)) }<span>{ page.title() }</span>
                    </a>
                }
            }) }
        </nav>
    }
}
