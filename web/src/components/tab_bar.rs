//! The pages, in reach of a thumb.

use super::icon::{Icon, icon};
use crate::state::Page;
use yew::prelude::*;

const fn icon_of(page: Page) -> Icon {
    match page {
        Page::Truck => Icon::Truck,
        Page::Measure => Icon::Measure,
        Page::Lift => Icon::Lift,
        Page::Fit => Icon::Fit,
        Page::Corrections => Icon::Fixes,
        Page::LookUps => Icon::LookUps,
        Page::Sheet => Icon::Sheet,
    }
}

/// Links, so that back, middle click and the keyboard work as everywhere.
pub fn tab_bar(in_view: Page) -> Html {
    html! {
        <nav class="tabs" aria-label="Pages">
            { for Page::ALL.into_iter().map(|page| {
                let here = page == in_view;
                html! {
                    <a key={page.slug()} href={format!("#{}", page.slug())} aria-current={here.then_some("page")}>
                        { icon(icon_of(page)) }<span>{ page.title() }</span>
                    </a>
                }
            }) }
        </nav>
    }
}
