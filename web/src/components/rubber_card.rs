//! The rubber: what each bush carries as the truck stands, how stiff in roll arms or leaves are, and
//! what worn bushes change.

use super::answer_table::{self, answer_table};
use crate::answers::{Bench, Standing};
use buildfile::Units;
use fitment::axle::{Output, Place, Reaction, reactions};
use fitment::measure::format;
use fitment::truck::{Side, State};
use yew::prelude::*;

/// What wear changes most.
const WORN: [Output; 5] = [
    Output::LateralShift,
    Output::AxleSteer,
    Output::Caster,
    Output::RollSteer,
    Output::RollStiffness,
];

/// The section; nothing on an axle that hangs on links alone.
pub fn rubber_card(bench: &Bench, drawn: State, units: Units) -> Html {
    let Ok(now) = bench.state(drawn) else { return html! {} };
    let found = reactions(&now.answer.model, &now.answer.pose);
    let mut places: Vec<Place> = Vec::new();
    for reaction in &found {
        if !places.contains(&reaction.place) {
            places.push(reaction.place);
        }
    }
    if places.is_empty() {
        return html! {};
    }
    let cell = |place: Place, side: Side| {
        let it = found.iter().find(|it| it.place == place && it.side == side);
        html! { <td>if let Some(it) = it { <span class="value">{ force(it, units) }</span><span class="spread">{ strain(it, units) }</span> }</td> }
    };
    html! {
        <section class="card" aria-labelledby="rubber-title">
            <h2 id="rubber-title">{ "Rubber" }</h2>
            <p class="help">{ "Force on each bush for having left the stock position, and how far it is squeezed, " }{ super::stance::name(drawn).to_ascii_lowercase() }{ "; the load it carried when stock comes on top." }</p>
            <table class="answers map-table">
                <caption class="unseen">{ "Force on each bush" }</caption>
                <thead><tr><td></td><th scope="col">{ "Left" }</th><th scope="col">{ "Right" }</th></tr></thead>
                <tbody>
                    { for places.iter().map(|place| html! {
                        <tr><th scope="row">{ place.label() }</th>{ cell(*place, Side::Left) }{ cell(*place, Side::Right) }</tr>
                    }) }
                </tbody>
            </table>
            <h3>{ "In roll" }</h3>
            { answer_table(bench, &[Output::RollStiffness, Output::RollSteer], units) }
            { worn(now, units) }
            <p class="caution">{ "Bushes and their brackets hold the axle. Torn rubber or a cracked bracket: have it looked at by someone licensed before driving." }</p>
        </section>
    }
}

/// How hard it is pushed.
fn force(it: &Reaction, units: Units) -> String {
    let newton = it.force.norm();
    match units {
        Units::Metric if newton >= 1000.0 => format!("{} kN", format::number(newton / 1000.0, 1)),
        Units::Metric => format!("{} N", format::number(newton, 0)),
        // One pound-force is 4.4482 N (NIST SP 811).
        Units::Inch => format!("{} lbf", format::number(newton / 4.448_22, 0)),
    }
}

/// How far it is squeezed.
fn strain(it: &Reaction, units: Units) -> String {
    let turn = format::degrees(it.twist_rad.to_degrees(), 1);
    let shift = match units {
        Units::Metric => format::millimetres(it.strain_mm, 1),
        Units::Inch => format::inches_decimal(it.strain_mm, 2),
    };
    format!("{shift}, {turn}")
}

/// The same axle on bushes half as stiff.
fn worn(now: &Standing, units: Units) -> Html {
    let Some(worn) = now.worn(0.5) else { return html! {} };
    let text = |value: Option<f64>, output| {
        value.map_or_else(|| "—".into(), |value| answer_table::text(output, value, units))
    };
    html! {
        <>
            <h3>{ "With the bushes worn to half their stiffness" }</h3>
            <table class="answers map-table">
                <caption class="unseen">{ "As given against worn to half" }</caption>
                <thead><tr><td></td><th scope="col">{ "As given" }</th><th scope="col">{ "Worn to half" }</th></tr></thead>
                <tbody>
                    { for WORN.iter().filter(|output| now.value(**output).is_some() && answer_table::has(now, **output)).map(|output| html! {
                        <tr>
                            <th scope="row">{ answer_table::name(*output) }</th>
                            <td>{ text(now.value(*output), *output) }</td>
                            <td>{ text(worn.get(*output), *output) }</td>
                        </tr>
                    }) }
                </tbody>
            </table>
        </>
    }
}
