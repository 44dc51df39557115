//! Spacers and wheels to choose from: those a person has or could get, each with its numbers.

use super::number_field::NumberField;
use crate::hooks::Desk;
use crate::state::catalog::Spec;
use crate::state::field::end_name;
use crate::state::{Action, Change};
use fitment::truck::{Axle, End};
use yew::prelude::*;

/// The list, closed until it is wanted.
pub fn shelf_wheels(axle: &Axle, end: End, desk: &Desk) -> Html {
    let shelf = &axle.shelf;
    let button = |words: &'static str, change: Change| {
        let onclick = desk.on(move |_: MouseEvent| Action::Change(change.clone()));
        html! { <button type="button" class="quiet" {onclick}>{ words }</button> }
    };
    let field = |path: String, label, help| {
        let key = path.clone();
        html! { <NumberField {key} bare=true spec={Spec { path, label, help }} /> }
    };
    html! {
        <details class="part-edit">
            <summary>{ "Spacers and wheels to choose from" }</summary>
            { for (0..shelf.spacers_mm.len()).map(|index| html! {
                <div key={format!("s{index}")} class="shelf-row">
                    { field(format!("{}.shelf.spacers_mm[{index}]", end_name(end)), "Spacer", "Its thickness.") }
                    { button("Take it off", Change::ShelfSpacer(end, Some(index))) }
                </div>
            }) }
            { for (0..shelf.wheels.len()).map(|index| {
                let at = |name: &str| format!("{}.shelf.wheels[{index}].{name}", end_name(end));
                html! {
                    <div key={format!("w{index}")} class="shelf-row">
                        { field(at("width_mm"), "Wheel, width", "Between the bead seats.") }
                        { field(at("offset_mm"), "Offset", "Positive when the mounting face is outboard of the rim's middle.") }
                        { button("Plan it", Change::PlanWheel(end, index)) }
                        { button("Take it off", Change::ShelfWheel(end, Some(index))) }
                    </div>
                }
            }) }
            <div class="row-buttons">
                <button type="button" onclick={desk.on(move |_: MouseEvent| Action::Change(Change::ShelfSpacer(end, None)))}>{ "+ Spacer" }</button>
                <button type="button" onclick={desk.on(move |_: MouseEvent| Action::Change(Change::ShelfWheel(end, None)))}>{ "+ Wheel" }</button>
            </div>
        </details>
    }
}
