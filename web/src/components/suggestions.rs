//! What the engine suggests, best first, each ready to be planned.

use super::answer_table;
use super::part_card::part_words;
use super::severity::severity;
use crate::answers::Bench;
use crate::hooks::Desk;
use crate::state::{Action, Change};
use buildfile::Units;
use fitment::axle::Output;
use fitment::finding::Severity;
use fitment::remedy::Plan;
use fitment::truck::End;
use yew::prelude::*;

/// The ranked list.
pub fn suggestions(bench: &Bench, desk: &Desk) -> Html {
    let (end, units) = (bench.end, desk.state().preferences.units);
    let ranked = match bench.suggestions() {
        Some(Ok(ranked)) => ranked,
        Some(Err(why)) => return html! { <p class="no-answer">{ why.to_string() }</p> },
        None => return html! {},
    };
    html! {
        <section aria-labelledby="suggest-title">
            <h2 id="suggest-title">{ "Suggested, best first" }</h2>
            <p class="help">{ format!("The best of {} combinations of the parts below on the solved axle{}. Less off its band first; less work breaks ties.", ranked.combinations, if ranked.cut { ", the first parts of the shelf only" } else { "" }) }</p>
            <ol class="suggestions">{ for ranked.ranked.iter().take(SHOWN).enumerate().map(|(i, s)| one(i, s, end, units, desk)) }</ol>
            if ranked.ranked.len() > SHOWN {
                <details>
                    <summary>{ format!("{} more", ranked.ranked.len() - SHOWN) }</summary>
                    <ol class="suggestions">{ for ranked.ranked.iter().enumerate().skip(SHOWN).map(|(i, s)| one(i, s, end, units, desk)) }</ol>
                </details>
            }
        </section>
    }
}

/// How many are in view before asking for more.
const SHOWN: usize = 2;

fn one(index: usize, suggestion: &Plan, end: End, units: Units, desk: &Desk) -> Html {
    let parts = suggestion.fitted.clone();
    let plan = desk.on(move |_: MouseEvent| Action::Change(Change::Parts(end, parts.clone())));
    let what = suggestion.parts.iter().map(|part| part_words(part, units));
    html! {
        <li key={index} class="suggestion">
            if suggestion.parts.is_empty() {
                <h3>{ "Bolt on nothing" }</h3>
            } else {
                <h3>{ for what.map(|text| html! { <span>{ text }</span> }) }</h3>
            }
            <p>{ gives(suggestion, units) }</p>
            if let Some(worst) = suggestion.misses.first() {
                <p class="still">{ severity(worst.severity) }{ format!("{} still off at {}", answer_table::name(worst.output), answer_table::text(worst.output, worst.value, units)) }
                    if suggestion.misses.len() > 1 { { format!(", and {} more", suggestion.misses.len() - 1) } }</p>
            } else {
                <p class="still">{ severity(Severity::InBand) }{ "everything judged" }</p>
            }
            <div class="suggestion-foot">
                <span class="help">{ fitment::words::capital(suggestion.work.words()) }</span>
                <button type="button" onclick={plan}>{ "Plan this" }</button>
            </div>
        </li>
    }
}

fn gives(suggestion: &Plan, units: Units) -> String {
    [Output::LateralShift, Output::Panhard, Output::Caster, Output::Pinion]
        .into_iter()
        .filter_map(|output| {
            let value = suggestion.attitude.get(output)?;
            Some(format!(
                "{} {}",
                fitment::words::inside(answer_table::name(output)),
                answer_table::text(output, value, units)
            ))
        })
        .collect::<Vec<_>>()
        .join(", ")
}
