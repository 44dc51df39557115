//! The job: what to get and make for the plan, how long, and what to do in which order, with each
//! caution where it matters.

use super::el::{el, maybe, say, text};
use super::fold::{Fold, Inside};
use crate::answers::Bench;
use crate::hooks::use_desk;
use crate::state::edit::system;
use fitment::measure::System;
use fitment::remedy::{self, Item, Job};
use fitment::words::capital;
use yew::prelude::*;

/// The job for the plan as it stands; none where nothing changes or it cannot be.
pub fn job_of(bench: &Bench, system: System) -> Option<Job> {
    remedy::job(&bench.truck, bench.end, system).ok().filter(|job| !job.tasks.is_empty())
}

/// A part in a line: what the person calls it, how it is set and how long it is.
pub fn item_words(item: &Item) -> String {
    if item.name.is_empty() { item.words.clone() } else { format!("{}: {}", item.name, item.words) }
}

/// Parts with their lengths, and what they come to.
pub fn cut_list(job: &Job) -> Html {
    let of = |name: &str, known: &Option<fitment::measure::Known>| {
        let known = known.as_ref()?;
        Some(format!(" {name} {}.", fitment::measure::format::brief(known.value)))
    };
    let items = job.items.iter().map(|item| {
        let own: String =
            [of("Price", &item.price), of("Hours", &item.hours)].into_iter().flatten().collect();
        let work = format!(". {}.{own}", capital(item.work.words()));
        el("li", "", vec![say("b", "", &item_words(item)), text(&work)])
    });
    let totals = &job.totals;
    let sums = [("Price", totals.price.words()), ("Hours", totals.hours.words())];
    let sums = sums.into_iter().filter_map(|(name, sum)| Some(format!("{name}: {}. ", sum?)));
    let sums: String = sums.collect();
    let off = (!job.off.is_empty()).then(|| format!("{} more come off. ", job.off.len()));
    let all = format!("{}{sums}{}.", off.unwrap_or_default(), capital(totals.work.words()));
    el(
        "div",
        "",
        vec![
            el("ol", "job-parts", items.collect()),
            maybe(job.items.iter().any(|item| !item.lengths.is_empty()).then(|| {
                say(
                    "p",
                    "help",
                    "Lengths are from eye middle to eye middle: what the ends take of the tube comes off before you cut.",
                )
            })),
            say("p", "", &all),
        ],
    )
}

/// What to do, step by step, under its stages.
pub fn order_of_work(job: &Job) -> Html {
    let mut parts = Vec::new();
    let mut tasks = job.tasks.iter().peekable();
    while let Some(first) = tasks.peek() {
        let stage = first.stage;
        let mut steps = Vec::new();
        while let Some(task) = tasks.next_if(|task| task.stage == stage) {
            let mut step = vec![text(&task.words)];
            if let Some(caution) = task.caution {
                step.push(say("p", "caution", caution));
            }
            steps.push(el("li", "", step));
        }
        parts.push(say("h3", "", stage.label()));
        parts.push(el("ul", "sheet-steps", steps));
    }
    el("div", "job", parts)
}

/// What is planned.
#[derive(Properties, PartialEq)]
pub struct JobCardProps {
    /// The answers of the axle.
    pub bench: Bench,
}

/// Both, worked out while open.
#[component]
pub fn JobCard(props: &JobCardProps) -> Html {
    let system = system(use_desk().state().preferences.units);
    let bench = props.bench.clone();
    let inside = Inside::of(move || match job_of(&bench, system) {
        None => say("p", "help", "Nothing is planned that is not on the truck already."),
        Some(job) => html! { <>{ cut_list(&job) }{ order_of_work(&job) }</> },
    });
    html! { <Fold class="job-card" keep=false summary="Parts, lengths and order of work for the plan" {inside} /> }
}

/// A page of paper of its own.
pub fn job_sheet(name: &str, job: &Job) -> Html {
    let section = |title, content| el("section", "", vec![say("h2", "", title), content]);
    let title =
        vec![say("h2", "", &format!("Order of work: {name}")), say("p", "", "Done by, and when:")];
    super::el::with(
        "article",
        &[("class", "sheet sheet-work sheet-job"), ("aria-label", "Order of work")],
        vec![
            el("section", "sheet-work-title", title),
            section("Parts and lengths", cut_list(job)),
            section("In this order", order_of_work(job)),
        ],
    )
}
