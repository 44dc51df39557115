//! A target of the person's own for one answer: its band, what a miss weighs, whether a plan may
//! miss it at all.

use super::plain_numbers::{Plain, PlainNumbers};
use crate::hooks::use_desk;
use crate::state::edit::Quantity;
use crate::state::{Action, Change};
use crate::words;
use buildfile::{Claim, Target};
use fitment::finding::Goal;
use fitment::truck::End;
use yew::prelude::*;

/// Which answer.
#[derive(Properties, PartialEq)]
pub struct OwnBandProps {
    /// The axle.
    pub end: End,
    /// What it is set on.
    pub goal: Goal,
}

/// Small fields and a button.
#[component]
pub fn OwnBand(props: &OwnBandProps) -> Html {
    let desk = use_desk();
    let quantity = match props.goal {
        Goal::Output(output) => words::of_output(output),
        Goal::Clearance => Quantity::Length,
    };
    let (end, key) = (props.end, props.goal.key());
    let targets = &desk.state().entry().build.targets;
    let own = targets.iter().find(|target| target.end == end && target.of == key).cloned();
    let is_own = own.is_some();
    let now = own.unwrap_or_else(|| Target::new(end, key.into(), None, None));
    let number = |label, value, quantity, empty| Plain { label, value, quantity, empty };
    let numbers = vec![
        number("Lowest", now.low, quantity, "open"),
        number("Highest", now.high, quantity, "open"),
        number("Weighs", now.weight, Quantity::Plain, "1"),
    ];
    let take = {
        let (desk, now) = (desk.clone(), now.clone());
        Callback::from(move |values: Vec<Option<f64>>| {
            if let [low, high, weight] = values[..] {
                let target = Target { low, high, weight, ..now.clone() };
                desk.act(Action::Change(Change::Target(target)));
            }
        })
    };
    let must = now.claim == Claim::Must;
    let claimed = Target { claim: if must { Claim::Wish } else { Claim::Must }, ..now };
    let claim = desk.on(move |_: MouseEvent| Action::Change(Change::Target(claimed.clone())));
    let usual = desk.on(move |_: MouseEvent| {
        Action::Change(Change::Target(Target::new(end, key.into(), None, None)))
    });
    html! {
        <details class="own-band">
            <summary>{ if is_own { "Your own target" } else { "Set a target of your own" } }</summary>
            <button type="button" class="quiet" role="switch" aria-checked={must.to_string()} onclick={claim}>
                { if must { "No plan may miss it" } else { "A plan may miss it" } }
            </button>
            <PlainNumbers id={key} {numbers} button="Use it" {take}>
                if is_own { <button type="button" onclick={usual}>{ "The usual one" }</button> }
            </PlainNumbers>
        </details>
    }
}
