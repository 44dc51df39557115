//! The look-ups as a list, found by words of the trade.

use super::number_field::text_of;
use crate::hooks::use_desk;
use crate::state::Page;
use fitment::checks;
use yew::prelude::*;

/// Which one lies open.
#[derive(Properties, PartialEq)]
pub struct CardListProps {
    /// Its name.
    pub open: Option<&'static str>,
}

/// A search field and a link for each card, so that back, middle click and the keyboard work.
#[component]
pub fn CardList(props: &CardListProps) -> Html {
    let desk = use_desk();
    let sought = use_state(String::new);
    let oninput = {
        let sought = sought.clone();
        Callback::from(move |event: InputEvent| sought.set(text_of(&event).unwrap_or_default()))
    };
    let found = checks::find(&sought);
    let said = match found.len() {
        _ if sought.trim().is_empty() => String::new(),
        0 => "Nothing by these words. Try fewer, or the name of the part.".into(),
        1 => "1 look-up".into(),
        many => format!("{many} look-ups"),
    };
    html! {
        <nav class="card-list" aria-label="Look-ups">
            <div class="field">
                <label for="card-search">{ "Find a look-up" }</label>
                <input id="card-search" type="search" inputmode="search" autocomplete="off" spellcheck="false"
                    placeholder="speedo, u-joint, psi, lug nut" value={(*sought).clone()} aria-describedby="card-found" {oninput} />
            </div>
            <p id="card-found" class="help" role="status">{ said }</p>
            <ul>
                { for found.into_iter().map(|card| {
                    let here = props.open == Some(card.slug);
                    let kept = !desk.state().cards.memory(card.slug).now.is_empty();
                    html! {
                        <li key={card.slug}>
                            <a href={format!("#{}/{}", Page::LookUps.slug(), card.slug)} aria-current={here.then_some("true")}>
                                <b>{ card.title }</b>
                                if kept { <span class="kept">{ "your figures" }</span> }
                                <small>{ card.about }</small>
                            </a>
                        </li>
                    }
                }) }
            </ul>
        </nav>
    }
}
