//! The best plans for the parts on the list, as they are found.

use super::el::{el, maybe, say};
use super::fold::{Fold, Inside};
use super::plan_card::{PlanCard, taken, way_button};
use crate::hooks::{use_desk, use_search};
use crate::seek::{Clash, Pick, Proposal, Stage, Told, Way};
use fitment::truck::End;
use fitment::words::capital;
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

/// How far the search is, the best ten, what fights, and why not the plan as it is.
#[component]
pub fn Plans(props: &PlansProps) -> Html {
    let desk = use_desk();
    let stop = use_state_eq(|| false);
    let told = use_search(&desk, *stop);
    let (again, build) = (stop.setter(), Rc::clone(&desk.state().entry().build));
    // What was stopped does not stop what is asked next.
    use_effect_with((build, props.end), move |_| again.set(false));
    let take = use_callback(props.end, move |doc: AttrValue, end| {
        if let Some(action) = taken(&doc, *end) {
            desk.act(action);
        }
    });
    let stopped = *stop;
    let turn = Callback::from(move |_: MouseEvent| stop.set(!stopped));
    let told = told.unwrap_or_default();
    let going = told.stage == Stage::Looking;
    let buttons = |ways: &[Way]| {
        let button = |way: &Way| way_button(&way.label, &way.doc, None, &take);
        el("div", "row-buttons", ways.iter().map(button).collect())
    };
    let pick = |pick: &Pick| {
        let plan = Rc::clone(&pick.plan);
        html! {
            <div class="suggestion on">
                <PlanCard {plan} name="As you have it planned" take={take.clone()} />
                { el("div", "why-not", vec![say("p", "", &pick.why), buttons(&pick.ways)]) }
            </div>
        }
    };
    let more = (told.plans.len() > SHOWN).then(|| {
        let summary = format!("{} more plans", told.plans.len() - SHOWN);
        let (told, take) = (Rc::clone(&told), take.clone());
        let inside = Inside::of(move || cards(&told, SHOWN, usize::MAX, &take));
        html! { <Fold class="more-plans" {summary} {inside} /> }
    });
    html! {
        <section class="plans" aria-labelledby="suggest-title">
            <h2 id="suggest-title">{ "Best plans" }</h2>
            <p class="help" role="status">{ said(&told) }</p>
            <div class="hunt">
                if going { <progress max="1000" value={told.progress.to_string()} aria-label="Search"></progress> }
                { say("p", "help", &told.count) }
                if going || told.stage == Stage::Stopped {
                    <button type="button" class="quiet" onclick={turn}>{ if stopped { "Go on looking" } else { "Stop looking" } }</button>
                }
            </div>
            { maybe(fight(&told.clashes, buttons)) }
            { cards(&told, 0, SHOWN, &take) }
            { maybe(more) }
            { maybe(told.pick.as_ref().map(pick)) }
        </section>
    }
}

/// The plans from one place to another.
fn cards(told: &Told, from: usize, to: usize, take: &Callback<AttrValue>) -> Html {
    let card = |(at, plan): (usize, &Rc<Proposal>)| {
        let (name, on) = (format!("Number {}", at + 1), plan.planned.then_some("on"));
        html! {
            <li key={at} class={classes!("suggestion", on)}>
                <PlanCard plan={Rc::clone(plan)} {name} take={take.clone()} />
            </li>
        }
    };
    let some = told.plans.iter().enumerate().take(to).skip(from);
    html! { <ol class="suggestions">{ for some.map(card) }</ol> }
}

/// What fights, called out in a line and told once opened, so that the best plan stays in sight.
fn fight(clashes: &[Clash], buttons: impl Fn(&[Way]) -> Html) -> Option<Html> {
    let [first, rest @ ..] = clashes else { return None };
    let summary = match rest.len() {
        0 => first.what.clone(),
        more => format!("{} things cannot be had with these parts: what would give", more + 1),
    };
    let clash = |clash: &Clash| {
        let alone = rest.is_empty();
        let words =
            if alone { capital(&clash.words) } else { format!("{}: {}", clash.what, clash.words) };
        el("div", "", vec![say("p", "", &words), buttons(&clash.ways)])
    };
    let all = std::iter::once(say("summary", "", &summary)).chain(clashes.iter().map(clash));
    Some(el("details", "clash", all.collect()))
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
