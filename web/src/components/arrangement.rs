//! How the axle is put together: what holds it, what springs it, what steers it. Every choice is
//! one step that undo takes back, with all that was typed.

use super::segments::segments;
use crate::hooks::Desk;
use crate::state::arrange::{self, Pair, Sideways, Spring, Steers};
use crate::state::{Action, Change};
use fitment::truck::{Axle, Carrier, End, Layout, LayoutKind, Mount, ShaftKind, Side};
use yew::prelude::*;

/// A layout's name.
pub const fn layout_name(kind: LayoutKind) -> &'static str {
    match kind {
        LayoutKind::RadiusArms => "Radius arms",
        LayoutKind::ThreeLink => "Three-link",
        LayoutKind::FourLink => "Four-link",
        LayoutKind::Triangulated => "Triangulated four-link",
        LayoutKind::Leaf => "Leaf springs",
    }
}

/// How to recognize a layout.
pub const fn layout_words(kind: LayoutKind) -> &'static str {
    match kind {
        LayoutKind::RadiusArms => {
            "One arm each side, clamped to the axle by two bolts; something across holds it sideways."
        }
        LayoutKind::ThreeLink => {
            "Two lower links and one upper link; something across holds it sideways."
        }
        LayoutKind::FourLink => {
            "Two lower and two upper links, all nearly straight fore and aft; something across holds it sideways."
        }
        LayoutKind::Triangulated => {
            "Two lower and two upper links, of which one pair runs well outward or inward and holds the axle sideways. Nothing runs across."
        }
        LayoutKind::Leaf => "A stack of leaves each side, bolted to the axle in the middle.",
    }
}

/// Buttons of which each makes a change.
fn pick(label: &'static str, desk: &Desk, options: Vec<(&'static str, Change)>, on: usize) -> Html {
    let names: Vec<AttrValue> = options.iter().map(|(name, _)| AttrValue::from(*name)).collect();
    let class = if names.len() > 3 { "many" } else { "" };
    let changes: Vec<Change> = options.into_iter().map(|(_, change)| change).collect();
    let desk = desk.clone();
    let picked = Callback::from(move |index: usize| {
        // The one that is on stays as it is.
        if index != on
            && let Some(change) = changes.get(index)
        {
            desk.act(Action::Change(change.clone()));
        }
    });
    html! {
        <div class="choice">
            <span class="choice-name" aria-hidden="true">{ label }</span>
            { segments(label, class, names, on, &picked) }
        </div>
    }
}

/// The layout, with what recognizes it.
pub fn layout_choice(axle: &Axle, end: End, desk: &Desk) -> Html {
    let kind = axle.kind();
    let options = LayoutKind::ALL.map(|kind| (layout_name(kind), Change::Layout(end, kind)));
    let on = LayoutKind::ALL.iter().position(|it| *it == kind).unwrap_or(usize::MAX);
    html! {
        <>
            { pick("Layout", desk, options.to_vec(), on) }
            <p class="help">{ layout_words(kind) }</p>
        </>
    }
}

/// Which way round the layout's members lie, and what holds the axle sideways.
pub fn layout_details(axle: &Axle, end: End, desk: &Desk) -> Html {
    let forward = arrange::runs_forward(&axle.layout);
    let turn = || Change::TurnRound(end);
    let round = match axle.layout {
        Layout::RadiusArms { .. } => {
            let options = vec![("Behind it (leading)", turn()), ("Ahead of it (trailing)", turn())];
            pick("Arms' chassis eyes, from the axle", desk, options, usize::from(forward))
        }
        Layout::LeafSprings { .. } => {
            let over = arrange::springs_over(&axle.layout);
            let lie = vec![
                ("Over the axle", Change::TurnOver(end)),
                ("Under the axle", Change::TurnOver(end)),
            ];
            html! {
                <>
                    { pick("Springs", desk, lie, usize::from(!over)) }
                    { pick("Shackles", desk, vec![("At the rear", turn()), ("At the front", turn())], usize::from(forward)) }
                </>
            }
        }
        _ => html! {},
    };
    let held = arrange::sideways_of(axle.kind());
    let by = arrange::sideways(axle);
    let options = held.iter().map(|by| {
        let name = match by {
            Sideways::Panhard => "Panhard bar",
            Sideways::Watts => "Watts linkage",
            Sideways::Members => "The leaves alone",
        };
        (name, Change::Sideways(end, *by))
    });
    let on = held.iter().position(|it| *it == by).unwrap_or(usize::MAX);
    html! {
        <>
            { round }
            if held.len() > 1 { { pick("Held sideways by", desk, options.collect(), on) } }
        </>
    }
}

/// The choices that belong to a group of fields.
pub fn group_choices(slug: &str, axle: &Axle, end: End, desk: &Desk) -> Html {
    match slug {
        "linkage" => linkage_choices(axle, end, desk),
        "watts" => {
            let on =
                axle.watts.as_ref().map_or(0, |it| usize::from(it.crank_on == Carrier::Chassis));
            let options = vec![
                ("On the axle", Change::Crank(end, Carrier::Axle)),
                ("On the chassis", Change::Crank(end, Carrier::Chassis)),
            ];
            pick("Crank", desk, options, on)
        }
        "mounts" => html! {
            <div class="row-buttons">
                if !matches!(axle.layout, Layout::LeafSprings { .. }) {
                    { switch("Coil springs", axle.spring.is_some(), Change::Mount(end, Spring::Coil, axle.spring.is_none()), desk) }
                }
                { switch("Shocks", axle.shock.is_some(), Change::Mount(end, Spring::Shock, axle.shock.is_none()), desk) }
            </div>
        },
        "lines" => {
            let line = axle.driveline.as_ref();
            let shafts = [
                ("Two joints, yokes in line", ShaftKind::InPhase),
                ("Yokes crossed", ShaftKind::OutOfPhase),
                ("Double-Cardan at the case", ShaftKind::DoubleCardan),
            ];
            let hose = axle.hose.as_ref().map(|hose| hose.on);
            let mut ends = vec![("On the axle", Change::Hose(end, Some(Mount::Axle)))];
            if axle.kingpin.is_some() {
                ends.push(("On the knuckle", Change::Hose(end, Some(Mount::Knuckle))));
            }
            let on = usize::from(hose == Some(Mount::Knuckle));
            let usual = if ends.len() > 1 { Mount::Knuckle } else { Mount::Axle };
            let other = if hose.is_some() { None } else { Some(usual) };
            html! {
                <>
                    <div class="row-buttons">
                        { switch("Driveshaft", line.is_some(), Change::Driveline(end, line.is_none()), desk) }
                        { switch("Brake hose", hose.is_some(), Change::Hose(end, other), desk) }
                    </div>
                    if let Some(line) = line {
                        { pick("Joints", desk, shafts.map(|(name, kind)| (name, Change::Shaft(end, kind))).to_vec(), shafts.iter().position(|(_, kind)| *kind == line.shaft).unwrap_or_default()) }
                    }
                    if hose.is_some() { { pick("Hose's lower end", desk, ends, on) } }
                </>
            }
        }
        "around" => html! {
            <div class="row-buttons">
                { switch("Frame rail", axle.surroundings.rail.is_some(), Change::Rail(end, axle.surroundings.rail.is_none()), desk) }
                { switch("Wheel arch", axle.surroundings.arch.is_some(), Change::Arch(end, axle.surroundings.arch.is_none()), desk) }
            </div>
        },
        _ => html! {},
    }
}

const STEERS: [(Steers, &str); 4] = [
    (Steers::Far, "To the far knuckle"),
    (Steers::Near, "To the near knuckle"),
    (Steers::TieRod, "To the tie rod"),
    (Steers::ForeAft, "Fore and aft"),
];

fn linkage_choices(axle: &Axle, end: End, desk: &Desk) -> Html {
    let now = axle.steering.as_ref();
    let steers = now.map(arrange::steers);
    let mut options: Vec<_> =
        STEERS.iter().map(|(on, name)| (*name, Change::Linkage(end, Some(*on)))).collect();
    options.push(("Leave it out", Change::Linkage(end, None)));
    let on = STEERS.iter().position(|(it, _)| Some(*it) == steers).unwrap_or(STEERS.len());
    let words = match steers {
        Some(Steers::Far) => "Cross-steer: the link runs across to the wheel away from the driver.",
        Some(Steers::Near) => "The link runs across to the wheel on the driver's side.",
        Some(Steers::TieRod) => "Inverted Y: the link joins the tie rod near the far wheel.",
        Some(Steers::ForeAft) => "The arm swings fore and aft, the link runs along the frame.",
        None => "Both wheels are then taken to turn alike, and nothing is said about bump steer.",
    };
    html! {
        <>
            if let Some(steering) = now {
                { pick("Driver sits on the", desk, vec![("Left", Change::Driver(end, Side::Left)), ("Right", Change::Driver(end, Side::Right))], arrange::driver(steering).index()) }
            }
            { pick("Drag link", desk, options, on) }
            <p class="help">{ words }</p>
            if let Some(steering) = now {
                { pick("Tie rod", desk, vec![("Behind the axle", Change::MoveRod(end)), ("Ahead of it", Change::MoveRod(end))], usize::from(arrange::rod_ahead(steering))) }
            }
        </>
    }
}

/// Whether the right one of a pair has numbers of its own.
pub fn right_differs(pair: Pair, own: bool, end: End, desk: &Desk) -> Html {
    switch("Right side differs", own, Change::Right(end, pair, !own), desk)
}

fn switch(name: &'static str, on: bool, change: Change, desk: &Desk) -> Html {
    html! {
        <button type="button" class="part-head" role="switch" aria-checked={on.to_string()} onclick={desk.on(move |_: MouseEvent| Action::Change(change.clone()))}>
            <span class="switch" aria-hidden="true"></span>{ name }
        </button>
    }
}
