//! One thing a look-up asks: a number, one of a few, or a tire's size.

use super::number_field::text_of;
use super::origin::origin_mark;
use crate::drawing::Mark;
use crate::hooks::use_desk;
use crate::state::cards::Put;
use crate::state::edit::system;
use crate::state::{Action, CardAct};
use fitment::checks::{self, Entry, Field, Kind, Quantity};
use fitment::measure::System;
use wasm_bindgen::JsCast;
use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

/// Which one, and what is in it.
#[derive(Properties, PartialEq)]
pub struct CardFieldProps {
    /// The card.
    pub card: &'static str,
    /// The field's place on it.
    pub at: usize,
    /// What it is worked with.
    pub entry: Entry,
    /// What was put in.
    pub put: Option<Put>,
    /// What is wrong with it.
    pub complaint: Option<String>,
}

/// The field.
#[component]
pub fn CardField(props: &CardFieldProps) -> Html {
    let desk = use_desk();
    let typing = use_state(|| None::<String>);
    let system = system(desk.state().preferences.units);
    let Some(field) = checks::card(props.card).and_then(|card| card.fields.get(props.at)) else {
        return html! {};
    };
    let (slug, key) = (props.card, field.key);
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
    let described = match props.complaint {
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
                    <option value={*value} selected={props.entry == Entry::Choice(at)}>{ *words }</option>
                }) }
            </select>
        }
    } else {
        let oninput = {
            let typing = typing.clone();
            Callback::from(move |event: InputEvent| {
                if let Some(text) = text_of(&event) {
                    put(field.with_unit(&text, system));
                    typing.set(Some(text));
                }
            })
        };
        let onblur = {
            let typing = typing.clone();
            Callback::from(move |_: FocusEvent| typing.set(None))
        };
        let text = (*typing).clone().unwrap_or_else(|| stored(field, props, system));
        let shown_unit = unit(field, &text, system);
        html! {
            <div class="field-box">
                <input id={id.clone()} type="text" inputmode={keyboard(field, system)} autocomplete="off" autocapitalize="characters" spellcheck="false"
                    value={text} aria-describedby={described} aria-invalid={props.complaint.is_some().to_string()} enterkeyhint="next"
                    {oninput} {onblur} onfocus={Callback::from(select_all)} />
                if let Some(unit) = shown_unit { <span class="field-unit" aria-hidden="true">{ unit }</span> }
            </div>
        }
    };
    html! {
        <div class={classes!("field", "card-field", props.complaint.is_some().then_some("wrong"))}>
            <label for={id}>{ field.label }</label>
            { input }
            <p id={help_id} class="help">{ mark(props) }{ field.help }</p>
            if let Some(why) = &props.complaint { <p class="complaint" id={error_id} role="status">{ why.clone() }</p> }
        </div>
    }
}

/// A number is mostly typed anew, not mended.
fn select_all(event: FocusEvent) {
    if let Some(input) = event.target().and_then(|it| it.dyn_into::<HtmlInputElement>().ok()) {
        input.select();
    }
}

/// What stands in the field while nobody types.
fn stored(field: &Field, props: &CardFieldProps, system: System) -> String {
    match (&props.put, &props.entry) {
        (Some(put), _) => field.shown(&put.words, system),
        (None, Entry::Number(known)) => field.written(known, system),
        (None, Entry::Tire(size)) => size.clone(),
        (None, Entry::Choice(_)) => String::new(),
    }
}

/// Where a number is from, when nobody typed it.
fn mark(props: &CardFieldProps) -> Html {
    let Entry::Number(known) = &props.entry else { return html! {} };
    match &props.put {
        Some(Put { truck: Some(origin), .. }) => {
            html! { <><b>{ "From this truck, " }</b>{ origin_mark(Mark::of(origin)) }{ ". " }</> }
        }
        None if known.sigma > 0.0 => {
            html! { <>{ origin_mark(Mark::of(&known.origin)) }{ ". " }</> }
        }
        _ => html! {},
    }
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
