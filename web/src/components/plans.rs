//! The best plans for the parts on the list, as they are found.

use super::el::{el, maybe, say};
use super::plan_card::{plan_card, way_button};
use crate::hooks::{use_desk, use_search};
use crate::seek::{Clash, Pick, Stage, Told, Way};
use fitment::truck::End;
use std::rc::Rc;
use yew::prelude::*;

/// How many are in view before asking for more.
const SHOWN: usize = 3;

/// What is searched.
#[derive(Properties, PartialEq)]
pub struct PlansProps {
    /// The axle.
    pub end: End,
}

/// How far the search is, what fights, why not the plan as it is, and the best ten.
#[component]
pub fn Plans(props: &PlansProps) -> Html {
    let desk = use_desk();
    let stop = use_state_eq(|| false);
    let told = use_search(&desk, *stop);
    let (again, build) = (stop.setter(), Rc::clone(&desk.state().entry().build));
    // What was stopped does not stop what is asked next.
    use_effect_with((build, props.end), move |_| again.set(false));
    let (end, stopped) = (props.end, *stop);
    let turn = {
        let stop = stop.clone();
        Callback::from(move |_: MouseEvent| stop.set(!stopped))
    };
    let empty = Told::default();
    let told = told.as_deref().unwrap_or(&empty);
    let going = told.stage == Stage::Looking;
    let card = |(at, plan)| {
        let name = format!("Number {}", at + 1);
        let card = plan_card(plan, &name, end, &desk, html! {});
        html! { <li key={at} class={classes!("suggestion", plan.planned.then_some("on"))}>{ card }</li> }
    };
    let buttons = |ways: &[Way]| {
        el("div", "row-buttons", ways.iter().map(|way| way_button(way, end, None, &desk)).collect())
    };
    let clash = |clash: &Clash| {
        let words = say("p", "", &clash.words);
        el("div", "clash", vec![say("h3", "", "These targets fight"), words, buttons(&clash.ways)])
    };
    let pick = |pick: &Pick| {
        let more = el("div", "why-not", vec![say("p", "", &pick.why), buttons(&pick.ways)]);
        el(
            "div",
            "suggestion on",
            vec![plan_card(&pick.plan, "As you have it planned", end, &desk, more)],
        )
    };
    html! {
        <section class="plans" aria-labelledby="suggest-title">
            <h2 id="suggest-title">{ "Best plans" }</h2>
            <p class="help" role="status">{ said(told) }</p>
            <div class="hunt">
                if going { <progress max="1000" value={told.progress.to_string()} aria-label="Search"></progress> }
                { say("p", "help", &told.count) }
                if going || told.stage == Stage::Stopped {
                    <button type="button" class="quiet" onclick={turn}>{ if stopped { "Go on looking" } else { "Stop looking" } }</button>
                }
            </div>
            { for told.clashes.iter().map(clash) }
            { maybe(told.pick.as_ref().map(pick)) }
            <ol class="suggestions">{ for told.plans.iter().enumerate().take(SHOWN).map(card) }</ol>
            if told.plans.len() > SHOWN {
                <details class="more-plans">
                    <summary>{ format!("{} more plans", told.plans.len() - SHOWN) }</summary>
                    <ol class="suggestions">{ for told.plans.iter().enumerate().skip(SHOWN).map(card) }</ol>
                </details>
            }
        </section>
    }
}

/// Where the search is, said aloud when it changes.
const fn said(told: &Told) -> &'static str {
    match (told.stage, told.plans.is_empty()) {
        (Stage::Looking, true) => "Looking for the best plan.",
        (Stage::Looking, false) => "Looking; the best so far is below.",
        (Stage::Stopped, _) => "Stopped; the best so far is below.",
        (Stage::Done, false) => "Found. What misses least comes first; less work breaks ties.",
        (Stage::Done, true) | (Stage::Failed, _) => "There is no plan.",
    }
}
