//! What plans are judged by: every target with its band, where that comes from, and a way to set one's
//! own.

use super::el::{el, say, text, with};
use super::findings::band_words;
use super::fold::{Fold, Inside};
use super::own_band::OwnBand;
use crate::answers::Bench;
use crate::components::answer_table;
use crate::hooks::Desk;
use crate::words;
use buildfile::Units;
use fitment::finding::{Aim, Goal};
use fitment::truck::End;
use yew::prelude::*;

/// The list, closed.
pub fn targets(bench: &Bench, desk: &Desk) -> Html {
    let units = desk.state().preferences.units;
    let (end, aims) = (bench.end, bench.aims());
    let summary = format!("What plans are judged by: {} targets", aims.len());
    let inside = Inside::of(move || {
        let rows = aims.iter().map(|aim| row(end, *aim, units));
        html! { <ul>{ for rows }</ul> }
    });
    html! { <Fold class="part-edit targets" {summary} {inside} /> }
}

fn row(end: End, (goal, aim): (Goal, Aim), units: Units) -> Html {
    let Aim { band, weight, must } = aim;
    let counts = match (must, weight) {
        (true, _) => "must".to_owned(),
        (false, weight) if weight.to_bits() == 1.0_f64.to_bits() => String::new(),
        (false, weight) => format!("weighs {weight}"),
    };
    let (name, band_words) = match goal {
        Goal::Output(output) => (answer_table::name(output), band_words(&band, output, units)),
        Goal::Clearance => (goal.label(), band.words(&|mm| words::length(mm, units))),
    };
    let head = el(
        "p",
        "target-head",
        vec![say("b", "", name), text(&format!(" {band_words} ")), say("b", "", &counts)],
    );
    let source = with("p", &[("class", "help")], vec![text(band.source.words())]);
    // What was typed there is of the band it was typed for.
    let key = format!("{}{}{}{weight}{must}", goal.key(), band.low, band.high);
    html! { <li {key}>{ head }{ source }<OwnBand {end} {goal} /></li> }
}
