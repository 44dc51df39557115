//! One part on the shelf: fitted or not, which hole, which angle, how long.

use super::number_field::NumberField;
use super::segments::segments;
use super::slider::{Slide, slider};
use crate::hooks::Desk;
use crate::state::catalog::Spec;
use crate::state::change::same_kind;
use crate::state::field::end_name;
use crate::state::{Action, Change};
use crate::words;
use fitment::measure::format;
use fitment::truck::{End, Hole, Part};
use yew::prelude::*;

/// The part.
pub struct PartCardProps {
    /// The axle.
    pub end: End,
    /// Where it is on the shelf.
    pub index: usize,
    /// As it is on the shelf.
    pub part: Part,
    /// Where the plan has one of its kind, and that one.
    pub fitted: Option<(usize, Part)>,
}

/// A part's name.
pub const fn part_name(part: &Part) -> &'static str {
    match part {
        Part::PanhardAxleBracket { .. } => "Panhard bracket, axle end",
        Part::PanhardChassisBracket { .. } => "Panhard bracket, chassis end",
        Part::PanhardLength { .. } => "Adjustable Panhard bar",
        Part::ArmBracket { .. } => "Arm drop brackets",
        Part::CasterBush { .. } => "Caster bushes",
        Part::DragLinkLength { .. } => "Adjustable drag link",
        Part::UpperLinkLength { .. } => "Adjustable upper link",
        Part::ArchTrim { .. } => "Arch trimmed",
        Part::BumpStop { .. } => "Bump stop",
        Part::SteeringStop { .. } => "Steering stop",
    }
}

/// What it does, in one line.
pub const fn part_words(part: &Part) -> &'static str {
    match part {
        Part::PanhardAxleBracket { .. } => {
            "Raises the bar's axle end: flattens the bar. The length stays."
        }
        Part::PanhardChassisBracket { .. } => {
            "Lowers the bar's chassis end: flattens the bar. The length stays."
        }
        Part::PanhardLength { .. } => "Moves the axle sideways. The angle hardly changes.",
        Part::ArmBracket { .. } => {
            "Lowers the arms' chassis eyes: brings caster back, and the pinion with it."
        }
        Part::CasterBush { .. } => {
            "Turns the axle in its arms: caster back, pinion tipped as much."
        }
        Part::DragLinkLength { .. } => "Brings the steering wheel back to center. The tires stay.",
        Part::UpperLinkLength { .. } => "Turns the axle: caster and pinion together.",
        Part::ArchTrim { .. } => "Cuts the opening back all round: room for the tread.",
        Part::BumpStop { .. } => "Longer stops the wheel sooner in bump: room above, less travel.",
        Part::SteeringStop { .. } => {
            "Stops the wheel sooner when turned: room at lock, a wider turning circle."
        }
    }
}

/// The planned part of a shelf part's kind.
pub fn fitted_like(planned: &[Part], part: &Part) -> Option<(usize, Part)> {
    planned
        .iter()
        .enumerate()
        .find(|(_, there)| same_kind(there, part))
        .map(|(i, p)| (i, p.clone()))
}

/// The chosen setting of a part, short.
pub fn setting(part: &Part, units: buildfile::Units) -> String {
    match part {
        Part::PanhardAxleBracket { holes, hole }
        | Part::PanhardChassisBracket { holes, hole }
        | Part::ArmBracket { holes, hole } => {
            holes.get(*hole).map_or_else(String::new, |hole| format!("hole “{}”", hole.name))
        }
        Part::CasterBush { angle_deg: deg, .. } | Part::SteeringStop { lock_deg: deg, .. } => {
            format::degrees(deg.value, 1)
        }
        Part::ArchTrim { depth_mm } => words::length(depth_mm.value, units),
        Part::PanhardLength { change_mm, .. }
        | Part::DragLinkLength { change_mm, .. }
        | Part::UpperLinkLength { change_mm, .. }
        | Part::BumpStop { change_mm, .. } => {
            let text = words::length(change_mm.value.abs(), units);
            match change_mm.value {
                mm if mm > 0.05 => format!("{text} longer"),
                mm if mm < -0.05 => format!("{text} shorter"),
                _ => "stock length".into(),
            }
        }
    }
}

/// The card.
pub fn part_card(props: &PartCardProps, desk: &Desk) -> Html {
    let (end, index) = (props.end, props.index);
    let on = props.fitted.is_some();
    let toggle = {
        let (part, fitted) = (props.part.clone(), props.fitted.clone());
        desk.on(move |_: MouseEvent| {
            Action::Change(match &fitted {
                Some((at, _)) => Change::Remove(end, *at),
                None => Change::Fit(end, part.clone()),
            })
        })
    };
    let shown = props.fitted.as_ref().map_or(&props.part, |(_, part)| part);
    html! {
        <li key={index} class={classes!("part", on.then_some("on"))}>
            <button type="button" class="part-head" role="switch" aria-checked={on.to_string()} onclick={toggle}>
                <span class="switch" aria-hidden="true"></span>
                <span class="part-name">{ part_name(&props.part) }<small>{ part_words(&props.part) }</small></span>
            </button>
            if on { { choice(props, shown, desk) } }
            <details class="part-edit">
                <summary>{ "Its measurements" }</summary>
                { holes_editor(props, desk) }
                <button type="button" class="quiet" onclick={desk.on(move |_: MouseEvent| Action::Change(Change::Unshelve(end, index)))}>{ "Take it off the list" }</button>
            </details>
        </li>
    }
}

/// Which hole, angle or length.
fn choice(props: &PartCardProps, shown: &Part, desk: &Desk) -> Html {
    let Some((at, _)) = props.fitted else { return html! {} };
    let end = props.end;
    let units = desk.state().preferences.units;
    match shown {
        Part::PanhardAxleBracket { holes, hole }
        | Part::PanhardChassisBracket { holes, hole }
        | Part::ArmBracket { holes, hole } => {
            let pick = desk.on(move |hole: usize| Action::Change(Change::Hole(end, at, hole)));
            hole_choice(holes, *hole, &pick, &format!("{}-{at}", end_name(end)), units)
        }
        Part::CasterBush { angle_deg, choices_deg } => {
            let on = choices_deg
                .iter()
                .position(|choice| (choice - angle_deg.value).abs() < 1e-6)
                .unwrap_or(usize::MAX);
            let choices = choices_deg.clone();
            let pick = desk.on(move |index: usize| {
                let angle = choices.get(index).copied().unwrap_or_default();
                Action::Change(Change::BushAngle(end, at, angle))
            });
            let options = choices_deg.iter().map(|deg| AttrValue::from(format::degrees(*deg, 1)));
            html! {
                <>
                    { segments("Angle", "", options.collect::<Vec<_>>(), on, &pick) }
                    { exactly(end, at, "angle_deg", "Angle, exactly", "Positive adds caster.") }
                </>
            }
        }
        Part::PanhardLength { change_mm, range_mm }
        | Part::DragLinkLength { change_mm, range_mm }
        | Part::UpperLinkLength { change_mm, range_mm }
        | Part::BumpStop { change_mm, range_mm } => {
            let moved = desk.on(move |mm: f64| Action::Change(Change::Length(end, at, mm)));
            let slide = slider(&Slide {
                id: format!("length-{}-{at}", end_name(end)).into(),
                label: "Length",
                text: setting(shown, units).into(),
                low: range_mm[0],
                high: range_mm[1],
                step: 0.5,
                value: change_mm.value,
                moved,
            });
            html! {
                <>
                    { slide }
                    { exactly(end, at, "change_mm", "Change, exactly", "Longer than stock is positive.") }
                </>
            }
        }
        Part::SteeringStop { lock_deg, range_deg } => {
            let moved = desk.on(move |deg: f64| Action::Change(Change::Lock(end, at, deg)));
            let slide = slider(&Slide {
                id: format!("lock-{}-{at}", end_name(end)).into(),
                label: "Largest steer",
                text: setting(shown, units).into(),
                low: range_deg[0],
                high: range_deg[1],
                step: 0.5,
                value: lock_deg.value,
                moved,
            });
            html! {
                <>
                    { slide }
                    { exactly(end, at, "lock_deg", "Largest steer, exactly", "Of the wheel that turns farther.") }
                </>
            }
        }
        Part::ArchTrim { .. } => {
            exactly(end, at, "depth_mm", "Cut back by", "From the edge as it is now, all round.")
        }
    }
}

/// The setting of a planned part to type, where choosing is too coarse.
fn exactly(end: End, at: usize, name: &str, label: &'static str, help: &'static str) -> Html {
    let path = format!("{}.planned.parts[{at}].{name}", end_name(end));
    let key = path.clone();
    html! { <NumberField {key} bare=true spec={Spec { path, label, help }} /> }
}

/// The bracket as drawn on the bench: its holes, one filled.
fn hole_choice(
    holes: &[Hole],
    on: usize,
    pick: &Callback<usize>,
    name: &str,
    units: buildfile::Units,
) -> Html {
    html! {
        <fieldset class="holes">
            <legend class="unseen">{ "Hole in use" }</legend>
            { for holes.iter().enumerate().map(|(index, hole)| {
                let onchange = pick.reform(move |_: Event| index);
                let mut moves = Vec::new();
                if hole.z_mm.value.abs() > 0.05 {
                    let way = if hole.z_mm.value > 0.0 { "up" } else { "down" };
                    moves.push(format!("{} {way}", words::length(hole.z_mm.value.abs(), units)));
                }
                if hole.x_mm.value.abs() > 0.05 {
                    let way = if hole.x_mm.value > 0.0 { "forward" } else { "back" };
                    moves.push(format!("{} {way}", words::length(hole.x_mm.value.abs(), units)));
                }
                if hole.y_mm.value.abs() > 0.05 {
                    let way = if hole.y_mm.value > 0.0 { "left" } else { "right" };
                    moves.push(format!("{} {way}", words::length(hole.y_mm.value.abs(), units)));
                }
                html! {
                    <label key={index} class="hole">
                        <input type="radio" name={format!("hole-{name}")} checked={index == on} {onchange} />
                        <span class="hole-ring" aria-hidden="true"></span>
                        <span class="hole-name">{ hole.name.clone() }<small>{ if moves.is_empty() { "stock place".to_owned() } else { moves.join(", ") } }</small></span>
                    </label>
                }
            }) }
        </fieldset>
    }
}

/// Where each hole is.
fn holes_editor(props: &PartCardProps, desk: &Desk) -> Html {
    let (end, index) = (props.end, props.index);
    match &props.part {
        Part::PanhardAxleBracket { holes, .. }
        | Part::PanhardChassisBracket { holes, .. }
        | Part::ArmBracket { holes, .. } => html! {
            <>
                <p class="help">{ "From the stock hole to each hole, center to center." }</p>
                { for holes.iter().enumerate().map(|(hole, it)| {
                    let at = |axis: &str| format!("{}.shelf.parts[{index}].holes[{hole}].{axis}", end_name(end));
                    html! {
                        <fieldset key={hole}>
                            <legend>{ it.name.clone() }</legend>
                            <div class="fields three">
                                <NumberField bare=true spec={Spec { path: at("z_mm"), label: "Up", help: "Negative when below the stock hole." }} />
                                <NumberField bare=true spec={Spec { path: at("x_mm"), label: "Forward", help: "Negative when behind the stock hole." }} />
                                <NumberField bare=true spec={Spec { path: at("y_mm"), label: "Left", help: "For a pair of brackets: outboard." }} />
                            </div>
                        </fieldset>
                    }
                }) }
                <button type="button" class="quiet" onclick={desk.on(move |_: MouseEvent| Action::Change(Change::AddHole(end, index)))}>{ "Another hole" }</button>
            </>
        },
        Part::CasterBush { choices_deg, .. } => html! {
            <>
                <p class="help">{ format!("Comes in {}.", choices_deg.iter().map(|d| format::degrees(*d, 1)).collect::<Vec<_>>().join(", ")) }</p>
                <NumberField bare=true spec={Spec { path: format!("{}.shelf.parts[{index}].angle_deg", end_name(end)), label: "An angle you can get", help: "Printed on the bush or its bag; positive adds caster." }} />
                <button type="button" class="quiet" onclick={desk.on(move |_: MouseEvent| Action::Change(Change::OfferAngle(end, index)))}>{ "Offer this angle" }</button>
            </>
        },
        // Everything about these two is in the plan itself.
        Part::ArchTrim { .. } | Part::SteeringStop { .. } => html! {},
        Part::PanhardLength { range_mm, .. }
        | Part::DragLinkLength { range_mm, .. }
        | Part::UpperLinkLength { range_mm, .. }
        | Part::BumpStop { range_mm, .. } => {
            let units = desk.state().preferences.units;
            html! {
                <>
                    <p class="help">{ format!("Sets from {} to {} against stock.", words::length(range_mm[0], units), words::length(range_mm[1], units)) }</p>
                    <button type="button" class="quiet" onclick={desk.on(move |_: MouseEvent| Action::Change(Change::Reach(end, index, 10.0)))}>{ format!("Mine sets {} further each way", words::length(10.0, units)) }</button>
                </>
            }
        }
    }
}
