//! From what the driver feels to what may cause it, by this truck's own numbers.

use super::choice::choice;
use super::fit_study::use_study;
use crate::answers::Bench;
use crate::hooks::use_desk;
use crate::state::edit::system;
use fitment::clearance::Contact;
use fitment::measure::System;
use fitment::symptom::{Cause, Evidence, Standing, Symptom, causes};
use fitment::truck::State;
use fitment::words::{capital, inside};
use yew::prelude::*;

/// What is asked about.
#[derive(Properties, PartialEq)]
pub struct FeltProps {
    /// The answers of the axle.
    pub bench: Bench,
    /// The state that is driven.
    pub state: State,
}

/// The section: one list to choose from, and the causes below it.
#[component]
pub fn Felt(props: &FeltProps) -> Html {
    let units = system(use_desk().state().preferences.units);
    let chosen = use_state_eq(|| 0_usize);
    let picked = {
        let chosen = chosen.clone();
        Callback::from(move |index| chosen.set(index))
    };
    let words: Vec<&str> =
        std::iter::once("Nothing chosen").chain(Symptom::ALL.iter().map(|it| it.label())).collect();
    let symptom = chosen.checked_sub(1).and_then(|at| Symptom::ALL.get(at)).copied();
    let (bench, state) = (props.bench.clone(), props.state);
    html! {
        <section class="felt" aria-labelledby="felt-title">
            <h2 id="felt-title">{ "From what you feel" }</h2>
            { choice("felt", "What the truck does on the road", &words, *chosen, picked) }
            if let Some(symptom) = symptom {
                if symptom.asks_for_contacts() {
                    <WithContacts {bench} {state} {symptom} />
                } else {
                    { answer(&Asked { bench: &bench, state, symptom, contacts: &[], wait: None }, units) }
                }
            }
        </section>
    }
}

/// A symptom that the tire fit bears on.
#[derive(Properties, PartialEq)]
struct WithContactsProps {
    bench: Bench,
    state: State,
    symptom: Symptom,
}

#[component]
fn WithContacts(props: &WithContactsProps) -> Html {
    let units = system(use_desk().state().preferences.units);
    let (bench, state, symptom) = (&props.bench, props.state, props.symptom);
    let study = use_study(bench, state);
    let (contacts, wait): (&[Contact], _) = match &study {
        Ok(known) if known.certain => (&known.fit.contacts, None),
        Ok(_) => (&[], Some("The tire fit is being worked out…".to_owned())),
        Err(why) => (&[], Some(format!("No tire fit to go by: {why}"))),
    };
    answer(&Asked { bench, state, symptom, contacts, wait }, units)
}

struct Asked<'a> {
    bench: &'a Bench,
    state: State,
    symptom: Symptom,
    contacts: &'a [Contact],
    /// What is not known yet, or why not.
    wait: Option<String>,
}

/// The causes, and what no tape measure finds.
fn answer(asked: &Asked, units: System) -> Html {
    let Asked { bench, state, symptom, contacts, ref wait } = *asked;
    let now = match bench.state(state) {
        Ok(now) => now.sure(),
        Err(why) => return html! { <p class="no-answer" role="status">{ why.clone() }</p> },
    };
    let evidence = Evidence { axle: &bench.axle, now, findings: bench.findings(state), contacts };
    let found = causes(symptom, &evidence);
    let (ruled_out, open): (Vec<_>, Vec<_>) =
        found.iter().partition(|cause| cause.standing == Standing::Against);
    let list = |causes: &[&Cause]| html! { <ol class="causes">{ for causes.iter().map(|cause| one(cause, units)) }</ol> };
    html! {
        <div aria-live="polite">
            if let Some(wait) = wait { <p class="help">{ wait.clone() }</p> }
            if open.is_empty() && wait.is_none() { <p>{ "No number of this axle speaks for it." }</p> }
            { list(&open) }
            if !ruled_out.is_empty() {
                <details>
                    <summary>{ format!("Not by these numbers: {}", ruled_out.len()) }</summary>
                    { list(&ruled_out) }
                </details>
            }
            <p>{ symptom.unseen() }</p>
            <p class="caution">{ symptom.caution() }</p>
        </div>
    }
}

fn one(cause: &Cause, units: System) -> Html {
    let numbers = cause.numbers(units);
    let helps: Vec<_> = cause.helps.iter().map(|kind| inside(kind.traits().label)).collect();
    html! {
        <li>
            <h3>{ cause.what }<span class={classes!("standing", (cause.standing == Standing::For).then_some("likely"))}>{ cause.standing.word() }</span></h3>
            if !numbers.is_empty() { <p>{ capital(&numbers) }{ "." }<small>{ cause.source.words() }</small></p> }
            <p><b>{ "To confirm: " }</b>{ cause.confirm }</p>
            if !helps.is_empty() { <p><b>{ "What helps: " }</b>{ helps.join(", ") }{ "." }</p> }
        </li>
    }
}
