//! One plan: what to fit, what it meets and misses, what it costs, and the button that plans it.

use super::el::{el, maybe, say, text, with};
use super::fold::{Fold, Inside};
use super::severity::{severity, shape};
use crate::seek::{Proposal, Row};
use crate::state::{Action, Change, Tone};
use buildfile::json;
use fitment::finding::Severity;
use fitment::truck::End;
use std::rc::Rc;
use yew::prelude::*;

/// What is shown.
#[derive(Properties, PartialEq)]
pub struct PlanCardProps {
    /// It.
    pub plan: Rc<Proposal>,
    /// Its number, or what it is.
    pub name: AttrValue,
    /// Takes over what a document holds.
    pub take: Callback<AttrValue>,
}

/// The card: drawn anew only when the plan reads otherwise.
#[component]
pub fn PlanCard(props: &PlanCardProps) -> Html {
    let PlanCardProps { plan, name, take } = props;
    let missed: Vec<&Row> = plan.rows.iter().filter(|row| is_missed(row)).collect();
    let met = plan.rows.len() - missed.len();
    let still = missed.iter().map(|row| {
        let must = if row.must { "must: " } else { "" };
        let value = format!(" {} {} ", row.value, row.spread);
        let band = format!("(wanted {})", row.band);
        let words = vec![
            severity(row.severity),
            text(&format!("{must}{}", row.name)),
            say("b", "", &value),
            say("span", "help", &band),
        ];
        el("li", "still", words)
    });
    let costs = plan.costs.iter().map(|cost| say("li", "", &format!("{cost}.")));
    let title = if plan.fits.is_empty() {
        vec![text("Fit nothing")]
    } else {
        plan.fits.iter().map(|fit| say("span", "", fit)).collect()
    };
    let heading =
        el("h3", "", vec![say("span", "plan-name", name), el("span", "plan-fits", title)]);
    let sums = if plan.sums.is_empty() { String::new() } else { format!(" {}", plan.sums) };
    let all = (met > 0).then(|| {
        let summary = format!("Meets {met} of {} targets", plan.rows.len());
        let plan = Rc::clone(plan);
        let inside = Inside::of(move || all_of(&plan));
        html! { <Fold {summary} {inside} /> }
    });
    let foot = if plan.planned {
        say("b", "planned-mark", "Planned")
    } else {
        way_button("Plan this", &plan.doc, Some(name), take)
    };
    let work = say("p", "help", &format!("{}.{sums}", plan.work));
    html! {
        <>
            { heading }
            { el("ul", "plan-rows", still.chain(costs).collect()) }
            { maybe(all) }
            { say("p", "help", &plan.odds) }
            { el("div", "suggestion-foot", vec![work, foot]) }
        </>
    }
}

fn is_missed(row: &Row) -> bool {
    row.severity != Severity::InBand
}

/// Every target in a table.
fn all_of(plan: &Proposal) -> Html {
    let rows = plan.rows.iter().map(|row| {
        let name = with("th", &[("scope", "row")], vec![text(&row.name)]);
        let value = vec![text(&row.value), say("span", "spread", &row.spread)];
        let mark = vec![shape(row.severity), say("span", "unseen", row.severity.word())];
        el("tr", "", vec![name, el("td", "", value), say("td", "", &row.band), el("td", "", mark)])
    });
    let head = ["", "With this plan", "Wanted", ""].map(|title| {
        if title.is_empty() {
            say("td", "", "")
        } else {
            with("th", &[("scope", "col")], vec![text(title)])
        }
    });
    let table =
        vec![el("thead", "", vec![el("tr", "", head.to_vec())]), el("tbody", "", rows.collect())];
    el("table", "answers plan-table", table)
}

/// A button that takes over what a document holds; `of` says of what, where the label does not.
pub fn way_button(
    label: &str,
    doc: &AttrValue,
    of: Option<&str>,
    take: &Callback<AttrValue>,
) -> Html {
    let doc = doc.clone();
    let onclick = take.reform(move |_: MouseEvent| doc.clone());
    let name = of.map(|of| format!("{label}: {of}"));
    html! { <button type="button" aria-label={name} {onclick}>{ label.to_owned() }</button> }
}

/// What a document would have done: its target taken over, or, where it has none, its planned parts.
pub fn taken(doc: &str, end: End) -> Option<Action> {
    Some(match json::read_json(doc) {
        Ok(build) => Action::Change(match (build.targets.first(), build.truck.axle(end)) {
            (Some(target), _) => Change::Target(target.clone()),
            (None, axle) => Change::Parts(end, axle?.planned.parts.clone()),
        }),
        Err(why) => Action::Tell(Tone::Trouble, why.to_string()),
    })
}
