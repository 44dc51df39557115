//! What fixes it: parts and holes, the plan worked out at every touch, and suggestions.

use crate::answers::Bench;
use crate::components::answer_table;
use crate::components::board::Board;
use crate::components::cautions::cautions;
use crate::components::el::{el, say, text, with};
use crate::components::fold::{Fold, Inside};
use crate::components::job::JobCard;
use crate::components::number_field::NumberField;
use crate::components::page_head::page_head;
use crate::components::part_card::{more_parts, part_card};
use crate::components::plans::Plans;
use crate::components::severity::severity;
use crate::components::targets::targets;
use crate::hooks::Desk;
use crate::state::catalog::Spec;
use crate::state::field::end_name;
use crate::state::{Action, Change};
use fitment::axle::Output;
use fitment::truck::{End, State};
use yew::prelude::*;

/// The page.
pub fn page(desk: &Desk, bench: &Bench) -> Html {
    let (end, parts) = (bench.end, &bench.axle.shelf.parts);
    let numbers = {
        let (bench, units) = (bench.clone(), desk.state().preferences.units);
        Inside::of(move || answer_table::answer_table(&bench, &answer_table::FIRST, units))
    };
    html! {
        <>
            { page_head("What fixes it", desk) }
            { before_after(bench, desk) }
            <div class="two fixes">
                <div>
                    if !parts.is_empty() { <Plans {end} /> }
                    { targets(bench, desk) }
                    <JobCard bench={bench.clone()} />
                </div>
                <div class="beside">
                    <Board bench={bench.plain()} state={State::Planned} sliders=false />
                    <div class="row-buttons">
                        <button type="button" onclick={desk.on(move |_: MouseEvent| Action::Change(Change::PlanAsItSits(end)))}>{ "Plan from how it sits" }</button>
                    </div>
                    <Fold summary="Every number, side by side" inside={numbers} />
                </div>
                <div>
                    <section aria-labelledby="parts-title">
                        <h2 id="parts-title">{ "Bolt on" }</h2>
                        <ul class="parts">
                            { for parts.iter().enumerate().map(|(index, part)| part_card(bench, index, part, desk)) }
                        </ul>
                        { more_parts(bench, desk) }
                    </section>
                    <section class="planned-wheel" aria-labelledby="wheel-title">
                        <h2 id="wheel-title">{ "Wheel and ride height" }</h2>
                        <div class="fields">
                            { for planned_specs(end).into_iter().map(|spec| { let key = spec.path.clone(); html! { <NumberField {key} bare=true {spec} /> } }) }
                        </div>
                    </section>
                </div>
            </div>
            { cautions() }
        </>
    }
}

fn planned_specs(end: End) -> Vec<Spec> {
    let spec = |path: &str, label, help| Spec {
        path: format!("{}.planned.{path}", end_name(end)),
        label,
        help,
    };
    vec![
        spec("spacer_mm", "Spacer, planned", "Thickness between hub and wheel; 0 for none."),
        spec("lift_mm", "Lift, planned", "Over stock."),
        spec("tire.size", "Tire, planned", "As molded on the sidewall."),
        spec(
            "wheel.offset_mm",
            "Wheel offset, planned",
            "Positive when the mounting face is outboard of the rim's middle.",
        ),
        spec("wheel.width_mm", "Wheel width, planned", "Between the bead seats."),
    ]
}

/// What is always in view.
const ROWS: [Output; 4] = [Output::LateralShift, Output::Panhard, Output::Caster, Output::Pinion];

/// A row's name where there is little room.
const fn short(output: Output) -> &'static str {
    match output {
        Output::LateralShift => "Sideways",
        Output::Panhard => "Panhard",
        Output::Pinion => "Pinion",
        other => answer_table::name(other),
    }
}

/// Stock, as it sits and the plan, always in view, with what the plan changes.
fn before_after(bench: &Bench, desk: &Desk) -> Html {
    let units = desk.state().preferences.units;
    let (sitting, planned) = match (bench.state(State::Sitting), bench.state(State::Planned)) {
        (Ok(sitting), Ok(planned)) => (sitting, planned),
        (_, Err(why)) | (Err(why), _) => {
            return html! { <p class="no-answer" role="status">{ format!("The plan cannot be: {why}") }</p> };
        }
    };
    let stock = bench.state(State::Stock).ok();
    let judged = bench.findings(State::Planned);
    let rows = ROWS.into_iter().filter_map(|output| {
        let (before, after) = (sitting.value(output)?, planned.value(output)?);
        let verdict = judged.iter().find(|finding| finding.output == output);
        let text_of = |value| answer_table::text(output, value, units);
        let was = stock.and_then(|stock| stock.value(output)).map_or("—".into(), text_of);
        let mut cell = vec![text(&text_of(after))];
        cell.extend(answer_table::moved(output, before, after, units));
        let mark = verdict.map(|it| severity(it.verdict.severity)).into_iter().collect();
        let name = with("th", &[("scope", "row")], vec![text(short(output))]);
        let [was, now] = [was, text_of(before)].map(|words| say("td", "", &words));
        Some(el("tr", "", vec![name, was, now, el("td", "after", cell), el("td", "mark", mark)]))
    });
    html! {
        <div class="before-after" role="region" aria-label="Stock, as it sits and planned">
            <table>
                <thead><tr><td></td><th scope="col">{ "Stock" }</th><th scope="col">{ "Sits" }</th><th scope="col">{ "Planned" }</th><th scope="col" class="unseen-col"><span class="unseen">{ "How it comes out" }</span></th></tr></thead>
                <tbody aria-live="polite">{ for rows }</tbody>
            </table>
        </div>
    }
}
