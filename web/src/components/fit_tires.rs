//! The stock tire and the one looked at, side by side.

use crate::answers::Bench;
use crate::state::edit::Quantity;
use crate::words;
use buildfile::Units;
use fitment::measure::Known;
use fitment::truck::State;
use yew::prelude::*;

/// The two tires in numbers; nothing while they are the same state's.
pub fn fit_tires(bench: &Bench, state: State, units: Units) -> Html {
    let (Ok(old), Ok(new)) = (bench.state(State::Stock), bench.state(state)) else {
        return html! {};
    };
    if state == State::Stock {
        return html! {};
    }
    let (was, is) = (bench.axle.fitted(State::Stock), bench.axle.fitted(state));
    let rows: [(&str, &Known, &Known); 7] = [
        ("Diameter", &old.tire.diameter, &new.tire.diameter),
        ("Width on its wheel", &old.tire.section, &new.tire.section),
        ("Tread", &old.tire.tread, &new.tire.tread),
        ("Hub to ground", &old.tire.loaded_radius, &new.tire.loaded_radius),
        ("Wheel width", &was.wheel.width_mm, &is.wheel.width_mm),
        ("Wheel offset", &was.wheel.offset_mm, &is.wheel.offset_mm),
        ("Spacer", &was.spacer_mm, &is.spacer_mm),
    ];
    let value = |known: &Known| {
        html! {
            <td>{ words::length(known.value, units) }
                if known.sigma > 0.25 { <span class="spread">{ words::spread((2.0 * known.sigma).max(0.5).round(), Quantity::Length, units) }</span> }
            </td>
        }
    };
    let change = |old: &Known, new: &Known| {
        let by = new.value - old.value;
        let text = words::length(by, units);
        if by > 0.0 && text.contains(|c| matches!(c, '1'..='9')) {
            format!("+{text}")
        } else {
            text
        }
    };
    html! {
        <section class="tires" aria-labelledby="tires-title">
            <h2 id="tires-title">{ "Old and new tire" }</h2>
            <table class="answers map-table">
                <thead><tr><td></td><th scope="col">{ was.tire.size.clone() }<small>{ "stock" }</small></th><th scope="col">{ is.tire.size.clone() }</th><th scope="col">{ "Change" }</th></tr></thead>
                <tbody>
                    { for rows.into_iter().map(|(name, old, new)| html! {
                        <tr><th scope="row">{ name }</th>{ value(old) }{ value(new) }<td>{ change(old, new) }</td></tr>
                    }) }
                </tbody>
            </table>
        </section>
    }
}
