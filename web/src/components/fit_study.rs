//! The fit worked out while a person looks: a coarse picture at once, certainty and detail in slices
//! short enough to leave every frame to the finger.

use super::fit_finder::FitFinder;
use super::fit_limits::FitLimits;
use super::fit_tires::fit_tires;
use super::fit_window::fit_window;
use crate::answers::Bench;
use crate::hooks::use_desk;
use crate::infra::window;
use fitment::clearance::{Fit, Options, Study};
use fitment::truck::State;
use gloo::timers::callback::Timeout;
use std::cell::RefCell;
use std::rc::Rc;
use yew::prelude::*;

/// What is looked at.
#[derive(Properties, PartialEq)]
pub struct FitStudyProps {
    /// The answers of the axle.
    pub bench: Bench,
    /// The state.
    pub state: State,
}

/// How long a slice may take, ms, and how much of the work is done between looks at the clock.
const SLICE_MS: f64 = 4.0;
const STEP: usize = 32;
/// How often what is known so far is shown, ms.
const SHOW_MS: f64 = 120.0;

/// What is known so far.
#[derive(Clone, PartialEq)]
struct Known {
    fit: Rc<Fit>,
    /// Whether the nearest place of all is among the contacts.
    certain: bool,
}

/// Fine enough for a map under a finger.
fn options() -> Options {
    Options { steers: 61, travels: 41, ..Options::default() }
}

/// A study under way, and what it last showed.
struct Work {
    study: Study,
    shown_ms: f64,
    certain: bool,
    /// The next slice; dropped with this, it never runs.
    next: Option<Timeout>,
}

/// Goes on in slices, and shows what is new.
fn go_on(work: &Rc<RefCell<Work>>, show: Rc<dyn Fn(Known, bool)>) {
    let again = Rc::downgrade(work);
    let later = Timeout::new(0, move || {
        let Some(work) = again.upgrade() else { return };
        let from = window::now_ms();
        let done = loop {
            let done = work.borrow_mut().study.step(STEP);
            if done || window::now_ms() - from >= SLICE_MS {
                break done;
            }
        };
        let certain = work.borrow().study.certain();
        let news = certain != work.borrow().certain;
        if done || news || from - work.borrow().shown_ms >= SHOW_MS {
            let fit = Rc::new(work.borrow().study.fit());
            work.borrow_mut().shown_ms = from;
            work.borrow_mut().certain = certain;
            show(Known { fit, certain }, done);
        }
        if !done {
            go_on(&work, show);
        }
    });
    work.borrow_mut().next = Some(later);
}

/// The fit so far of an axle in a state.
#[hook]
fn use_study(bench: &Bench, state: State) -> Result<Known, String> {
    let told = use_state(|| None::<(Bench, State, Known)>);
    let begun = use_memo((bench.clone(), state), |(bench, state)| {
        if let Some(fit) = bench.kept(*state) {
            return Ok((Known { fit: Rc::clone(fit), certain: true }, None));
        }
        let study = Study::begin(&bench.truck, bench.end, *state, &options());
        study.map_err(|why| why.to_string()).map(|study| {
            let known = Known { fit: Rc::new(study.fit()), certain: false };
            let work = Work { study, shown_ms: window::now_ms(), certain: false, next: None };
            (known, Some(Rc::new(RefCell::new(work))))
        })
    });
    let (set, of) = (told.setter(), Rc::clone(&begun));
    use_effect_with((bench.clone(), state), move |(bench, state)| {
        let work = of.as_ref().as_ref().ok().and_then(|(_, work)| work.clone());
        if let Some(work) = &work {
            let (bench, state) = (bench.clone(), *state);
            go_on(
                work,
                Rc::new(move |known, done| {
                    if done {
                        bench.keep(state, &known.fit);
                    }
                    set.set(Some((bench.clone(), state, known)));
                }),
            );
        }
        // Another build, or another page: the slices that are left are not run.
        move || {
            if let Some(work) = work {
                work.borrow_mut().next = None;
            }
        }
    });
    match (&*told, &*begun) {
        (Some((of, at, known)), Ok(_)) if of == bench && *at == state => Ok(known.clone()),
        (_, Ok((known, _))) => Ok(known.clone()),
        (_, Err(why)) => Err(why.clone()),
    }
}

/// The finder and the answers below it.
#[component]
pub fn FitStudy(props: &FitStudyProps) -> Html {
    let units = use_desk().state().preferences.units;
    let (bench, state) = (&props.bench, props.state);
    let Known { fit, certain } = match use_study(bench, state) {
        Ok(known) => known,
        Err(why) => return html! { <p class="no-answer" role="status">{ why }</p> },
    };
    let setup = bench.axle.setup(state);
    let (left, right) = setup.lift();
    let rest_mm = -f64::midpoint(left.value, right.value);
    html! {
        <>
            if fit.unreachable_rows > 0 {
                <p class="help">{ "Part of the travel is out of the links' reach and left blank." }</p>
            }
            <div class="fit-page">
                <FitFinder fit={Rc::clone(&fit)} {certain} bench={bench.clone()} {state} {rest_mm} />
            </div>
            <div class="fit-answers">
                <FitLimits fit={Rc::clone(&fit)} bench={bench.clone()} {state} {rest_mm} />
                if let Some(window) = &fit.window {
                    { fit_window(window, &bench.axle, setup.wheel.offset_mm.value, options().margin_mm, units) }
                }
                { fit_tires(bench, state, units) }
            </div>
        </>
    }
}
