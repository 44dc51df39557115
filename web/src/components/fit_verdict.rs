//! Whether it fits, in one word and one number.

use super::fit_contacts::{nearness, side, spread, verdict};
use super::fit_map::obstacle;
use super::fit_spot::place;
use super::severity::shape;
use crate::answers::Bench;
use crate::words;
use buildfile::Units;
use fitment::clearance::Contact;
use fitment::finding::Severity;
use yew::prelude::*;

/// The verdict on a tire by its nearest place, or that it is being looked for.
pub fn fit_verdict(nearest: Option<&Contact>, tire: &str, bench: &Bench, units: Units) -> Html {
    let Some(nearest) = nearest else {
        return html! {
            <div class="fit-verdict" role="status">
                <p class="fit-word">{ "Looking…" }</p>
                <p class="fit-where">{ format!("{tire}: over all of the steering and travel of both wheels.") }</p>
            </div>
        };
    };
    let severity = verdict(nearest);
    let word = match severity {
        Severity::Unknown => "Too close to call",
        Severity::Out | Severity::Stop => "It touches",
        Severity::Watch => "It clears, barely",
        Severity::InBand => "It clears",
    };
    let what = obstacle(&bench.axle, nearest.obstacle);
    html! {
        <div class={classes!("fit-verdict", matches!(severity, Severity::Out | Severity::Stop).then_some("loud"))} role="status">
            <p class="fit-word">{ shape(severity) }{ word }</p>
            <p class="fit-number">{ nearness(nearest.clearance_mm, &what, units) }<small>{ spread(nearest, units) }</small></p>
            <p class="fit-where">{ format!("{tire}, {} tire, at {}. Proven: nowhere below {}.", side(nearest.side), place(nearest.steer_rad, nearest.travel_mm, units), words::length(nearest.lower_mm.floor(), units)) }</p>
        </div>
    }
}
