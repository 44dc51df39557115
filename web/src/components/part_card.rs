//! One part on the shelf: fitted or not, which hole, which angle, how long; what it does, costs and
//! needs; its measurements.

use super::fold::{Fold, Inside};
use super::number_field::NumberField;
use super::plain_numbers::{Plain, PlainNumbers};
use super::segments::segments;
use super::slider::{Slide, slider};
use crate::answers::Bench;
use crate::hooks::Desk;
use crate::state::catalog::Spec;
use crate::state::edit::Quantity;
use crate::state::field::end_name;
use crate::state::shelf::{ShelfChange, fitted_like};
use crate::state::{Action, Change};
use crate::words;
use buildfile::Units;
use fitment::measure::format;
use fitment::truck::{Hole, Offer, Part, PartKind, Step};
use yew::prelude::*;

/// A part as it comes and as it is planned.
struct Card {
    bench: Bench,
    /// Where it is on the shelf.
    index: usize,
    /// Where the plan has it, and as it is set there.
    fitted: Option<(usize, Part)>,
    units: Units,
    desk: Desk,
}

/// The chosen setting of a part, short.
pub fn setting(part: &Part, units: Units) -> String {
    match part {
        Part::Bracket { holes, hole, .. } => {
            holes.get(*hole).map_or_else(String::new, |hole| format!("hole “{}”", hole.name))
        }
        Part::Turn { angle_deg: deg, .. } | Part::SteeringStop { lock_deg: deg, .. } => {
            format::degrees(deg.value, 1)
        }
        Part::ArchTrim { depth_mm: mm } | Part::Step { step_mm: mm, .. } => {
            words::length(mm.value, units)
        }
        Part::Length { change_mm, .. } => {
            let text = words::length(change_mm.value.abs(), units);
            match change_mm.value {
                mm if mm > 0.05 => format!("{text} longer"),
                mm if mm < -0.05 => format!("{text} shorter"),
                _ => "stock length".into(),
            }
        }
        Part::Bend { x_mm, y_mm, z_mm } => way([x_mm, y_mm, z_mm].map(|known| known.value), units),
        Part::Tire { tire } => tire.size.clone(),
        Part::Wheel { wheel } => format!("offset {}", words::length(wheel.offset_mm.value, units)),
        Part::DoubleCardan {} => "fitted".into(),
    }
}

/// A part's kind and setting in a line.
pub fn part_words(part: &Part, units: Units) -> String {
    format!("{}, {}", part.kind().label(), setting(part, units))
}

/// How far forward, outboard and up in words.
fn way([x, y, z]: [f64; 3], units: Units) -> String {
    let mut moves = Vec::new();
    for (mm, more, less) in [(z, "up", "down"), (x, "forward", "back"), (y, "left", "right")] {
        if mm.abs() > 0.05 {
            let word = if mm > 0.0 { more } else { less };
            moves.push(format!("{} {word}", words::length(mm.abs(), units)));
        }
    }
    if moves.is_empty() { "stock place".into() } else { moves.join(", ") }
}

/// The card of one part on the shelf.
pub fn part_card(bench: &Bench, index: usize, offer: &Offer, desk: &Desk) -> Html {
    let (end, fitted) = (bench.end, fitted_like(&bench.axle, &offer.part));
    let toggle = {
        let (part, fitted) = (offer.part.clone(), fitted.as_ref().map(|(at, _)| *at));
        desk.on(move |_: MouseEvent| {
            Action::Change(match fitted {
                Some(at) => Change::Remove(end, at),
                None => Change::Fit(end, part.clone()),
            })
        })
    };
    let units = desk.state().preferences.units;
    let card = Card { bench: bench.clone(), index, fitted, units, desk: desk.clone() };
    let on = card.fitted.is_some();
    let traits = offer.part.kind().traits();
    let name = if offer.name.is_empty() { traits.label.to_owned() } else { offer.name.clone() };
    let choice = card.choice();
    html! {
        <li key={index} class={classes!("part", on.then_some("on"))}>
            <button type="button" class="part-head" role="switch" aria-checked={on.to_string()} onclick={toggle}>
                <span class="switch" aria-hidden="true"></span>
                <span class="part-name">{ name }<small>{ traits.changes }</small></span>
            </button>
            { choice }
            <Fold summary="Its measurements, price and what it takes" inside={Inside::of(move || card.details())} />
        </li>
    }
}

impl Card {
    /// All that is entered for it, and what it takes.
    fn details(&self) -> Html {
        let Some(offer) = self.bench.axle.shelf.parts.get(self.index) else { return html! {} };
        let traits = offer.part.kind().traits();
        html! {
            <>
                { self.measurements(&offer.part) }
                <div class="fields three">
                    { self.own("name", "Your name for it", "As you would ask for it.") }
                    { self.own("price", "Price", "In your own money.") }
                    { self.own("hours", "Hours", "To fit it, as you reckon.") }
                </div>
                <p class="help">{ traits.touches }{ " Takes " }{ traits.work.words() }{ "." }</p>
                <p class="caution">{ traits.caution }</p>
                { self.button("Take it off the list", ShelfChange::Remove(self.index)) }
            </>
        }
    }

    fn button(&self, words: &'static str, change: ShelfChange) -> Html {
        let end = self.bench.end;
        let onclick =
            self.desk.on(move |_: MouseEvent| Action::Change(Change::Shelf(end, change.clone())));
        html! { <button type="button" class="quiet" {onclick}>{ words }</button> }
    }

    /// A field of the part on the shelf.
    fn own(&self, name: &str, label: &'static str, help: &'static str) -> Html {
        let path = format!("{}.shelf.parts[{}].{name}", end_name(self.bench.end), self.index);
        let key = path.clone();
        html! { <NumberField {key} bare=true spec={Spec { path, label, help }} /> }
    }

    /// Which hole, angle or length the plan has.
    fn choice(&self) -> Html {
        let Some((at, shown)) = &self.fitted else { return html! {} };
        let (at, end, units, desk) = (*at, self.bench.end, self.units, &self.desk);
        // The setting to type, where choosing is too coarse.
        let exactly = |name: &str, label, help| {
            let path = format!("{}.planned.parts[{at}].{name}", end_name(end));
            let key = path.clone();
            html! { <NumberField {key} bare=true spec={Spec { path, label, help }} /> }
        };
        let slide = |label, [low, high]: [f64; 2], value| {
            slider(&Slide {
                id: format!("set-{}-{at}", end_name(end)).into(),
                label,
                text: setting(shown, units).into(),
                low,
                high,
                step: 0.5,
                value,
                moved: desk.on(move |to: f64| Action::Change(Change::Set(end, at, to))),
            })
        };
        let one_of = |label, choices: &[f64], set: f64, text: &dyn Fn(f64) -> String| {
            let on = choices.iter().position(|choice| (choice - set).abs() < 1e-6);
            let options = choices.iter().map(|choice| AttrValue::from(text(*choice))).collect();
            let choices = choices.to_vec();
            let pick = desk.on(move |index: usize| {
                Action::Change(Change::Set(
                    end,
                    at,
                    choices.get(index).copied().unwrap_or_default(),
                ))
            });
            segments(label, "", options, on.unwrap_or(usize::MAX), &pick)
        };
        match shown {
            Part::Bracket { holes, hole, .. } => {
                let pick = desk.on(move |hole: usize| Action::Change(Change::Hole(end, at, hole)));
                let name = format!("{}-{at}", end_name(end));
                let drag = slider(&Slide {
                    id: format!("hole-{name}").into(),
                    label: "From hole to hole",
                    text: setting(shown, units).into(),
                    low: 0.0,
                    high: holes.len().saturating_sub(1) as f64,
                    step: 1.0,
                    value: *hole as f64,
                    moved: pick.reform(nearest),
                });
                html! {
                    <>
                        { hole_choice(holes, *hole, &pick, &name, units) }
                        if holes.len() > 2 { { drag } }
                    </>
                }
            }
            Part::Turn { angle_deg, choices_deg, .. } => html! {
                <>
                    { one_of("Angle", choices_deg, angle_deg.value, &|deg| format::degrees(deg, 1)) }
                    { exactly("angle_deg", "Angle, exactly", "Positive adds caster.") }
                </>
            },
            Part::Step { of, step_mm, choices_mm } => html! {
                <>
                    { one_of("Size", choices_mm, step_mm.value, &|mm| words::length(mm, units)) }
                    { exactly("step_mm", step_label(*of), step_help(*of)) }
                </>
            },
            Part::Length { change_mm, range_mm, .. } => html! {
                <>
                    if range_mm[0] < range_mm[1] { { slide("Length", *range_mm, change_mm.value) } }
                    { exactly("change_mm", "Change, exactly", "Longer than stock is positive.") }
                </>
            },
            Part::SteeringStop { lock_deg, range_deg } => html! {
                <>
                    { slide("Largest steer", *range_deg, lock_deg.value) }
                    { exactly("lock_deg", "Largest steer, exactly", "Of the wheel that turns farther.") }
                </>
            },
            Part::ArchTrim { .. } => {
                exactly("depth_mm", "Cut back by", "From the edge as it is now, all round.")
            }
            Part::Bend { .. } | Part::DoubleCardan {} | Part::Wheel { .. } | Part::Tire { .. } => {
                html! {}
            }
        }
    }

    /// What the part is like, to type.
    fn measurements(&self, part: &Part) -> Html {
        let index = self.index;
        match part {
            Part::Bracket { holes, .. } => html! {
                <>
                    <p class="help">{ "From the stock hole to each hole, center to center." }</p>
                    { for holes.iter().enumerate().map(|(hole, it)| {
                        let at = |name: &str| format!("part.holes[{hole}].{name}");
                        html! {
                            <fieldset key={hole}>
                                <legend>{ if it.name.is_empty() { format!("Hole {}", hole + 1) } else { it.name.clone() } }</legend>
                                <div class="fields three">
                                    { self.own(&at("z_mm"), "Up", "Negative when below the stock hole.") }
                                    { self.own(&at("x_mm"), "Forward", "Negative when behind the stock hole.") }
                                    { self.own(&at("y_mm"), "Left", "For a pair of brackets: outboard.") }
                                    { self.own(&at("name"), "Called", "What is stamped beside it.") }
                                </div>
                                if holes.len() > 1 { { self.button("Take this hole away", ShelfChange::TakeHole(index, hole)) } }
                            </fieldset>
                        }
                    }) }
                    { self.button("Another hole", ShelfChange::AddHole(index)) }
                </>
            },
            Part::Turn { choices_deg, .. } => {
                self.choices("part.angle_deg", choices_deg, &|deg| format::degrees(deg, 1))
            }
            Part::Step { choices_mm, .. } => {
                self.choices("part.step_mm", choices_mm, &|mm| words::length(mm, self.units))
            }
            Part::Length { range_mm, .. } => {
                self.range(*range_mm, ["Shortest", "Longest"], Quantity::Length)
            }
            Part::SteeringStop { range_deg, .. } => {
                self.range(*range_deg, ["Smallest", "Largest"], Quantity::Angle)
            }
            Part::Bend { .. } => html! {
                <div class="fields three">
                    { self.own("part.z_mm", "Bent up", "At the middle, from a straight line eye to eye.") }
                    { self.own("part.x_mm", "Bent forward", "The same.") }
                    { self.own("part.y_mm", "Bent outboard", "The same; inboard, away from the tire, is negative.") }
                </div>
            },
            Part::Wheel { .. } => html! {
                <div class="fields">
                    { self.own("part.wheel.width_mm", "Width", "Between the bead seats.") }
                    { self.own("part.wheel.offset_mm", "Offset", "Positive when the mounting face is outboard of the rim's middle.") }
                </div>
            },
            Part::Tire { .. } => html! {
                <div class="fields">
                    { self.own("part.tire.size", "Size", "As molded on the sidewall.") }
                    { self.own("part.tire.diameter_mm", "Diameter", "Measured, standing free; empty takes the size's.") }
                    { self.own("part.tire.section_mm", "Width", "Measured on its wheel; empty takes the size's.") }
                </div>
            },
            // Everything about these is in the plan itself.
            Part::ArchTrim { .. } | Part::DoubleCardan {} => html! {},
        }
    }

    /// Angles or sizes it comes in.
    fn choices(&self, path: &str, choices: &[f64], text: &dyn Fn(f64) -> String) -> Html {
        let index = self.index;
        html! {
            <>
                <div class="row-buttons">
                    { for choices.iter().enumerate().map(|(at, choice)| {
                        let end = self.bench.end;
                        let away = self.desk.on(move |_: MouseEvent| Action::Change(Change::Shelf(end, ShelfChange::TakeChoice(index, at))));
                        html! { <button type="button" key={at} class="quiet" onclick={away}>{ format!("Without {}", text(*choice)) }</button> }
                    }) }
                </div>
                { self.own(path, "One more you can get", "Printed on it, or measured.") }
                { self.button("Offer it", ShelfChange::AddChoice(index)) }
            </>
        }
    }

    /// How far it can be set each way.
    fn range(&self, [low, high]: [f64; 2], labels: [&'static str; 2], quantity: Quantity) -> Html {
        let (end, index, desk) = (self.bench.end, self.index, self.desk.clone());
        let plain = |label, value| Plain { label, value: Some(value), quantity, empty: "" };
        let numbers = vec![plain(labels[0], low), plain(labels[1], high)];
        let take = Callback::from(move |values: Vec<Option<f64>>| {
            if let [Some(low), Some(high)] = values[..] {
                let range = ShelfChange::Range(index, [low, high]);
                desk.act(Action::Change(Change::Shelf(end, range)));
            }
        });
        let id = format!("range-{}-{index}", end_name(end));
        html! {
            <>
                <p class="help">{ "How far it sets, against stock. The same twice for one that does not." }</p>
                <PlainNumbers key={format!("{low}-{high}")} {id} {numbers} button="It sets so far" {take} />
            </>
        }
    }
}

const fn step_label(of: Step) -> &'static str {
    match of {
        Step::Spacer => "Thickness, exactly",
        Step::Spring => "Higher by, exactly",
        Step::Pitman | Step::TransferCase => "Drop, exactly",
    }
}

const fn step_help(of: Step) -> &'static str {
    match of {
        Step::Spacer => "In place of the spacers there are.",
        Step::Spring => "On top of the planned lift; lower is negative.",
        Step::Pitman => "Lower than the stock arm's joint.",
        Step::TransferCase => {
            "Lower than on its own mounts. Measure the output's slope again after."
        }
    }
}

/// The bracket as drawn on the bench: its holes, one filled.
fn hole_choice(
    holes: &[Hole],
    on: usize,
    pick: &Callback<usize>,
    name: &str,
    units: Units,
) -> Html {
    html! {
        <fieldset class="holes">
            <legend class="unseen">{ "Hole in use" }</legend>
            { for holes.iter().enumerate().map(|(index, hole)| {
                let onchange = pick.reform(move |_: Event| index);
                let moved = way([&hole.x_mm, &hole.y_mm, &hole.z_mm].map(|known| known.value), units);
                html! {
                    <label key={index} class="hole">
                        <input type="radio" name={format!("hole-{name}")} checked={index == on} {onchange} />
                        <span class="hole-ring" aria-hidden="true"></span>
                        <span class="hole-name">{ hole.name.clone() }<small>{ moved }</small></span>
                    </label>
                }
            }) }
        </fieldset>
    }
}

/// Kinds that an axle can wear and the shelf may hold one more of, as buttons that add one.
pub fn more_parts(bench: &Bench, desk: &Desk) -> Html {
    let (bench, desk) = (bench.clone(), desk.clone());
    let inside = Inside::of(move || {
        let (axle, end) = (&*bench.axle, bench.end);
        let many = |kind: PartKind| matches!(kind, PartKind::Wheel | PartKind::Tire);
        let there = |kind| axle.shelf.parts.iter().any(|offer| offer.part.kind() == kind);
        let fits =
            |kind: &PartKind| kind.traits().needs.met(axle) && (many(*kind) || !there(*kind));
        let button = |kind: PartKind| {
            let part = Part::typical(kind, axle);
            let onclick = desk.on(move |_: MouseEvent| {
                Action::Change(Change::Shelf(end, ShelfChange::Add(Box::new(part.clone()))))
            });
            html! { <button type="button" {onclick}>{ format!("+ {}", kind.label()) }</button> }
        };
        html! {
            <>
                <p class="help">{ "Then set its holes or sizes to what is in your hand." }</p>
                <div class="row-buttons">{ for PartKind::ALL.into_iter().filter(fits).map(button) }</div>
            </>
        }
    });
    html! { <Fold summary="Add a part you have or could get" {inside} /> }
}

/// The hole a slider stands at.
fn nearest(to: f64) -> usize {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "saturates")]
    let hole = to as usize;
    hole
}
