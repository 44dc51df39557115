//! One plan: what to fit, what it meets and misses, what it costs, and the button that plans it.

use super::el::{el, maybe, say, text, with};
use super::severity::{severity, shape};
use crate::hooks::Desk;
use crate::seek::{Proposal, Row, Way};
use crate::state::{Action, Change, Tone};
use buildfile::json;
use fitment::finding::Severity;
use fitment::truck::End;
use yew::prelude::*;

/// The card; `name` is its number or what it is, `more` comes before its button.
pub fn plan_card(plan: &Proposal, name: &str, end: End, desk: &Desk, more: Html) -> Html {
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
    html! {
        <>
            { heading }
            { el("ul", "plan-rows", still.chain(costs).collect()) }
            { maybe((met > 0).then(|| all_of(plan, met))) }
            { say("p", "help", &plan.odds) }
            { more }
            <div class="suggestion-foot">
                { say("p", "help", &format!("{}.{sums}", plan.work)) }
                if plan.planned {
                    { say("b", "planned-mark", "Planned") }
                } else {
                    { way_button(&Way { label: "Plan this".into(), doc: plan.doc.clone() }, end, Some(name), desk) }
                }
            </div>
        </>
    }
}

fn is_missed(row: &Row) -> bool {
    row.severity != Severity::InBand
}

/// Every target in a table, closed.
fn all_of(plan: &Proposal, met: usize) -> Html {
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
    el(
        "details",
        "part-edit",
        vec![
            say("summary", "", &format!("Meets {met} of {} targets", plan.rows.len())),
            el("table", "answers plan-table", table),
        ],
    )
}

/// A button that takes over the target or the parts of a document.
pub fn way_button(way: &Way, end: End, of: Option<&str>, desk: &Desk) -> Html {
    let (desk, doc) = (desk.clone(), way.doc.clone());
    let onclick = Callback::from(move |_: MouseEvent| {
        let action = match json::read_json(&doc) {
            Ok(build) => match (build.targets.first(), build.truck.axle(end)) {
                (Some(target), _) => Action::Change(Change::Target(target.clone())),
                (None, Some(axle)) => {
                    Action::Change(Change::Parts(end, axle.planned.parts.clone()))
                }
                (None, None) => return,
            },
            Err(why) => Action::Tell(Tone::Trouble, why.to_string()),
        };
        desk.act(action);
    });
    let label = of.map(|of| format!("{}: {of}", way.label));
    html! { <button type="button" aria-label={label} {onclick}>{ way.label.clone() }</button> }
}
