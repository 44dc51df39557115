//! Where a number came from and how far it may be off.

use super::number_field::{complaint, text_of};
use crate::hooks::use_desk;
use crate::state::Action;
use crate::state::edit::{self, Quantity};
use crate::words;
use buildfile::Units;
use fitment::measure::{Instrument, Known, Origin};
use wasm_bindgen::JsCast;
use web_sys::HtmlSelectElement;
use yew::prelude::*;

/// The number.
#[derive(Properties, PartialEq)]
pub struct NumberDetailsProps {
    /// Its field.
    pub path: String,
    /// What it holds.
    pub known: Known,
    /// A prefix for element names.
    pub at: String,
}

/// The ways a number can have come, in the order of the list.
const ORIGINS: [(&str, Origin); 7] = [
    ("Tape", Origin::Measured(Instrument::Tape)),
    ("Angle gauge", Origin::Measured(Instrument::AngleGauge)),
    ("Phone as a level", Origin::Measured(Instrument::PhoneLevel)),
    ("Plumb line", Origin::Measured(Instrument::PlumbLine)),
    ("Caliper", Origin::Measured(Instrument::Caliper)),
    ("Printed or stamped on it", Origin::Published),
    ("Nobody measured it", Origin::Assumed),
];

/// Two small fields side by side.
#[component]
pub fn NumberDetails(props: &NumberDetailsProps) -> Html {
    let desk = use_desk();
    let quantity = edit::quantity(&props.path);
    let key = format!("{}#sigma", props.path);
    let draft = desk.state().entry().drafts.get(&key).cloned();
    let typing = use_state(|| None::<String>);
    let text = draft.as_ref().map(|draft| draft.text.clone()).or_else(|| (*typing).clone());
    let text = text.unwrap_or_else(|| {
        words::field_text(&Known::exact(props.known.sigma), quantity, Units::Metric)
    });
    let onchange = {
        let (desk, path) = (desk.clone(), props.path.clone());
        Callback::from(move |event: Event| {
            let select =
                event.target().and_then(|target| target.dyn_into::<HtmlSelectElement>().ok());
            let picked = select.and_then(|select| select.value().parse::<usize>().ok());
            if let Some((_, origin)) = picked.and_then(|index| ORIGINS.get(index)) {
                desk.act(Action::Origin { path: path.clone(), origin: origin.clone() });
            }
        })
    };
    let oninput = {
        let (desk, path, typing) = (desk.clone(), props.path.clone(), typing.clone());
        Callback::from(move |event: InputEvent| {
            if let Some(text) = text_of(&event) {
                typing.set(Some(text.clone()));
                // This small field is in mm whatever the habit; inches need their mark.
                let bare = quantity == Quantity::Length
                    && !words::has_unit(&text)
                    && !text.trim().is_empty();
                let text = if bare { format!("{text} mm") } else { text };
                desk.act(Action::Sigma { path: path.clone(), text });
            }
        })
    };
    let onblur = {
        let (desk, typing) = (desk.clone(), typing.clone());
        Callback::from(move |_: FocusEvent| {
            typing.set(None);
            desk.act(Action::Leave);
        })
    };
    let from_id = format!("{}-from", props.at);
    let sigma_id = format!("{}-sigma", props.at);
    let error_id = format!("{}-sigma-error", props.at);
    html! {
        <div class="pair">
            <div class="field">
                <label for={from_id.clone()}>{ "Read with" }</label>
                <select id={from_id} {onchange}>
                    { for ORIGINS.iter().enumerate().map(|(index, (words, origin))| html! {
                        <option value={index.to_string()} selected={*origin == props.known.origin}>{ *words }</option>
                    }) }
                </select>
            </div>
            <div class={classes!("field", draft.is_some().then_some("wrong"))}>
                <label for={sigma_id.clone()}>{ "Give or take" }</label>
                <div class="field-box">
                    <input id={sigma_id} type="text" inputmode="decimal" autocomplete="off" value={text} {oninput} {onblur} />
                    <span class="field-unit" aria-hidden="true">{ words::unit(quantity, Units::Metric) }</span>
                </div>
                if let Some(draft) = &draft { { complaint(draft, &error_id) } }
            </div>
        </div>
    }
}
