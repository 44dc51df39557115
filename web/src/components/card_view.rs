//! One look-up: what it asks, what comes of it, its cautions; the same for every card.

use super::card_answers::answers;
use super::card_drawing::card_drawing;
use super::card_field::CardField;
use super::page_head::page_title;
use crate::hooks::{Desk, use_desk};
use crate::infra::{address, clipboard};
use crate::state::edit::system;
use crate::state::{Action, CardAct, Page};
use fitment::checks::{self, Card};
use yew::prelude::*;

/// The card.
pub fn card_view(card: &'static Card, desk: &Desk) -> Html {
    let state = desk.state();
    let memory = state.cards.memory(card.slug);
    let shown = memory.shown(card);
    let wrong = shown.answered.as_ref().err();
    html! {
        <article class="look-up" aria-labelledby="page-title" key={card.slug}>
            <a class="button quiet" href={format!("#{}", Page::LookUps.slug())}>{ "All look-ups" }</a>
            { page_title(card.title) }
            <p>{ card.about }</p>
            <div class="look-up-two">
                <section aria-labelledby="asks-title">
                    <h2 id="asks-title">{ "What you know" }</h2>
                    <div class="card-fields">
                        { for card.fields.iter().zip(&shown.entries).enumerate().map(|(at, (field, entry))| {
                            let complaint = wrong.filter(|error| error.field() == Some(field.key)).map(ToString::to_string);
                            html! { <CardField key={field.key} card={card.slug} {at} entry={entry.clone()} put={memory.words(field.key).cloned()} {complaint} /> }
                        }) }
                    </div>
                    <p class="help">{ "Any unit will do: 3 1/2 in, 89 mm, 45 psi. Write how far it may be off behind it: 130 ± 3." }</p>
                    <CardTools card={card.slug} />
                </section>
                <section aria-labelledby="answers-title">
                    <h2 id="answers-title">{ "What comes of it" }</h2>
                    { match &shown.answered {
                        Ok((answered, drawing)) => html! {
                            <>
                                if let Some(drawing) = drawing { { card_drawing(drawing, system(state.preferences.units)) } }
                                { answers(card, answered, system(state.preferences.units)) }
                            </>
                        },
                        Err(error) => html! { <p class="no-answer" role="status">{ format!("No answer yet. {error}.") }</p> },
                    } }
                    <aside class="cautions" aria-labelledby="cautions-title">
                        <h2 id="cautions-title">{ "Before you trust this" }</h2>
                        <ul>{ for card.cautions.iter().map(|words| html! { <li>{ *words }</li> }) }</ul>
                    </aside>
                </section>
            </div>
        </article>
    }
}

/// Which card.
#[derive(Properties, PartialEq)]
struct CardToolsProps {
    card: &'static str,
}

/// What is done with the whole card.
#[component]
fn CardTools(props: &CardToolsProps) -> Html {
    let desk = use_desk();
    let said = use_state(String::new);
    let slug = props.card;
    let memory = desk.state().cards.memory(slug);
    let copy = {
        let (memory, said) = (memory.clone(), said.clone());
        Callback::from(move |_: MouseEvent| {
            let Some(card) = checks::card(slug) else { return };
            let url = format!("{}#{}", address::base(), memory.link(card));
            let said = said.clone();
            wasm_bindgen_futures::spawn_local(async move {
                let done = clipboard::copy(&url).await;
                said.set(if done { "Link copied.".into() } else { url });
            });
        })
    };
    let act = |act: CardAct| desk.on(move |_: MouseEvent| Action::Card(act.clone()));
    html! {
        <>
            <div class="row-buttons">
                <button type="button" onclick={copy}>{ "Copy link" }</button>
                <button type="button" disabled={memory.now.is_empty()} onclick={act(CardAct::Clear(slug))}>{ "Start over" }</button>
                if memory.before.is_some() {
                    <button type="button" onclick={act(CardAct::Back(slug))}>{ "Put back what was there" }</button>
                }
            </div>
            <p class="said" role="status">{ (*said).clone() }</p>
        </>
    }
}
