//! The steering: what it does on bumps, where the steering wheel stands and why, what happens at
//! full lock.

use super::answer_table::{self, answer_table, rows_table};
use super::part_card::part_words;
use crate::answers::{Bench, Standing};
use crate::words;
use buildfile::Units;
use fitment::axle::Output;
use fitment::finding::{formula, formula_source};
use fitment::measure::format;
use fitment::truck::State;
use yew::prelude::*;

/// With the wheels straight ahead.
const STRAIGHT: [Output; 7] = [
    Output::BumpSteerLeft,
    Output::BumpSteerRight,
    Output::BumpToe,
    Output::Toe,
    Output::SteeringWheel,
    Output::DragAngle,
    Output::DragLength,
];

/// The section; nothing on an axle whose linkage is not known.
pub fn steering_card(bench: &Bench, drawn: State, units: Units) -> Html {
    let linked = |standing: &&Standing| standing.axle.steering.is_some();
    let Some(now) = bench.state(drawn).ok().filter(linked) else { return html! {} };
    html! {
        <section class="card" aria-labelledby="steering-title">
            <h2 id="steering-title">{ "Steering" }</h2>
            { answer_table(bench, &STRAIGHT, units) }
            { wheel_turned(now, units) }
            <h3>{ "At full lock" }</h3>
            { at_lock(bench, units) }
            <p class="help">{ "Ackermann error: how much further the outer wheel is turned than rolling without scrub asks for. Turning circle: kerb to kerb, by the outer front tire's middle." }</p>
            <details class="why-all">
                <summary>{ "Formulas and sources" }</summary>
                <dl>
                    { for STRAIGHT.iter().filter(|output| now.value(**output).is_some()).map(|output| html! {
                        <><dt>{ answer_table::name(*output) }</dt><dd class="formula">{ formula(*output, &now.answer) }<small>{ formula_source(*output).words() }</small></dd></>
                    }) }
                </dl>
            </details>
            <p class="caution">{ "Steering linkage: joints, pitman arm and brackets carry your way home. Changes here belong in licensed hands, with an alignment after; local codes may ask for an engineer." }</p>
        </section>
    }
}

/// What the lift and each part did to the steering wheel.
fn wheel_turned(now: &Standing, units: Units) -> Html {
    let parts = &now.axle.setup(now.state).parts;
    let Some(all) = now.value(Output::SteeringWheel).filter(|_| now.state != State::Stock) else {
        return html! {};
    };
    let with = |keep: &dyn Fn(usize) -> bool| {
        let kept = parts.iter().enumerate().filter(|(i, _)| keep(*i)).map(|(_, part)| part.clone());
        now.with_parts(&kept.collect::<Vec<_>>())?.get(Output::SteeringWheel)
    };
    let mut rows: Vec<(String, f64)> = Vec::new();
    rows.extend(with(&|_| false).map(|lift| ("The lift by itself".to_owned(), lift)));
    for (index, part) in parts.iter().enumerate() {
        if let Some(without) = with(&|i| i != index) {
            rows.push((part_words(part, units), all - without));
        }
    }
    let turned = |deg| answer_table::text(Output::SteeringWheel, deg, units);
    html! {
        <>
            <h3>{ "What turned the steering wheel" }</h3>
            <dl class="limits-list">
                { for rows.iter().map(|(what, deg)| html! { <div><dt>{ what }</dt><dd>{ turned(*deg) }</dd></div> }) }
                if rows.len() > 1 { <div><dt><b>{ "Together" }</b></dt><dd>{ turned(all) }</dd></div> }
            </dl>
            <p class="help">{ format!("Each part by what taking it out alone would change.{}", drag_link_words(now, units)) }</p>
        </>
    }
}

/// What would set the steering wheel straight.
fn drag_link_words(now: &Standing, units: Units) -> String {
    match now.drag_link_short().filter(|mm| mm.abs() >= 0.5) {
        Some(mm) => {
            let way = if mm > 0.0 { "longer" } else { "shorter" };
            let far = words::length(mm.abs(), units);
            format!(
                " A drag link {far} {way} sets the steering wheel straight, with the box in its middle."
            )
        }
        None => String::new(),
    }
}

/// Angles, Ackermann error and turning circle at the stops.
fn at_lock(bench: &Bench, units: Units) -> Html {
    let mut rows = Vec::new();
    let locks = State::ALL.map(|state| bench.state(state).ok().map(Standing::at_lock));
    for (at, name) in ["left", "right"].into_iter().enumerate() {
        let mut row = |title: &str, output: Output| {
            rows.push((
                format!("{title}, turned {name}"),
                locks.each_ref().map(|locks| {
                    let value = locks.as_ref()?[at].get(output)?;
                    Some(match output {
                        Output::SteerLeft | Output::SteerRight => format::degrees(value.abs(), 1),
                        _ => words::output(value, output, units),
                    })
                }),
            ));
        };
        row("Left wheel", Output::SteerLeft);
        row("Right wheel", Output::SteerRight);
        row("Ackermann error", Output::Ackermann);
        row("Turning circle", Output::TurningCircle);
    }
    rows_table("At full lock: stock, as it sits and planned", rows)
}
