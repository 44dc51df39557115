//! The numbers side by side: stock, as it sits, planned.

use crate::answers::{Bench, Standing};
use crate::words;
use buildfile::Units;
use fitment::axle::Output;
use fitment::truck::State;
use yew::prelude::*;

/// The rows people ask about first.
pub const FIRST: [Output; 9] = [
    Output::LateralShift,
    Output::Panhard,
    Output::Caster,
    Output::TrailLeft,
    Output::ScrubLeft,
    Output::Pinion,
    Output::WheelbaseLeft,
    Output::AxleSteer,
    Output::RollCentreHeight,
];

/// A row's name on the page.
pub const fn name(output: Output) -> &'static str {
    match output {
        Output::LateralShift => "Axle sideways",
        Output::TrailLeft => "Trail",
        Output::ScrubLeft => "Scrub radius",
        Output::WheelbaseLeft => "Wheelbase change",
        Output::RollCentreHeight => "Roll center height",
        other => other.label(),
    }
}

/// An output as written in a cell.
pub fn text(output: Output, value: f64, units: Units) -> String {
    match output {
        Output::LateralShift => words::sideways(value, units),
        _ => words::output(value, output, units),
    }
}

/// Whether an output says something about this axle: caster needs wheels that steer.
pub fn has(standing: &Standing, output: Output) -> bool {
    standing.value(output).is_some()
        && (output != Output::Caster || standing.axle.kingpin.is_some())
}

/// A table with one column for each state.
pub fn answer_table(bench: &Bench, rows: &[Output], units: Units) -> Html {
    let cell = |output: Output, state: State| {
        let standing = bench.state(state).ok();
        let Some(value) = standing.and_then(|s| s.value(output)) else {
            return html! { <td>{ "—" }</td> };
        };
        let sigma = standing.and_then(|s| s.sigma(output)).filter(|sigma| *sigma > 0.0);
        html! {
            <td>
                <span class="value">{ text(output, value, units) }</span>
                if let Some(sigma) = sigma { <span class="spread">{ words::output_spread(sigma, output, units) }</span> }
            </td>
        }
    };
    html! {
        <table class="answers">
            <caption class="unseen">{ "Stock, as it sits and planned, side by side" }</caption>
            <thead>
                <tr><td></td><th scope="col">{ "Stock" }</th><th scope="col">{ "As it sits" }</th><th scope="col">{ "Planned" }</th></tr>
            </thead>
            <tbody>
                { for rows.iter().filter(|output| State::ALL.iter().any(|s| bench.state(*s).is_ok_and(|a| has(a, **output)))).map(|output| html! {
                    <tr><th scope="row">{ name(*output) }</th>{ for State::ALL.into_iter().map(|state| cell(*output, state)) }</tr>
                }) }
            </tbody>
        </table>
    }
}
