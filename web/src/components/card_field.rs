//! One thing a look-up asks: a number, one of a few, or a tire's size.

use super::el::{el, maybe, say, text, with};
use super::number_field::text_of;
use super::origin::origin_mark;
use crate::drawing::Mark;
use crate::hooks::Desk;
use crate::state::cards::Put;
use crate::state::{Action, CardAct};
use checks::{Card, Entry, Field, Kind, Quantity};
use fitment::measure::System;
use wasm_bindgen::JsCast;
use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

/// The field being typed in, and its text as typed.
pub type Typing = UseStateHandle<Option<(&'static str, String)>>;

/// The field of a card, what it is worked with, what was put in and what is wrong with that.
#[expect(
    clippy::too_many_arguments,
    reason = "all that a field shows; a component would weigh more"
)]
pub fn card_field(
    card: &'static Card,
    field: &'static Field,
    entry: &Entry,
    held: Option<&Put>,
    complaint: Option<String>,
    system: System,
    desk: &Desk,
    typing: &Typing,
) -> Html {
    let (slug, key) = (card.slug, field.key);
    let put = {
        let desk = desk.clone();
        move |words: String| {
            let put = Put { field: key, words, truck: None };
            desk.act(Action::Card(CardAct::Put(slug, put)));
        }
    };
    let id = format!("c-{key}");
    let help_id = format!("{id}-help");
    let error_id = format!("{id}-error");
    let described = match complaint {
        Some(_) => format!("{error_id} {help_id}"),
        None => help_id.clone(),
    };
    let input = if let Kind::Choice(options) = &field.kind {
        let onchange = Callback::from(move |event: Event| {
            let select = event.target().and_then(|it| it.dyn_into::<HtmlSelectElement>().ok());
            if let Some(select) = select {
                put(select.value());
            }
        });
        html! {
            <select id={id.clone()} aria-describedby={described} {onchange}>
                { for options.iter().enumerate().map(|(at, (value, words))| html! {
                    <option value={*value} selected={*entry == Entry::Choice(at)}>{ *words }</option>
                }) }
            </select>
        }
    } else {
        let oninput = {
            let typing = typing.clone();
            Callback::from(move |event: InputEvent| {
                if let Some(text) = text_of(&event) {
                    // First what is seen: the field is drawn anew with what is put in.
                    typing.set(Some((key, text.clone())));
                    put(field.with_unit(&text, system));
                }
            })
        };
        let onblur = {
            let typing = typing.clone();
            Callback::from(move |_: FocusEvent| typing.set(None))
        };
        let typed = typing.as_ref().filter(|(typed, _)| *typed == key);
        let text =
            typed.map_or_else(|| stored(field, entry, held, system), |(_, text)| text.clone());
        let shown_unit = unit(field, &text, system).map(|unit| say("span", "field-unit", unit));
        html! {
            <div class="field-box">
                <input id={id.clone()} type="text" inputmode={keyboard(field, system)} autocomplete="off" spellcheck="false"
                    value={text} aria-describedby={described} aria-invalid={complaint.is_some().to_string()} enterkeyhint="next"
                    {oninput} {onblur} onfocus={Callback::from(select_all)} />
                { maybe(shown_unit) }
            </div>
        }
    };
    let label = with("label", &[("for", &id)], vec![text(field.label)]);
    let class = if complaint.is_some() { "field card-field wrong" } else { "field card-field" };
    let complaint = complaint.map(|why| {
        let attributes = [("id", &*error_id), ("class", "complaint"), ("role", "status")];
        with("p", &attributes, vec![text(&why)])
    });
    el(
        "div",
        class,
        vec![
            el("div", "", vec![label, maybe(mark(entry, held))]),
            input,
            with("p", &[("id", &help_id), ("class", "help")], vec![text(field.help)]),
            maybe(complaint),
        ],
    )
}

#[expect(clippy::needless_pass_by_value, reason = "as a callback takes it")]
/// A number is mostly typed anew, not mended.
fn select_all(event: FocusEvent) {
    if let Some(input) = event.target().and_then(|it| it.dyn_into::<HtmlInputElement>().ok()) {
        input.select();
    }
}

/// What stands in the field while nobody types.
fn stored(field: &Field, entry: &Entry, held: Option<&Put>, system: System) -> String {
    match (held, entry) {
        (Some(put), _) => field.shown(&put.words, system),
        (None, Entry::Number(known)) => field.written(known, system),
        (None, Entry::Tire(size)) => size.clone(),
        (None, Entry::Choice(_)) => String::new(),
    }
}

/// Where a number is from, when nobody typed it.
fn mark(entry: &Entry, held: Option<&Put>) -> Option<Html> {
    let Entry::Number(known) = entry else { return None };
    let (origin, from) = match held {
        Some(put) => (put.truck.as_ref()?, "on this truck"),
        None if known.sigma > 0.0 => (&known.origin, ""),
        None => return None,
    };
    Some(el("span", "card-mark", vec![origin_mark(Mark::of(origin)), text(from)]))
}

/// The unit beside the field, where its words have none of their own.
fn unit(field: &Field, text: &str, system: System) -> Option<&'static str> {
    let Kind::Number { quantity, .. } = &field.kind else { return None };
    let unit = match (quantity, system) {
        (Quantity::Length, System::Inch) => "in",
        (quantity, system) => quantity.unit(system).1,
    };
    (!unit.is_empty() && field.with_unit(text, system) != text).then_some(unit)
}

/// Which keyboard a phone should bring: fractions and signs are not on the number pad.
fn keyboard(field: &Field, system: System) -> &'static str {
    match &field.kind {
        Kind::Number { quantity, range: [least, _], .. }
            if *least >= 0.0 && (*quantity, system) != (Quantity::Length, System::Inch) =>
        {
            "decimal"
        }
        _ => "text",
    }
}
