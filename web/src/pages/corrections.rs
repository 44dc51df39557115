//! What fixes it: parts and holes, the plan worked out at every touch, and suggestions.

use crate::answers::Bench;
use crate::components::answer_table;
use crate::components::board::Board;
use crate::components::cautions::cautions;
use crate::components::number_field::NumberField;
use crate::components::page_head::page_head;
use crate::components::part_card::{PartCardProps, fitted_like, part_card, part_name};
use crate::components::segments::segments;
use crate::components::severity::severity;
use crate::components::shelf_wheels::shelf_wheels;
use crate::components::suggestions::suggestions;
use crate::hooks::Desk;
use crate::state::catalog::Spec;
use crate::state::change::{same_kind, typical_parts};
use crate::state::field::end_name;
use crate::state::{Action, Change};
use crate::words;
use fitment::axle::Output;
use fitment::measure::Known;
use fitment::truck::{Axle, End, State};
use yew::prelude::*;

/// The page.
pub fn page(desk: &Desk, bench: &Bench) -> Html {
    let (axle, end) = (&*bench.axle, bench.end);
    html! {
        <>
            { page_head("What fixes it", desk) }
            { before_after(bench, desk) }
            <div class="two">
                <div class="beside">
                    <Board bench={bench.clone()} state={State::Planned} sliders=false />
                    <div class="row-buttons">
                        <button type="button" onclick={desk.on(move |_: MouseEvent| Action::Change(Change::PlanAsItSits(end)))}>{ "Plan from how it sits" }</button>
                    </div>
                </div>
                <div>
                    if !axle.shelf.parts.is_empty() { { suggestions(bench, desk) } }
                    <section aria-labelledby="parts-title">
                        <h2 id="parts-title">{ "Bolt on" }</h2>
                        <ul class="parts">
                            { for axle.shelf.parts.iter().enumerate().map(|(index, part)| part_card(&PartCardProps { end, index, part: part.clone(), fitted: fitted_like(&axle.planned.parts, part) }, desk)) }
                        </ul>
                        { more_parts(axle, end, desk) }
                    </section>
                    <section class="planned-wheel" aria-labelledby="wheel-title">
                        <h2 id="wheel-title">{ "Wheel and ride height" }</h2>
                        { spacers(axle, end, desk) }
                        { shelf_wheels(axle, end, desk) }
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

fn more_parts(axle: &Axle, end: End, desk: &Desk) -> Html {
    let missing = typical_parts(axle);
    let missing = missing
        .into_iter()
        .filter(|part| !axle.shelf.parts.iter().any(|there| same_kind(there, part)));
    let missing: Vec<_> = missing.collect();
    if missing.is_empty() {
        return html! {};
    }
    html! {
        <>
            <p class="help">{ "Parts you have or could get. Add one, then set its holes to what is in your hand." }</p>
            <div class="row-buttons">
                { for missing.into_iter().map(|part| {
                    let name = part_name(&part);
                    html! { <button type="button" onclick={desk.on(move |_: MouseEvent| Action::Change(Change::Shelve(end, part.clone())))}>{ format!("+ {name}") }</button> }
                }) }
            </div>
        </>
    }
}

fn spacers(axle: &Axle, end: End, desk: &Desk) -> Html {
    if axle.shelf.spacers_mm.is_empty() {
        return html! {};
    }
    let units = desk.state().preferences.units;
    let mut sizes = vec![0.0];
    sizes.extend(axle.shelf.spacers_mm.iter().map(|known: &Known| known.value));
    let on = sizes
        .iter()
        .position(|mm| (mm - axle.planned.spacer_mm.value).abs() < 0.01)
        .unwrap_or(usize::MAX);
    let options = sizes.iter().map(|mm| {
        if *mm == 0.0 {
            AttrValue::from("No spacer")
        } else {
            AttrValue::from(words::length(*mm, units))
        }
    });
    let options: Vec<_> = options.collect();
    let pick = desk.on(move |index: usize| {
        Action::Change(Change::Spacer(end, sizes.get(index).copied().unwrap_or_default()))
    });
    segments("Spacer", "small", options, on, &pick)
}

/// A row's name where there is little room.
const fn short(output: Output) -> &'static str {
    match output {
        Output::LateralShift => "Sideways",
        Output::Panhard => "Panhard",
        Output::Pinion => "Pinion",
        other => answer_table::name(other),
    }
}

/// As it sits against the plan, always in view.
fn before_after(bench: &Bench, desk: &Desk) -> Html {
    let units = desk.state().preferences.units;
    let (sitting, planned) = match (bench.state(State::Sitting), bench.state(State::Planned)) {
        (Ok(sitting), Ok(planned)) => (sitting, planned),
        (_, Err(why)) | (Err(why), _) => {
            return html! { <p class="no-answer" role="status">{ format!("The plan cannot be: {why}") }</p> };
        }
    };
    let judged = bench.findings(State::Planned);
    html! {
        <div class="before-after" role="region" aria-label="As it sits and planned">
            <table>
                <thead><tr><td></td><th scope="col">{ "Sits" }</th><th scope="col">{ "Planned" }</th><th scope="col" class="unseen-col"><span class="unseen">{ "How it comes out" }</span></th></tr></thead>
                <tbody aria-live="polite">
                    { for [Output::LateralShift, Output::Panhard, Output::Caster, Output::Pinion].into_iter().filter_map(|output| {
                        let (before, after) = (sitting.value(output)?, planned.value(output)?);
                        let verdict = judged.iter().find(|finding| finding.output == output);
                        Some(html! {
                            <tr>
                                <th scope="row">{ short(output) }</th>
                                <td>{ answer_table::text(output, before, units) }</td>
                                <td class="after">{ answer_table::text(output, after, units) }</td>
                                <td class="mark">if let Some(finding) = verdict { { severity(finding.verdict.severity) } }</td>
                            </tr>
                        })
                    }) }
                </tbody>
            </table>
        </div>
    }
}
