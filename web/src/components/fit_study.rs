//! The fit worked out while a person looks: a coarse picture at once, certainty and detail in slices
//! short enough to leave every frame to the finger.

use super::fit_finder::FitFinder;
use super::fit_limits::fit_limits;
use super::fit_room::FitRoom;
use super::fit_tires::fit_tires;
use super::fit_window::fit_window;
use crate::answers::Bench;
use crate::hooks::use_desk;
use crate::infra::slices::Slices;
use crate::infra::window;
use fitment::clearance::{Fit, Options, Study};
use fitment::truck::State;
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

/// How much of the work is done between looks at the clock.
pub const STEP: usize = 32;
/// How often what is known so far is shown, ms.
const SHOW_MS: f64 = 120.0;

/// What is known so far.
#[derive(Clone, PartialEq)]
pub struct Known {
    /// The fit.
    pub fit: Rc<Fit>,
    /// Whether the nearest place of all is among the contacts.
    pub certain: bool,
}

/// Fine enough for a map under a finger.
pub fn options() -> Options {
    Options { steers: 61, travels: 41, touches: true, ..Options::default() }
}

/// The fit so far of an axle in a state.
#[hook]
pub fn use_study(bench: &Bench, state: State) -> Result<Known, String> {
    let bench = &bench.plain();
    let told = use_state(|| None::<(Bench, State, Known)>);
    let begun = use_memo((bench.clone(), state), |(bench, state)| {
        if let Some(fit) = bench.kept(*state) {
            return Ok((Known { fit: Rc::clone(fit), certain: true }, None));
        }
        let study = Study::begin(&bench.truck, bench.end, *state, &options());
        study.map_err(|why| why.to_string()).map(|study| {
            let known = Known { fit: Rc::new(study.fit()), certain: false };
            (known, Some(Rc::new(RefCell::new(study))))
        })
    });
    let (set, of) = (told.setter(), Rc::clone(&begun));
    use_effect_with((bench.clone(), state), move |(bench, state)| {
        let (bench, state) = (bench.clone(), *state);
        let begun = of.as_ref().as_ref().ok().cloned();
        let work = begun.map(|(mut known, study)| {
            let mut shown_ms = window::now_ms();
            Slices::run(move || {
                let Some(study) = &study else { return true };
                let mut study = study.borrow_mut();
                let done = study.step(STEP);
                let now_ms = window::now_ms();
                if done || study.certain() != known.certain || now_ms - shown_ms >= SHOW_MS {
                    shown_ms = now_ms;
                    known.fit = Rc::new(study.fit());
                    known.certain = study.certain();
                    if done {
                        bench.keep(state, &known.fit);
                    }
                    set.set(Some((bench.clone(), state, known.clone())));
                }
                done
            })
        });
        // Another build, or another page: the slices that are left are not run.
        move || drop(work)
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
    let setup = bench.axle.fitted(state);
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
                <div>
                    { fit_limits(&fit, rest_mm, units) }
                    if let Some(window) = &fit.window {
                        { fit_window((window, &fit.sigmas), &bench.axle, &setup, options().margin_mm, units) }
                    }
                    { fit_tires(bench, state, units) }
                </div>
                <FitRoom bench={bench.clone()} {state} />
            </div>
        </>
    }
}
