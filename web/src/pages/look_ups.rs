//! Checks by themselves, without any build: a list to search, and the one that lies open.

use crate::components::card_list::CardList;
use crate::components::card_view::card_view;
use crate::components::page_head::page_title;
use crate::hooks::Desk;
use fitment::checks;
use yew::prelude::*;

/// The page.
pub fn page(desk: &Desk) -> Html {
    let open = desk.state().cards.open.and_then(checks::card);
    html! {
        <>
            if open.is_none() { { page_title("Look-ups") } }
            <div class={classes!("look-ups", open.is_some().then_some("one-open"))}>
                <CardList open={open.map(|card| card.slug)} />
                if let Some(card) = open { { card_view(card, desk) } }
            </div>
        </>
    }
}
