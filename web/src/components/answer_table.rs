//! The numbers side by side: stock, as it sits, planned.

use super::el::say;
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

/// The rows for those who want to know more.
pub const MORE: [Output; 15] = [
    Output::RollCentreKinematic,
    Output::RollSteer,
    Output::Jacking,
    Output::InstantCentreX,
    Output::InstantCentreZ,
    Output::AntiDive,
    Output::AntiLift,
    Output::AntiSquat,
    Output::ArmLeft,
    Output::ArmRight,
    Output::UpperLeft,
    Output::UpperRight,
    Output::SpringRatioLeft,
    Output::ShockRatioLeft,
    Output::DragLink,
];

/// A row's name on the page.
pub const fn name(output: Output) -> &'static str {
    match output {
        Output::LateralShift => "Axle sideways",
        Output::TrailLeft => "Trail",
        Output::ScrubLeft => "Scrub radius",
        Output::WheelbaseLeft => "Wheelbase change",
        Output::RollCentreHeight => "Roll center height",
        Output::RollCentreKinematic => "Roll center, by motion",
        Output::InstantCentreX => "Instant center ahead of the axle",
        Output::InstantCentreZ => "Instant center above ground",
        Output::Jacking => "Lift of the body per side force",
        Output::SpringRatioLeft => "Coil spring moves, of wheel travel",
        Output::ShockRatioLeft => "Shock moves, of wheel travel",
        Output::BumpSteerLeft => "Bump steer per 25 mm, left",
        Output::BumpSteerRight => "Bump steer per 25 mm, right",
        Output::BumpToe => "Toe change per 25 mm",
        Output::SteeringWheel => "Steering wheel off center",
        Output::DragAngle => "Drag link over Panhard, angle",
        Output::DragLength => "Drag link over Panhard, length",
        other => other.label(),
    }
}

/// An output as written in a cell.
pub fn text(output: Output, value: f64, units: Units) -> String {
    match output {
        Output::LateralShift => words::sideways(value, units),
        Output::SteeringWheel => words::to_side(value, &words::output(value.abs(), output, units)),
        _ => words::output(value, output, units),
    }
}

/// How far a value moved from another, below it; nothing where the two read alike.
pub fn moved(output: Output, before: f64, after: f64, units: Units) -> Option<Html> {
    let by = text(output, after - before, units);
    let sign = if after > before && !by.ends_with('L') { "+" } else { "" };
    let alike = text(output, before, units) == text(output, after, units);
    (!alike).then(|| say("span", "moved", &format!("{sign}{by}")))
}

/// Whether an output says something about this axle: caster needs wheels that steer.
pub fn has(standing: &Standing, output: Output) -> bool {
    standing.value(output).is_some()
        && (output != Output::Caster || standing.axle.kingpin.is_some())
}

/// A table with one column for each state.
pub fn answer_table(bench: &Bench, rows: &[Output], units: Units) -> Html {
    answer_table_and(bench, rows, units, html! {})
}

/// The same with rows of another kind after it.
pub fn answer_table_and(bench: &Bench, rows: &[Output], units: Units, more: Html) -> Html {
    let cell = |output: Output, state: State| {
        let standing = bench.state(state).ok();
        let before = bench.state(State::Sitting).ok().and_then(|sitting| sitting.value(output));
        let Some(value) = standing.and_then(|s| s.value(output)) else {
            return html! { <td>{ "—" }</td> };
        };
        let sigma = standing.and_then(|s| s.sigma(output)).filter(|sigma| *sigma > 0.0);
        html! {
            <td>
                <span class="value">{ text(output, value, units) }</span>
                if let Some(sigma) = sigma { <span class="spread">{ words::output_spread(sigma, output, units) }</span> }
                if let Some(before) = before.filter(|_| state == State::Planned) { { for moved(output, before, value, units) } }
            </td>
        }
    };
    html! {
        <table class="answers">
            <caption class="unseen">{ "Stock, as it sits and planned, side by side" }</caption>
            { head() }
            <tbody>
                { for rows.iter().filter(|output| State::ALL.iter().any(|s| bench.state(*s).is_ok_and(|a| has(a, **output)))).map(|output| html! {
                    <tr><th scope="row">{ name(*output) }</th>{ for State::ALL.into_iter().map(|state| cell(*output, state)) }</tr>
                }) }
                { more }
            </tbody>
        </table>
    }
}

/// A table with one column for each state, of texts made elsewhere.
pub fn rows_table(caption: &'static str, rows: Vec<(String, [Option<String>; 3])>) -> Html {
    html! {
        <table class="answers">
            <caption class="unseen">{ caption }</caption>
            { head() }
            <tbody>
                { for rows.into_iter().map(text_row) }
            </tbody>
        </table>
    }
}

/// A row of texts made elsewhere; nothing where no state has one.
pub fn text_row((title, cells): (String, [Option<String>; 3])) -> Html {
    if cells.iter().all(Option::is_none) {
        return html! {};
    }
    html! {
        <tr><th scope="row">{ title }</th>{ for cells.into_iter().map(|cell| html! { <td class="value">{ cell.unwrap_or_else(|| "—".into()) }</td> }) }</tr>
    }
}

/// The states.
pub fn head() -> Html {
    html! {
        <thead>
            <tr><td></td><th scope="col">{ "Stock" }</th><th scope="col">{ "As it sits" }</th><th scope="col">{ "Planned" }</th></tr>
        </thead>
    }
}
