//! An outline traced over a photograph with a tape in it. The picture stays in this tab: it is neither
//! kept nor sent. Whoever cannot point at it types the corners instead.

use super::number_field::text_of;
use super::segments::segments;
use crate::hooks::use_desk;
use crate::state::edit::{self, Quantity};
use crate::state::{Action, Change};
use crate::words;
use fitment::measure::{Instrument, Known, parse_length};
use fitment::truck::{Corner, End, Photo};
use gloo::file::{File, ObjectUrl};
use std::rc::Rc;
use wasm_bindgen::JsCast;
use web_sys::{HtmlImageElement, HtmlInputElement};
use yew::prelude::*;

/// The outline to trace.
#[derive(Properties, PartialEq)]
pub struct PhotoTraceProps {
    /// Whose axle.
    pub end: End,
    /// Where the thing is in the list.
    pub index: usize,
}

/// Two marks of the tape and the hub come first.
const MARKS: usize = 3;
/// An outline has as many corners at the least.
const FEWEST: usize = 3;
/// How closely a finger points on the glass, px of the page; one standard deviation. Our assumption.
const FINGER_PX: f64 = 2.5;

/// What to point at next.
const fn next(count: usize) -> &'static str {
    match count {
        0 => "Tap one mark of the tape.",
        1 => "Tap another mark of the tape, as far from it as the picture shows.",
        2 => "Tap the hub's center.",
        _ => "Tap the outline's corners in order around.",
    }
}

/// A picture and what was pointed at in it, in points of the picture.
#[derive(Clone, PartialEq, Default)]
struct Traced {
    places: Vec<[f64; 2]>,
    /// Points of the picture in one px of the page, when last tapped.
    per_px: f64,
    /// The picture's width and height, points.
    size: [f64; 2],
}

/// The tracer.
#[component]
pub fn PhotoTrace(props: &PhotoTraceProps) -> Html {
    let desk = use_desk();
    let units = desk.state().preferences.units;
    let picture = use_state(|| None::<Rc<ObjectUrl>>);
    let traced = use_state(Traced::default);
    let apart = use_state(String::new);
    let front_left = use_state_eq(|| true);
    let (end, index) = (props.end, props.index);

    let choose = {
        let (picture, traced) = (picture.clone(), traced.clone());
        Callback::from(move |event: Event| {
            let input = event.target().and_then(|it| it.dyn_into::<HtmlInputElement>().ok());
            let file = input.and_then(|input| input.files()?.get(0));
            picture.set(file.map(|file| Rc::new(ObjectUrl::from(File::from(file)))));
            traced.set(Traced::default());
        })
    };
    let tap = {
        let traced = traced.clone();
        Callback::from(move |event: MouseEvent| {
            let image = event.target().and_then(|it| it.dyn_into::<HtmlImageElement>().ok());
            let Some(image) = image else { return };
            let per_px = f64::from(image.natural_width()) / f64::from(image.width().max(1));
            let at = [event.offset_x(), event.offset_y()].map(|px| f64::from(px) * per_px);
            let mut next = (*traced).clone();
            next.places.push(at);
            next.per_px = per_px;
            next.size = [image.natural_width(), image.natural_height()].map(f64::from);
            traced.set(next);
        })
    };
    let back = {
        let traced = traced.clone();
        Callback::from(move |_: MouseEvent| {
            let mut next = (*traced).clone();
            next.places.pop();
            traced.set(next);
        })
    };
    let typed = {
        let apart = apart.clone();
        Callback::from(move |event: InputEvent| {
            if let Some(text) = text_of(&event) {
                apart.set(text);
            }
        })
    };
    let turn = {
        let front_left = front_left.clone();
        Callback::from(move |at: usize| front_left.set(at == 0))
    };

    let read = parse_length(&apart, edit::system(units).default_unit());
    let length_mm = read.as_ref().ok().map(|reading| reading.value_mm);
    let corners = length_mm.and_then(|mm| corners(&traced, mm, *front_left));
    let use_them = {
        let (desk, corners, picture) = (desk.clone(), corners.clone(), picture.clone());
        Callback::from(move |_: MouseEvent| {
            if let Some(corners) = &corners {
                desk.act(Action::Change(Change::Traced(end, index, corners.clone())));
                picture.set(None);
            }
        })
    };
    let Traced { places, per_px, size } = &*traced;
    let least = corners.as_ref().and_then(|corners| {
        corners.iter().map(|c| c.a_mm.sigma.max(c.b_mm.sigma)).reduce(f64::max)
    });
    let id = format!("photo-{index}");
    html! {
        <div class="photo">
            <div class="field">
                <label for={id.clone()}>{ "Trace it over a photograph with a tape in it" }</label>
                <input type="file" accept="image/*" capture="environment" {id} onchange={choose} />
            </div>
            <p class="help">{ "Square on to the truck's side and level, from a few steps back, the tape lying in the same plane as the thing. The picture stays on this device and is not kept." }</p>
            if let Some(url) = &*picture {
                <div class="photo-paper">
                    <img src={url.to_string()} alt="The photograph: tap the marks of the tape, the hub and the corners" onclick={tap} />
                    if size[0] > 0.0 {
                        <svg viewBox={format!("0 0 {} {}", size[0], size[1])} aria-hidden="true">
                            { marks(places, *per_px) }
                        </svg>
                    }
                </div>
                <p role="status">{ next(places.len()) }</p>
                <div class="field">
                    <label for={format!("apart-{index}")}>{ "How far apart the two marks are" }</label>
                    <input id={format!("apart-{index}")} type="text" inputmode="text" value={(*apart).clone()} oninput={typed} />
                </div>
                { segments("Where the truck's front is in the picture", "small", vec!["Front on the left".into(), "Front on the right".into()], usize::from(!*front_left), &turn) }
                <div class="row-buttons">
                    <button type="button" class="quiet" disabled={places.is_empty()} onclick={back}>{ "Take the last mark back" }</button>
                    <button type="button" disabled={corners.is_none()} onclick={use_them}>{ format!("Use these {} corners", places.len().saturating_sub(MARKS)) }</button>
                </div>
                if let Some(sigma) = least {
                    <p class="help">{ format!("Each corner {} at the most.", words::spread((2.0 * sigma).round(), Quantity::Length, units)) }</p>
                }
            }
        </div>
    }
}

/// The corners pointed at, once there are enough of them and the scale is known.
fn corners(traced: &Traced, apart_mm: f64, front_left: bool) -> Option<Vec<Corner>> {
    let (marks, corners) = traced.places.split_at_checked(MARKS)?;
    let [from, to, hub] = marks.try_into().ok()?;
    let photo = Photo {
        tape: [from, to],
        apart_mm: Known::measured(apart_mm, Instrument::Tape),
        hub,
        front_left,
        finger: FINGER_PX * traced.per_px,
    };
    let corners: Vec<Corner> = corners.iter().map(|at| photo.corner(*at)).collect::<Option<_>>()?;
    (corners.len() >= FEWEST).then_some(corners)
}

/// What was pointed at, drawn over the picture.
fn marks(places: &[[f64; 2]], per_px: f64) -> Html {
    let (tape, rest) = places.split_at(places.len().min(2));
    let (hub, outline) = rest.split_at(rest.len().min(1));
    let path = |places: &[[f64; 2]], close: &str| {
        let points: Vec<String> = places.iter().map(|[x, y]| format!("{x:.1} {y:.1}")).collect();
        if points.is_empty() { String::new() } else { format!("M{}{close}", points.join("L")) }
    };
    let radius = format!("{:.1}", 6.0 * per_px);
    let width = format!("{:.1}", 2.0 * per_px);
    html! {
        <g stroke-width={width}>
            <path class="photo-tape" d={path(tape, "")} />
            <path class="photo-outline" d={path(outline, if outline.len() > 2 { "Z" } else { "" })} />
            { for places.iter().map(|[x, y]| html! { <circle cx={format!("{x:.1}")} cy={format!("{y:.1}")} r={radius.clone()} /> }) }
            { for hub.iter().map(|[x, y]| html! { <path class="photo-hub" d={format!("M{:.1} {y:.1}h{:.1}M{x:.1} {:.1}v{:.1}", x - 14.0 * per_px, 28.0 * per_px, y - 14.0 * per_px, 28.0 * per_px)} /> }) }
        </g>
    }
}
