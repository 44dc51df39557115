//! What each change buys: least clearance and largest tire with it, the window of offsets for other
//! tire widths, and the line along which to cut the arch. Worked out in slices, when asked for.

use super::fit_contacts::{nearness, spread};
use super::fit_limits::fit_beside;
use super::fit_map::obstacle;
use super::fit_study::{STEP, options};
use super::fit_trim::fit_trim;
use super::fit_window::range;
use crate::answers::Bench;
use crate::hooks::use_desk;
use crate::infra::slices::Slices;
use crate::state::edit::Quantity;
use crate::words;
use buildfile::Units;
use fitment::clearance::{
    Beside, Fit, FitError, Gain, Options, Relief, Size, Slow, Study, TrimLine, beside_slowly,
    trim_line_slowly, with_width,
};
use fitment::truck::{State, Truck};
use std::collections::VecDeque;
use std::rc::Rc;
use yew::prelude::*;

/// What is asked about.
#[derive(Properties, PartialEq)]
pub struct FitRoomProps {
    /// The answers of the axle.
    pub bench: Bench,
    /// The state.
    pub state: State,
}

/// How far other widths of the same tire are from this one, mm: half an inch and an inch.
const WIDTHS_MM: [f64; 5] = [-25.4, -12.7, 0.0, 12.7, 25.4];

/// What is to be worked out.
#[derive(Clone, Copy)]
enum Task {
    Beside,
    Now,
    With(Relief),
    Width(f64),
    Trim,
}

/// What is known so far.
#[derive(Clone, Default)]
struct Found {
    /// What goes with the fit as it is.
    beside: Option<Rc<Beside>>,
    /// As it is, and with each change.
    with: Vec<(Option<Relief>, Rc<Fit>)>,
    /// By section width, mm.
    widths: Vec<(f64, Rc<Fit>)>,
    trim: Option<Rc<TrimLine>>,
    done: bool,
}

fn change(relief: Relief, units: Units) -> String {
    let length = |mm: f64| words::length(mm, units);
    match relief {
        Relief::ArchTrim(mm) => format!("Arch cut back {} farther", length(mm)),
        Relief::BumpStop(mm) => format!("Bump stop {} longer", length(mm)),
        Relief::SteeringStop(deg) => format!("Steering stop at {deg:.0}°"),
        Relief::Spacer(mm) => format!("Spacer {} thicker", length(mm)),
        Relief::Forward(mm) => format!("Axle {} farther forward", length(mm)),
    }
}

/// How much more room a change leaves.
fn gained(gain: Gain, units: Units) -> String {
    let word = if gain.mm < 0.0 { "costs" } else { "gains" };
    let sure = words::spread((2.0 * gain.sigma_mm).round(), Quantity::Length, units);
    format!("{word} {} ({sure})", words::length(gain.mm.abs(), units))
}

/// What is being worked out.
enum UnderWay {
    Beside(Slow<Result<Beside, FitError>>),
    Fit(Task, Study),
    Trim(Slow<Result<Option<TrimLine>, FitError>>),
}

impl UnderWay {
    /// Goes on with it for a little; true when it is among what was found.
    fn step(&mut self, found: &mut Found) -> bool {
        match self {
            Self::Beside(beside) => {
                let Some(beside) = beside.step(STEP) else { return false };
                found.beside = beside.ok().map(Rc::new);
            }
            Self::Trim(line) => {
                let Some(line) = line.step(STEP) else { return false };
                found.trim = line.ok().flatten().map(Rc::new);
            }
            Self::Fit(task, study) => {
                if !study.step(STEP) {
                    return false;
                }
                let fit = Rc::new(study.fit());
                match *task {
                    Task::With(relief) => found.with.push((Some(relief), fit)),
                    Task::Width(mm) => found.widths.push((mm, fit)),
                    _ => found.with.push((None, fit)),
                }
            }
        }
        true
    }
}

/// Starts on a list of tasks; `show` is told what is known so far.
fn work(bench: &Bench, state: State, show: impl Fn(Found) + 'static) -> Slices {
    let bench = bench.clone();
    let at = (bench.end, state);
    let section = bench.state(state).map_or(0.0, |standing| standing.tire.section.value);
    let mut tasks: VecDeque<Task> = [Task::Beside, Task::Now]
        .into_iter()
        .chain(Relief::worth_trying(&bench.axle, state).into_iter().map(Task::With))
        .chain(WIDTHS_MM.map(|by| Task::Width(section + by)))
        .chain([Task::Trim])
        .collect();
    // No finer a map than the numbers need.
    let plain = Options { sizes: true, ..Options::coarse() };
    let begin = move |task: Task, truck: &Truck, options: &Options| {
        let study = Study::start(truck, at.0, at.1, options).ok()?;
        Some(UnderWay::Fit(task, study))
    };
    let mut found = Found::default();
    let mut under_way: Option<UnderWay> = None;
    Slices::run(move || {
        if let Some(work) = &mut under_way {
            if work.step(&mut found) {
                under_way = None;
                show(found.clone());
            }
            return false;
        }
        let Some(task) = tasks.pop_front() else {
            found.done = true;
            show(found.clone());
            return true;
        };
        under_way = match task {
            Task::Beside => {
                let stop = bench.kept(state).and_then(|fit| fit.stops).map(|stops| stops.steer_rad);
                Some(UnderWay::Beside(beside_slowly(&bench.truck, at, &options(), stop)))
            }
            Task::Now => begin(task, &bench.truck, &plain),
            Task::With(relief) => {
                let (truck, options) = relief.done(&bench.truck, at, &plain);
                begin(task, &truck, &options)
            }
            Task::Width(mm) => {
                let options = Options { sizes: false, ..plain.clone() };
                begin(task, &with_width(&bench.truck, at, mm), &options)
            }
            Task::Trim => {
                Some(UnderWay::Trim(trim_line_slowly(&bench.truck, at.0, at.1, &options())))
            }
        };
        false
    })
}

/// The section.
#[component]
pub fn FitRoom(props: &FitRoomProps) -> Html {
    let units = use_desk().state().preferences.units;
    let (bench, state) = (&props.bench, props.state);
    let asked = use_state_eq(|| false);
    let known = use_state(|| None::<(Bench, Found)>);
    let set = known.setter();
    use_effect_with((bench.clone(), state, *asked), move |(bench, state, asked)| {
        let of = bench.clone();
        let work =
            asked.then(|| work(bench, *state, move |found| set.set(Some((of.clone(), found)))));
        move || drop(work)
    });
    let ask = {
        let asked = asked.clone();
        Callback::from(move |_: MouseEvent| asked.set(true))
    };
    let none = Found::default();
    let found = known.as_ref().filter(|(of, _)| of == bench).map_or(&none, |(_, found)| found);
    let size = |size: Size, sigma: Option<f64>| match size {
        Size::UpTo { mm, .. } => html! {
            <>
                <span class="value">{ words::length(mm, units) }</span>
                if let Some(sigma) = sigma { <span class="spread">{ words::spread((2.0 * sigma).round(), Quantity::Length, units) }</span> }
            </>
        },
        Size::Never => html! { "none" },
    };
    let now = found.with.iter().find(|(relief, _)| relief.is_none());
    let gain = |fit: &Fit| Gain::of(&now?.1, fit);
    html! {
        <section class="room" aria-labelledby="room-title">
            <h2 id="room-title">{ "What each change buys" }</h2>
            if *asked {
                if !found.done { <p class="help" role="status">{ "Working it out…" }</p> }
                if let Some(beside) = &found.beside { { fit_beside(beside, bench, units) } }
                if !found.with.is_empty() {
                    <table class="answers map-table">
                        <caption>{ format!("Each change by itself, on top of what is fitted: the least room, and the largest tires that keep {}, one dimension at a time", words::length(options().margin_mm, units)) }</caption>
                        <thead><tr><td></td><th scope="col">{ "Least" }</th><th scope="col">{ "Tallest" }</th><th scope="col">{ "Widest" }</th></tr></thead>
                        <tbody>
                            { for found.with.iter().map(|(relief, fit)| html! {
                                <tr>
                                    <th scope="row">
                                        { relief.map_or_else(|| "As it is".to_owned(), |relief| change(relief, units)) }
                                        { for gain(fit).filter(|_| relief.is_some()).map(|gain| html! { <span class="spread">{ gained(gain, units) }</span> }) }
                                    </th>
                                    <td>{ for fit.contacts.first().map(|contact| html! {
                                        <><span class="value">{ words::length(contact.clearance_mm, units) }</span><span class="spread">{ format!("{} {}", spread(contact, units), obstacle(&bench.axle, contact.obstacle)) }</span></>
                                    }) }</td>
                                    <td>{ for fit.largest.map(|largest| size(largest.diameter_mm, fit.sigmas.diameter_mm)) }</td>
                                    <td>{ for fit.largest.map(|largest| size(largest.width_mm, fit.sigmas.width_mm)) }</td>
                                </tr>
                            }) }
                        </tbody>
                    </table>
                }
                if !found.widths.is_empty() {
                    <table class="answers map-table">
                        <caption>{ "The same tire in other widths" }</caption>
                        <thead><tr><th scope="col">{ "Width" }</th><th scope="col">{ "Wheel offsets that clear" }</th><th scope="col">{ "As the wheel is" }</th></tr></thead>
                        <tbody>
                            { for found.widths.iter().map(|(mm, fit)| html! {
                                <tr>
                                    <th scope="row" class="short">{ words::length(*mm, units) }</th>
                                    <td>{ fit.window.as_ref().map(|window| range((window, &fit.sigmas), units)) }</td>
                                    <td>{ for fit.contacts.first().map(|contact| html! {
                                        <>{ nearness(contact.clearance_mm, &obstacle(&bench.axle, contact.obstacle), units) }<span class="spread">{ spread(contact, units) }</span></>
                                    }) }</td>
                                </tr>
                            }) }
                        </tbody>
                    </table>
                }
                if let Some(line) = &found.trim { { fit_trim(line, bench, state, units) } }
            } else {
                <p class="help">{ "Turning circle, poke and scuff; an inch of spacer, bump stop, arch or forward move, and an earlier steering stop, each by itself; other tire widths; and where to cut the arch." }</p>
                <button type="button" onclick={ask}>{ "Work it out" }</button>
            }
        </section>
    }
}
