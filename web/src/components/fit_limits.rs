//! What stops would make the tire clear and what they cost in turning, how far the tire stands out,
//! and what it scuffs at full lock.

use super::fit_contacts::{nearness, side, spread};
use super::fit_map::obstacle;
use super::fit_window::off;
use crate::answers::Bench;
use crate::state::edit::Quantity;
use crate::words;
use buildfile::Units;
use fitment::axle::Output;
use fitment::clearance::{Beside, Fit, Stop};
use yew::prelude::*;

fn row(name: &'static str, text: String) -> Html {
    html! { <div><dt>{ name }</dt><dd>{ text }</dd></div> }
}

/// The stops; `rest_mm` is the travel at which the truck rests.
pub fn fit_limits(fit: &Fit, rest_mm: f64, units: Units) -> Html {
    let Some(stops) = fit.stops else { return html! {} };
    let steer = match stops.steer_rad {
        Stop::NotNeeded => "not needed".to_owned(),
        Stop::At(rad) => {
            let degrees = |rad: f64| (2.0 * rad).to_degrees();
            let off = fit.sigmas.steer_rad.map_or_else(String::new, |sigma| {
                format!(" ({})", words::spread(degrees(sigma).round(), Quantity::Angle, units))
            });
            format!("at {:.0}° of the inner wheel{off}", rad.to_degrees().floor())
        }
        Stop::NoneHelps => "no steering stop helps".into(),
    };
    let bump = match stops.bump_mm {
        Stop::NotNeeded => "not needed".to_owned(),
        Stop::At(mm) if mm < rest_mm => {
            "none helps: it would have to stop below where the truck rests".into()
        }
        Stop::At(mm) => {
            let longer = off((fit.domain.bump_mm - mm).max(0.0), fit.sigmas.bump_mm, units);
            format!("{longer} longer: at {} of bump from stock", words::length(mm, units))
        }
        Stop::NoneHelps => "no bump stop helps".into(),
    };
    html! {
        <section class="limits" aria-labelledby="limits-title">
            <h2 id="limits-title">{ "Stops that would make it clear" }</h2>
            <dl class="limits-list">
                { row("Steering stop alone", steer) }
                { row("Bump stop alone", bump) }
            </dl>
        </section>
    }
}

/// How far the tire stands out, what it scuffs at full lock, and the turning circle.
pub fn fit_beside(beside: &Beside, bench: &Bench, units: Units) -> Html {
    let circle = |mm: f64| words::output(mm, Output::TurningCircle, units);
    let turning = beside.turning_circle_mm.map(|now| {
        let sure = beside
            .turning_sigma_mm
            .map_or_else(String::new, |sigma| format!(" (±{})", circle(2.0 * sigma)));
        let then = beside.stopped_circle_mm.map_or_else(String::new, |then| {
            format!("; {} with the stop that clears", circle(then))
        });
        format!("{}{sure}{then}", circle(now))
    });
    let poke = beside.poke_mm.map(|both| {
        let said = both.map(|mm| {
            let text = words::length(mm.abs(), units);
            format!("{text} {}", if mm > 0.0 { "out" } else { "in" })
        });
        let [left, right] = &said;
        let said = if left == right { left.clone() } else { format!("left {left}, right {right}") };
        let sure = beside.poke_sigma_mm.map_or_else(String::new, |[left, right]| {
            let most = 2.0 * left.max(right);
            format!(" ({})", words::spread(most.round(), Quantity::Length, units))
        });
        said + &sure
    });
    let scuff = beside.scuff.first().map(|contact| {
        let what = obstacle(&bench.axle, contact.obstacle);
        let near = nearness(contact.clearance_mm, &what, units);
        format!("{} tire, {near} {}", side(contact.side), spread(contact, units))
    });
    html! {
        <dl class="limits-list">
            { for turning.map(|text| row("Turning circle at full lock", text)) }
            { for poke.map(|text| row("Past the fender's lip, at rest", text)) }
            { for scuff.map(|text| row("Arm at full lock", text)) }
        </dl>
    }
}
