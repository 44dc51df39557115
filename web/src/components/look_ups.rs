//! The look-ups: a list to search, and the card that lies open, with what it asks and its tools.

use super::card_answers::answers;
use super::card_drawing::card_drawing;
use super::card_field::{Typing, card_field};
use super::el::{el, maybe, say, text, with};
use super::number_field::text_of;
use super::phone_gauge::PhoneGauge;
use crate::hooks::{Desk, use_desk};
use crate::infra::{address, clipboard};
use crate::state::edit::system;
use crate::state::{Action, CardAct, Page};
use checks::{Card, Entry, Kind};
use fitment::truck::{End, State};
use yew::prelude::*;

/// The whole page; it keeps what is sought and what is being typed.
#[component]
pub fn LookUps() -> Html {
    let desk = use_desk();
    let sought = use_state(String::new);
    let typing: Typing = use_state(|| None);
    let said = use_state(String::new);
    let open = desk.state().cards.open.and_then(checks::card);
    let list = list(&desk, &sought, open);
    match open {
        None => el("div", "look-ups", vec![title("Look-ups"), list]),
        Some(card) => {
            el("div", "look-ups one-open", vec![list, opened(card, &desk, &typing, &said)])
        }
    }
}

fn title(words: &str) -> Html {
    with("h1", &[("id", "page-title"), ("tabindex", "-1")], vec![text(words)])
}

/// A search field and a link for each card, so that back, middle click and the keyboard work.
fn list(desk: &Desk, sought: &UseStateHandle<String>, open: Option<&Card>) -> Html {
    let oninput = {
        let sought = sought.clone();
        Callback::from(move |event: InputEvent| sought.set(text_of(&event).unwrap_or_default()))
    };
    let found = checks::find(sought);
    let told = match found.len() {
        _ if sought.trim().is_empty() => String::new(),
        0 => "Nothing by these words. Try fewer, or the name of the part.".to_owned(),
        1 => "1 look-up".to_owned(),
        many => format!("{many} look-ups"),
    };
    let link = |card: &'static Card| {
        let here = open.is_some_and(|open| open.slug == card.slug);
        let mut words = vec![say("b", "", card.title)];
        if !desk.state().cards.memory(card.slug).now.is_empty() {
            words.push(say("span", "kept", "your figures"));
        }
        words.push(say("small", "", card.about));
        let href = format!("#{}/{}", Page::LookUps.slug(), card.slug);
        let here = if here { "true" } else { "" };
        el("li", "", vec![with("a", &[("href", &href), ("aria-current", here)], words)])
    };
    let search = html! {
        <input id="card-search" type="search" autocomplete="off" spellcheck="false" placeholder="speedo, u-joint, psi, lug nut"
            value={(**sought).clone()} aria-describedby="card-found" {oninput} />
    };
    let label = with("label", &[("for", "card-search")], vec![text("Find a look-up")]);
    with(
        "nav",
        &[("class", "card-list"), ("aria-label", "Look-ups")],
        vec![
            el("div", "field", vec![label, search]),
            with(
                "p",
                &[("id", "card-found"), ("class", "help"), ("role", "status")],
                vec![text(&told)],
            ),
            el("ul", "", found.into_iter().map(link).collect()),
        ],
    )
}

/// A card.
fn opened(
    card: &'static Card,
    desk: &Desk,
    typing: &Typing,
    said: &UseStateHandle<String>,
) -> Html {
    let state = desk.state();
    let system = system(state.preferences.units);
    let memory = state.cards.memory(card.slug);
    let shown = memory.shown(card);
    let wrong = shown.answered.as_ref().err();
    // Of the tires that may be left out, one more than are there.
    let mut empty = 0;
    let fields = card.fields.iter().zip(&shown.entries).map(|(field, entry)| {
        if field.kind == Kind::Tire("") && *entry == Entry::Tire(String::new()) {
            empty += 1;
            if empty > 1 {
                return maybe(None);
            }
        }
        let complaint = wrong.filter(|error| error.field() == Some(field.key));
        let complaint = complaint.map(ToString::to_string);
        card_field(card, field, entry, memory.words(field.key), complaint, system, desk, typing)
    });
    let asks = vec![
        heading("asks-title", "What you know"),
        el("div", "card-fields", fields.collect()),
        say(
            "p",
            "help",
            "Any unit will do: 3 1/2 in, 89 mm, 45 psi. Write how far it may be off behind it: 130 ± 3.",
        ),
        maybe((card.slug == "driveline").then(|| html! { <PhoneGauge kind={None} /> })),
        tools(card, desk, said),
        with("p", &[("class", "said"), ("role", "status")], vec![text(said)]),
    ];
    let mut told = vec![heading("answers-title", "What comes of it")];
    match &shown.answered {
        Ok((answered, drawing)) => {
            told.push(maybe(drawing.as_ref().map(|drawing| card_drawing(drawing, system))));
            told.push(answers(card, answered, system));
        }
        Err(error) => {
            let words = format!("No answer yet. {error}.");
            told.push(maybe(None));
            told.push(with("p", &[("class", "no-answer"), ("role", "status")], vec![text(&words)]));
        }
    }
    told.push(card_cautions(card));
    let section = |title, children| with("section", &[("aria-labelledby", title)], children);
    let back = format!("#{}", Page::LookUps.slug());
    with(
        "article",
        &[("class", "look-up"), ("aria-labelledby", "page-title")],
        vec![
            with("a", &[("class", "button"), ("href", &back)], vec![text("All look-ups")]),
            title(card.title),
            say("p", "", card.about),
            el(
                "div",
                "look-up-two",
                vec![section("asks-title", asks), section("answers-title", told)],
            ),
        ],
    )
}

fn heading(id: &str, words: &str) -> Html {
    with("h2", &[("id", id)], vec![text(words)])
}

/// What must be said wherever a card's answers are shown.
fn card_cautions(card: &Card) -> Html {
    let words = card.cautions.iter().map(|words| say("li", "", words));
    with(
        "aside",
        &[("class", "cautions"), ("aria-labelledby", "cautions-title")],
        vec![heading("cautions-title", "Before you trust this"), el("ul", "", words.collect())],
    )
}

/// What is done with the whole card.
fn tools(card: &'static Card, desk: &Desk, said: &UseStateHandle<String>) -> Html {
    let state = desk.state();
    let memory = state.cards.memory(card.slug);
    let copy = {
        let (memory, said) = (memory.clone(), said.clone());
        Callback::from(move |_: MouseEvent| {
            let url = format!("{}#{}", address::base(), memory.link(card));
            let said = said.clone();
            wasm_bindgen_futures::spawn_local(async move {
                let done = clipboard::copy(&url).await;
                said.set(if done { "Link copied.".into() } else { url });
            });
        })
    };
    let act = |act: CardAct| desk.on(move |_: MouseEvent| Action::Card(act.clone()));
    let button = |words: &'static str, disabled: bool, onclick: Callback<MouseEvent>| {
        html! { <button type="button" {disabled} {onclick}>{ words }</button> }
    };
    let mut row = vec![button("Copy link", false, copy)];
    let told = card.from_truck(&state.entry().build.truck, state.end, state.drawn);
    let tells = !told.is_empty();
    let fill = || button("From this truck", false, act(CardAct::Fill(card.slug, told.clone())));
    row.push(maybe(tells.then(fill)));
    row.push(button("Start over", memory.now.is_empty(), act(CardAct::Clear(card.slug))));
    let back = || button("Put back what was there", false, act(CardAct::Back(card.slug)));
    row.push(maybe(memory.before.is_some().then(back)));
    let row = el("div", "row-buttons", row);
    if !tells {
        return el("div", "", vec![row, maybe(None)]);
    }
    let axle = if state.end == End::Front { "front" } else { "rear" };
    let stance = match state.drawn {
        State::Stock => "stock",
        State::Sitting => "as it sits",
        State::Planned => "as planned",
    };
    let whose = format!("This truck: {}, {axle} axle, {stance}.", state.entry().build.name);
    el("div", "", vec![row, say("p", "help", &whose)])
}
