//! What else stands beside the wheels: what to add, and a card for each thing with a picture of where
//! to hold the tape.

use super::number_field::NumberField;
use super::photo_trace::PhotoTrace;
use super::segments::segments;
use crate::answers::Bench;
use crate::drawing::{Dim, Drawing, Frame, View, drawing, measures};
use crate::hooks::{Desk, use_desk, use_width};
use crate::infra::window;
use crate::state::catalog::Spec;
use crate::state::things::{self, Form, ThingChange};
use crate::state::{Action, Change, field};
use fitment::axle::{Kind, SceneItem};
use fitment::truck::{
    End, KINDS, Mount, Shape, Side, State, Thing, ThingKind, ThingSide, View as Seen,
};
use yew::prelude::*;

/// Buttons that add one of each kind.
pub fn add_thing(end: End, desk: &Desk) -> Html {
    html! {
        <fieldset class="add-thing">
            <legend>{ "Something else the tire could meet" }</legend>
            <div class="row-buttons">
                { for KINDS.iter().map(|info| {
                    let kind = info.kind;
                    html! {
                        <button type="button" onclick={desk.on(move |_: MouseEvent| act(end, ThingChange::Add(kind)))}>{ format!("+ {}", info.name) }</button>
                    }
                }) }
            </div>
        </fieldset>
    }
}

const fn act(end: End, change: ThingChange) -> Action {
    Action::Change(Change::Thing(end, change))
}

/// One thing.
#[derive(Properties, PartialEq)]
pub struct ThingCardProps {
    /// The answers of the axle.
    pub bench: Bench,
    /// Where it is in the list.
    pub index: usize,
}

const SIDES: [(ThingSide, &str); 3] =
    [(ThingSide::Both, "Both sides"), (ThingSide::Left, "Left"), (ThingSide::Right, "Right")];
const MOUNTS: [(Mount, &str); 4] = [
    (Mount::Chassis, "Frame or body"),
    (Mount::Axle, "Axle"),
    (Mount::Knuckle, "Knuckle"),
    (Mount::Between, "Axle to frame"),
];
const FORMS: [(Form, &str); 3] =
    [(Form::Block, "Block"), (Form::Bar, "Round bar"), (Form::Outline, "Outline")];

/// A choice from a table; picking another makes its change.
fn choice<T: Copy + PartialEq + 'static>(
    label: &'static str,
    table: &'static [(T, &'static str)],
    now: Option<T>,
    desk: &Desk,
    change: impl Fn(T) -> Action + 'static,
) -> Html {
    let on = table.iter().position(|(it, _)| Some(*it) == now).unwrap_or(usize::MAX);
    let desk = desk.clone();
    let picked = Callback::from(move |index: usize| {
        if let Some((it, _)) = table.get(index).filter(|_| index != on) {
            desk.act(change(*it));
        }
    });
    let names = table.iter().map(|(_, name)| AttrValue::from(*name)).collect();
    let class = if table.len() > 3 { "many" } else { "small" };
    html! {
        <div class="choice">
            <span class="choice-name" aria-hidden="true">{ label }</span>
            { segments(label, class, names, on, &picked) }
        </div>
    }
}

/// The card: what is measured first with its pictures, and the rest under "more".
#[component]
pub fn ThingCard(props: &ThingCardProps) -> Html {
    let desk = use_desk();
    let (end, index) = (props.bench.end, props.index);
    let truck = &desk.state().entry().build.truck;
    let found = truck.axle(end).and_then(|axle| axle.surroundings.things.get(index));
    // One that nobody measured yet is what was just added.
    let fresh = found.is_some_and(|thing| {
        let mut specs = things::specs(thing, end, index).into_iter();
        specs.all(|spec| {
            field::known(truck, &spec.path).is_none_or(fitment::measure::Known::is_assumed)
        })
    });
    let open = use_state_eq(|| fresh);
    let Some(thing) = found else { return html! {} };
    let specs = things::specs(thing, end, index);
    let (first, rest) = specs.split_at(things::measures(thing).count());
    let toggle = {
        let open = open.clone();
        Callback::from(move |_: MouseEvent| open.set(!*open))
    };
    let body = format!("thing-{index}");
    let name = Spec {
        path: format!("{}.name", things::path(end, index)),
        label: "What you call it",
        help: "Leave it empty for the usual name.",
    };
    html! {
        <div class="thing-card">
            <button type="button" class="thing-head" aria-expanded={open.to_string()} aria-controls={body.clone()} onclick={toggle}>
                <b>{ thing.title() }</b><span>{ said(thing) }</span>
            </button>
            <div id={body} hidden={!*open}>
                if *open {
                    <ThingPicture bench={props.bench.clone()} {index} />
                    <div class="fields">{ for first.iter().map(|spec| html! { <NumberField key={spec.path.clone()} spec={spec.clone()} explain=true /> }) }</div>
                    <details>
                        <summary>{ "More: its other numbers, side and what carries it" }</summary>
                        <div class="fields">
                            { for rest.iter().map(|spec| html! { <NumberField key={spec.path.clone()} spec={spec.clone()} /> }) }
                            <NumberField spec={name} bare=true />
                        </div>
                        if matches!(thing.shape, Shape::Outline { view: Seen::Side, .. }) {
                            <PhotoTrace {end} {index} />
                        }
                        if Form::of(&thing.shape) == Some(Form::Outline) {
                            <button type="button" class="quiet" onclick={desk.on(move |_: MouseEvent| act(end, ThingChange::Corner(index)))}>{ "Another corner" }</button>
                        }
                        { choice("On", &SIDES, Some(thing.side), &desk, move |side| act(end, ThingChange::Side(index, side))) }
                        if let Some(form) = Form::of(&thing.shape) {
                            { choice("Carried by", &MOUNTS[..if form == Form::Bar { 4 } else { 3 }], Some(thing.on), &desk, move |on| act(end, ThingChange::On(index, on))) }
                            if thing.kind == ThingKind::Other {
                                { choice("Measured as", &FORMS, Some(form), &desk, move |form| act(end, ThingChange::As(index, form))) }
                            }
                        }
                    </details>
                    <button type="button" class="quiet" onclick={desk.on(move |_: MouseEvent| act(end, ThingChange::Remove(index)))}>{ "Take it away" }</button>
                }
            </div>
        </div>
    }
}

/// Where it is, short.
fn said(thing: &Thing) -> String {
    let name = |table: &[(ThingSide, &'static str)]| {
        table.iter().find(|(it, _)| *it == thing.side).map_or("", |(_, name)| *name)
    };
    name(&SIDES).to_ascii_lowercase()
}

/// Where to hold the tape: the tire, the thing, and the dimensions measured first, in each view that
/// has one.
#[component]
fn ThingPicture(props: &ThingCardProps) -> Html {
    let desk = use_desk();
    let paper = use_node_ref();
    let width = use_width(&paper, 320.0);
    let (bench, index) = (&props.bench, props.index);
    let truck = &desk.state().entry().build.truck;
    let (Ok(stock), Some(thing)) =
        (bench.state(State::Stock), bench.axle.surroundings.things.get(index))
    else {
        return html! {};
    };
    let units = desk.state().preferences.units;
    let dims: Vec<Dim> = things::specs(thing, bench.end, index)
        .iter()
        .take(things::measures(thing).count())
        .filter_map(|spec| measures::of_field(&spec.path, truck, &stock.scene, &stock.scene, units))
        .collect();
    let place = u8::try_from(index).map(Kind::Thing).ok();
    let scene: Vec<SceneItem> = stock
        .scene
        .iter()
        .filter(|item| match item.kind {
            Kind::Thing(_) => Some(item.kind) == place,
            Kind::Tire | Kind::Rim | Kind::Rail | Kind::Arch => item.side != Some(Side::Right),
            Kind::AxleTube | Kind::CentrePlane | Kind::Ground => true,
            _ => false,
        })
        .cloned()
        .collect();
    let shown: Vec<View> =
        View::ALL.into_iter().filter(|view| dims.iter().any(|dim| dim.view == *view)).collect();
    let count = shown.len().max(1) as f64;
    let wide = ((width - 8.0 * (count - 1.0)) / count - 3.0).floor();
    let pick = Callback::from(|path: String| window::focus(&format!("f-{path}")));
    let lit = desk.state().focus.as_deref();
    html! {
        <div class="thing-pictures" ref={paper}>
            { for shown.into_iter().map(|view| {
                let items = scene.iter().filter(|item| match item.kind {
                    Kind::Tire => item.side == Some(Side::Left),
                    Kind::Thing(_) => item.side != Some(Side::Right),
                    Kind::CentrePlane => view == View::Across,
                    _ => false,
                });
                let frame = Frame::filled(view, bench.end, items, [wide, wide.min(240.0)], 0.76);
                let words = format!("{}: where to hold the tape for {}", view.title(bench.end), thing.title());
                let pick = pick.clone();
                html! {
                    <figure key={view.title(bench.end)} class="paper">
                        { drawing(&Drawing { lit, pick, ..Drawing::new(frame, &scene, &dims, words) }) }
                        <figcaption>{ view.title(bench.end) }</figcaption>
                    </figure>
                }
            }) }
        </div>
    }
}
