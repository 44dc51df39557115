//! A few small fields for plain numbers that are taken together when a button says so.

use super::number_field::text_of;
use crate::hooks::use_desk;
use crate::state::edit::{self, Quantity, Refusal};
use crate::words;
use fitment::measure::Known;
use yew::prelude::*;

/// One of the numbers.
#[derive(Clone, PartialEq)]
pub struct Plain {
    /// Its name.
    pub label: &'static str,
    /// As it is now.
    pub value: Option<f64>,
    /// Of what kind.
    pub quantity: Quantity,
    /// What an empty field means.
    pub empty: &'static str,
}

/// The fields.
#[derive(Properties, PartialEq)]
pub struct PlainNumbersProps {
    /// A prefix for element names.
    pub id: AttrValue,
    /// The numbers.
    pub numbers: Vec<Plain>,
    /// What is on the button.
    pub button: &'static str,
    /// Called with what was typed; an empty field is none.
    pub take: Callback<Vec<Option<f64>>>,
    /// More buttons beside it.
    #[prop_or_default]
    pub children: Html,
}

/// Small fields and a button.
#[component]
pub fn PlainNumbers(props: &PlainNumbersProps) -> Html {
    let units = use_desk().state().preferences.units;
    let text = |plain: &Plain| {
        plain.value.map_or_else(String::new, |value| {
            words::field_text(&Known::exact(value), plain.quantity, units)
        })
    };
    let typed = use_state(|| props.numbers.iter().map(text).collect::<Vec<_>>());
    let wrong = use_state(|| None::<String>);
    let field = |(index, plain): (usize, &Plain)| {
        let id = format!("{}-{index}", props.id);
        let held = typed.clone();
        let oninput = Callback::from(move |event: InputEvent| {
            let mut now = (*held).clone();
            if let (Some(text), Some(there)) = (text_of(&event), now.get_mut(index)) {
                *there = text;
                held.set(now);
            }
        });
        let value = typed.get(index).cloned().unwrap_or_default();
        html! {
            <div class="field">
                <label for={id.clone()}>{ plain.label }</label>
                <div class="field-box">
                    <input {id} type="text" autocomplete="off" {value} placeholder={plain.empty} {oninput} />
                    <span class="field-unit" aria-hidden="true">{ words::unit(plain.quantity, units) }</span>
                </div>
            </div>
        }
    };
    let onclick = {
        let (typed, wrong) = (typed.clone(), wrong.clone());
        let (take, numbers) = (props.take.clone(), props.numbers.clone());
        Callback::from(move |_: MouseEvent| {
            let read =
                |(text, plain): (&String, &Plain)| match edit::read(text, plain.quantity, units) {
                    Ok((value, _)) => Ok(Some(value)),
                    Err(Refusal::Empty) => Ok(None),
                    Err(why) => Err(why.message()),
                };
            match typed.iter().zip(&numbers).map(read).collect::<Result<Vec<_>, _>>() {
                Ok(values) => {
                    wrong.set(None);
                    take.emit(values);
                }
                Err(why) => wrong.set(Some(why)),
            }
        })
    };
    html! {
        <>
            <div class="pair">{ for props.numbers.iter().enumerate().map(field) }</div>
            if let Some(why) = &*wrong { <p class="complaint" role="status">{ why.clone() }</p> }
            <div class="row-buttons">
                <button type="button" {onclick}>{ props.button }</button>
                { props.children.clone() }
            </div>
        </>
    }
}
