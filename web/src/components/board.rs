//! The drawing board: one of three views, and sliders that move the axle.

use super::segments::segments;
use super::slider::{Slide, slider};
use super::still::{Same, Still};
use crate::answers::{Bench, Moved};
use crate::drawing::{Drawing, Frame, View, drawing, ghost, measures};
use crate::hooks::{use_desk, use_width};
use crate::words;
use fitment::axle::Output;
use fitment::clearance::Domain;
use fitment::truck::State;
use std::rc::Rc;
use yew::prelude::*;

/// What is on the board.
#[derive(Properties, PartialEq)]
pub struct BoardProps {
    /// The answers.
    pub bench: Bench,
    /// The state drawn in full.
    pub state: State,
    /// Whether sliders move it.
    #[prop_or(true)]
    pub sliders: bool,
}

/// Where the sliders are: travel from rest and steer.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Pose {
    height: f64,
    left: f64,
    right: f64,
    steer: f64,
}

/// The board.
#[component]
pub fn Board(props: &BoardProps) -> Html {
    let desk = use_desk();
    let units = desk.state().preferences.units;
    let paper = use_node_ref();
    let width = use_width(&paper, 360.0);
    let view = use_state_eq(|| View::Across);
    let pose = use_state_eq(Pose::default);
    let standing = match props.bench.state(props.state) {
        Ok(standing) => standing,
        Err(why) => {
            return html! { <div class="board"><p class="no-answer" role="status">{ why.clone() }</p></div> };
        }
    };
    let end = standing.end;
    let ride = standing.answer.travel;
    let Ok(domain) = Domain::of(&standing.axle, props.state) else { return html! {} };
    let (low, high) = (domain.droop_mm, domain.bump_mm);
    let lock = domain.lock_rad.to_degrees().floor();
    let half = ((high - low) / 2.0).floor();

    let moved: Result<Moved, String> = if *pose == Pose::default() {
        Ok(Moved { scene: Rc::clone(&standing.scene), attitude: standing.answer.attitude })
    } else {
        let travel = [(ride[0], pose.left), (ride[1], pose.right)]
            .map(|(ride, side)| (ride + pose.height + side).clamp(low, high));
        standing.moved(travel, pose.steer)
    };
    let frame = use_memo(
        (props.bench.clone(), *view, width.to_bits(), props.state),
        |(bench, view, width, _)| {
            let scenes: Vec<_> = State::ALL
                .into_iter()
                .filter_map(|state| bench.state(state).ok())
                .map(|standing| standing.scene.as_slice())
                .collect();
            let most = if f64::from_bits(*width) > 560.0 { 460.0 } else { 330.0 };
            Frame::around(*view, end, &scenes, f64::from_bits(*width), most)
        },
    );
    let stock = use_memo((props.bench.clone(), *frame), |(bench, frame)| {
        bench.state(State::Stock).map_or_else(|_| html! {}, |stock| ghost(&stock.scene, frame))
    });
    let compared = props.state != State::Stock || *pose != Pose::default();
    let ghost = compared.then(|| html! { <Still what={Same(stock)} /> });
    let pick_view = {
        let view = view.clone();
        Callback::from(move |index: usize| {
            view.set(View::ALL.get(index).copied().unwrap_or(View::Across));
        })
    };
    let on = View::ALL.iter().position(|v| *v == *view).unwrap_or(0);
    let set = |change: fn(&mut Pose, f64)| {
        let pose = pose.clone();
        Callback::from(move |value| {
            let mut next = *pose;
            change(&mut next, value);
            pose.set(next);
        })
    };
    let reset = {
        let pose = pose.clone();
        Callback::from(move |_: MouseEvent| pose.set(Pose::default()))
    };
    let middle = f64::midpoint(ride[0], ride[1]);
    let travel_text = |mm: f64| {
        let text = words::length(mm.abs(), units);
        match mm {
            mm if mm > 0.5 => format!("{text} up"),
            mm if mm < -0.5 => format!("{text} down"),
            _ => "level".into(),
        }
    };
    html! {
        <div class="board">
            { segments("View", "small", View::ALL.map(|v| AttrValue::from(v.title(end))).to_vec(), on, &pick_view) }
            <div class="paper" ref={paper}>
                { match &moved {
                    Ok(moved) => {
                        let dims = measures::of_answer(&moved.scene, &moved.attitude, units);
                        drawing(&Drawing { ghost, ..Drawing::new(*frame, &moved.scene, &dims, words_of(moved, units)) })
                    }
                    Err(why) => html! { <p class="no-answer" role="status">{ why.clone() }</p> },
                } }
            </div>
            if props.sliders {
                <div class="sliders">
                    { slider(&Slide { id: "slide-height".into(), label: "Chassis", text: chassis_text(-pose.height, units).into(), low: (low - middle).floor(), high: (high - middle).ceil(), step: 1.0, value: pose.height, moved: set(|p, v| p.height = v) }) }
                    { slider(&Slide { id: "slide-left".into(), label: "Left wheel", text: travel_text(pose.left).into(), low: -half, high: half, step: 1.0, value: pose.left, moved: set(|p, v| p.left = v) }) }
                    { slider(&Slide { id: "slide-right".into(), label: "Right wheel", text: travel_text(pose.right).into(), low: -half, high: half, step: 1.0, value: pose.right, moved: set(|p, v| p.right = v) }) }
                    if lock > 0.0 {
                        { slider(&Slide { id: "slide-steer".into(), label: "Steering", text: steer_text(pose.steer).into(), low: -lock, high: lock, step: 0.5, value: pose.steer, moved: set(|p, v| p.steer = v) }) }
                    }
                    <button type="button" class="quiet" onclick={reset} disabled={*pose == Pose::default()}>{ "Back to rest" }</button>
                </div>
            }
        </div>
    }
}

fn chassis_text(mm: f64, units: buildfile::Units) -> String {
    let text = words::length(mm.abs(), units);
    match mm {
        mm if mm > 0.5 => format!("{text} higher"),
        mm if mm < -0.5 => format!("{text} lower"),
        _ => "as it rests".into(),
    }
}

fn steer_text(deg: f64) -> String {
    match deg {
        deg if deg > 0.2 => format!("{deg:.1}° left"),
        deg if deg < -0.2 => format!("{:.1}° right", -deg),
        _ => "straight ahead".into(),
    }
}

/// The drawing in words.
fn words_of(moved: &Moved, units: buildfile::Units) -> String {
    let say = |output: Output| {
        let value = moved.attitude.get(output)?;
        let text = match output {
            Output::LateralShift => words::sideways(value, units),
            _ => words::output(value, output, units),
        };
        Some(format!("{} {text}", output.label().to_ascii_lowercase()))
    };
    let said: Vec<String> = [Output::LateralShift, Output::Panhard, Output::Caster, Output::Pinion]
        .into_iter()
        .filter_map(say)
        .collect();
    format!("Drawing of the axle: {}", said.join(", "))
}
