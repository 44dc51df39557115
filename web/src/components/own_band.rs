//! A limit of the person's own on one answer.

use super::number_field::text_of;
use crate::hooks::use_desk;
use crate::state::edit::{self, Refusal};
use crate::state::{Action, Change};
use crate::words;
use fitment::axle::Output;
use fitment::measure::Known;
use fitment::truck::End;
use yew::prelude::*;

/// Which answer.
#[derive(Properties, PartialEq)]
pub struct OwnBandProps {
    /// The axle.
    pub end: End,
    /// The answer.
    pub output: Output,
}

/// Two small fields and a button.
#[component]
pub fn OwnBand(props: &OwnBandProps) -> Html {
    let desk = use_desk();
    let units = desk.state().preferences.units;
    let quantity = words::of_output(props.output);
    let (end, output) = (props.end, props.output);
    let bands = desk.state().entry().build.band_changes();
    let own = bands.into_iter().find(|band| band.end == end && band.output == output);
    let text = |value: Option<f64>| {
        value.map_or_else(String::new, |v| words::field_text(&Known::exact(v), quantity, units))
    };
    let low = use_state(|| text(own.and_then(|band| band.low)));
    let high = use_state(|| text(own.and_then(|band| band.high)));
    let wrong = use_state(|| None::<String>);
    let field = |name: &'static str, label: &'static str, held: &UseStateHandle<String>| {
        let id = format!("{name}-{}", output.key());
        let set = held.clone();
        let oninput = Callback::from(move |event: InputEvent| {
            if let Some(text) = text_of(&event) {
                set.set(text);
            }
        });
        html! {
            <div class="field">
                <label for={id.clone()}>{ label }</label>
                <div class="field-box">
                    <input {id} type="text" autocomplete="off" value={(**held).clone()} placeholder="open" {oninput} />
                    <span class="field-unit" aria-hidden="true">{ words::unit(quantity, units) }</span>
                </div>
            </div>
        }
    };
    let set = {
        let (desk, low, high, wrong) = (desk.clone(), low.clone(), high.clone(), wrong.clone());
        Callback::from(move |_: MouseEvent| {
            let read = |text: &str| match edit::read(text, quantity, units) {
                Ok((value, _)) => Ok(Some(value)),
                Err(Refusal::Empty) => Ok(None),
                Err(why) => Err(why.message()),
            };
            match (read(&low), read(&high)) {
                (Ok(low), Ok(high)) => {
                    wrong.set(None);
                    desk.act(Action::Change(Change::Band(end, output, low, high)));
                }
                (Err(why), _) | (_, Err(why)) => wrong.set(Some(why)),
            }
        })
    };
    let usual = desk.on(move |_: MouseEvent| Action::Change(Change::Band(end, output, None, None)));
    html! {
        <details class="own-band">
            <summary>{ if own.is_some() { "Your own limit" } else { "Set a limit of your own" } }</summary>
            <div class="pair">{ field("low", "Lowest", &low) }{ field("high", "Highest", &high) }</div>
            if let Some(why) = &*wrong { <p class="complaint" role="status">{ why.clone() }</p> }
            <div class="row-buttons">
                <button type="button" onclick={set}>{ "Use it" }</button>
                if own.is_some() { <button type="button" onclick={usual}>{ "The usual one" }</button> }
            </div>
        </details>
    }
}
