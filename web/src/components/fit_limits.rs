//! What stops would make the tire clear, and how large a tire may be.

use super::fit_map::obstacle;
use crate::answers::Bench;
use crate::hooks::use_desk;
use crate::words;
use fitment::clearance::{Fit, Options, Size, Stop, fit};
use fitment::truck::State;
use std::rc::Rc;
use yew::prelude::*;

/// The answer to read from.
#[derive(Properties, PartialEq)]
pub struct FitLimitsProps {
    /// The engine's answer.
    pub fit: Rc<Fit>,
    /// The answers of the axle.
    pub bench: Bench,
    /// The state.
    pub state: State,
    /// Travel at which the truck rests, mm.
    pub rest_mm: f64,
}

/// Stops in words, and the largest tire on request: that search takes longer than the rest.
#[component]
pub fn FitLimits(props: &FitLimitsProps) -> Html {
    let desk = use_desk();
    let units = desk.state().preferences.units;
    let end = desk.state().end;
    let axle = &props.bench.axle;
    let asked = use_state_eq(|| false);
    let build = Rc::clone(&desk.state().entry().build);
    let largest = use_memo((build, end, props.state, *asked), |(build, end, state, asked)| {
        build.truck.axle(*end).filter(|_| *asked)?;
        let options = Options { sizes: true, ..Options::default() };
        fit(&build.truck, *end, *state, &options).ok()?.largest
    });
    let Some(stops) = props.fit.stops else { return html! {} };
    let steer = match stops.steer_rad {
        Stop::NotNeeded => "not needed".to_owned(),
        Stop::At(rad) => format!("at {:.0}° either way", rad.to_degrees().floor()),
        Stop::NoneHelps => "no steering stop helps".into(),
    };
    let bump = match stops.bump_mm {
        Stop::NotNeeded => "not needed".to_owned(),
        Stop::At(mm) if mm < props.rest_mm => {
            "none helps: it would have to stop below where the truck rests".into()
        }
        Stop::At(mm) => format!("at {} of bump from stock", words::length(mm, units)),
        Stop::NoneHelps => "no bump stop helps".into(),
    };
    let size = |size: Size| match size {
        Size::UpTo { mm, limited_by: Some((what, _)) } => {
            format!("up to {}, then the {}", words::length(mm, units), obstacle(axle, what))
        }
        Size::UpTo { mm, limited_by: None } => format!("{} and more", words::length(mm, units)),
        Size::Never => "none looked at clears".into(),
    };
    let ask = {
        let asked = asked.clone();
        Callback::from(move |_: MouseEvent| asked.set(true))
    };
    html! {
        <section class="limits" aria-labelledby="limits-title">
            <h2 id="limits-title">{ "What would make it clear" }</h2>
            <dl class="limits-list" aria-live="polite">
                <div><dt>{ "Steering stop alone" }</dt><dd>{ steer }</dd></div>
                <div><dt>{ "Bump stop alone" }</dt><dd>{ bump }</dd></div>
                if let Some(largest) = *largest {
                    <div><dt>{ "Tallest tire, this width" }</dt><dd>{ size(largest.diameter_mm) }</dd></div>
                    <div><dt>{ "Widest tire, this height" }</dt><dd>{ size(largest.width_mm) }</dd></div>
                }
            </dl>
            if !*asked { <button type="button" onclick={ask}>{ "Work out the largest tire" }</button> }
        </section>
    }
}
