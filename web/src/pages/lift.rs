//! What the lift did: stock, as it sits and planned, side by side.

use crate::answers::Bench;
use crate::components::answer_table::{self, FIRST, MORE, answer_table, answer_table_and};
use crate::components::board::Board;
use crate::components::cautions::cautions;
use crate::components::curves::Curves;
use crate::components::felt::Felt;
use crate::components::findings::findings_list;
use crate::components::measure_next::measure_next;
use crate::components::page_head::page_head;
use crate::components::rest::rest_of_truck;
use crate::components::rubber_card::rubber_card;
use crate::components::stance::stance_switch;
use crate::components::steering_card::steering_card;
use crate::hooks::Desk;
use crate::state::edit::system;
use crate::words;
use buildfile::Units;
use fitment::axle::{Output, RollAxis};
use fitment::measure::format;
use fitment::truck::State;
use yew::prelude::*;

/// The page.
pub fn page(desk: &Desk, bench: &Bench) -> Html {
    let drawn = desk.state().drawn;
    let units = desk.state().preferences.units;
    let found = bench.findings(drawn);
    html! {
        <>
            { page_head("What the lift did", desk) }
            { verdict(bench, drawn, units) }
            <div class="two">
                <div class="beside">
                    { stance_switch(desk) }
                    <Board bench={bench.plain()} state={drawn} />
                </div>
                <div>
                    <h2>{ "Side by side" }</h2>
                    { answer_table(bench, &FIRST, units) }
                    <p class="help">{ "± covers about 95 % (two standard deviations). Sideways: L and R are the driver's." }</p>
                    <details>
                        <summary>{ "More numbers" }</summary>
                        { answer_table_and(bench, &MORE, units, roll_axis_row(bench.roll_axes())) }
                        <p class="help">{ "Anti-dive, anti-lift and anti-squat lean on the center of gravity and the brake and drive shares given under “Weight, brakes and drive”: 100 % would take the whole load off the springs." }</p>
                    </details>
                    if !found.is_empty() {
                        { measure_next(found, bench, desk) }
                        <h2>{ "What stands out" }</h2>
                        { findings_list(found, desk) }
                    }
                </div>
            </div>
            <Felt bench={bench.clone()} state={drawn} />
            <Curves bench={bench.plain()} />
            <div class="two">
                { steering_card(bench, drawn, units) }
                { rubber_card(bench, drawn, units) }
            </div>
            { rest_of_truck(bench.rest(drawn), system(units)) }
            { cautions() }
        </>
    }
}

/// How the roll axis lies, where both axles are known.
fn roll_axis_row(axes: &[Option<RollAxis>; 3]) -> Html {
    let cells = axes.each_ref().map(|axis| {
        let axis = axis.as_ref()?;
        let spread = words::output_spread(axis.sigma_deg, Output::Roll, Units::Metric);
        Some(format!("{} {spread}", format::degrees(axis.inclination_deg, 1)))
    });
    answer_table::text_row(("Roll axis, up to the rear".to_owned(), cells))
}

/// What happened, as a sentence a person would say.
fn verdict(bench: &Bench, state: State, units: Units) -> Html {
    let now = match bench.state(state) {
        Ok(now) => now,
        Err(why) => return html! { <p class="no-answer" role="status">{ why.clone() }</p> },
    };
    let Ok(stock) = bench.state(State::Stock) else { return html! {} };
    let lift = -f64::midpoint(now.answer.travel[0], now.answer.travel[1]);
    let change = |output| now.sure().change(stock.sure(), output);
    let mut said = Vec::new();
    if let Some(shift) = change(Output::LateralShift) {
        let side = if shift.value > 0.0 { "left" } else { "right" };
        let far = words::length(shift.value.abs(), units);
        if far == words::length(0.0, units) {
            said.push("the axle stays centered".to_owned());
        } else {
            said.push(format!("the axle sits {far} to the {side}"));
        }
    }
    if let Some(caster) = change(Output::Caster).filter(|_| answer_table::has(now, Output::Caster))
    {
        let way = if caster.value < 0.0 { "lost" } else { "gained" };
        let size = words::output(caster.value.abs(), Output::Caster, units);
        if size == words::output(0.0, Output::Caster, units) {
            said.push("caster as stock".to_owned());
        } else {
            said.push(format!("{size} of caster {way}"));
        }
    }
    if let Some(now) = now.value(Output::Panhard) {
        said.push(format!("the Panhard bar at {}", words::output(now, Output::Panhard, units)));
    }
    let intro = match state {
        State::Stock => "At stock height".to_owned(),
        _ if lift.abs() < 0.5 => "At stock height".to_owned(),
        _ if lift < 0.0 => format!("{} down", words::length(-lift, units)),
        _ => format!("{} up", words::length(lift, units)),
    };
    html! { <p class="verdict" aria-live="polite">{ format!("{intro}: {}.", said.join(", ")) }</p> }
}
