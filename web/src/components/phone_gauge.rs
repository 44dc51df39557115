//! The phone as an angle gauge: held still it is read by itself, with a sound and a shake, then once
//! more turned end for end, so that its own error cancels. The engine does the reading.

use crate::hooks::use_desk;
use crate::infra::sensor::{self, NoSensor};
use crate::infra::window;
use crate::state::{Action, LogAct};
use fitment::calibrate::Kind;
use fitment::calibrate::gauge::{Edge, Gauge, Hold, Reading, Told};
use fitment::measure::format;
use gloo::events::EventListener;
use gloo::timers::callback::Timeout;
use std::rc::Rc;
use yew::prelude::*;

/// What is measured.
#[derive(Properties, PartialEq)]
pub struct PhoneGaugeProps {
    /// An angle that goes into the log; none for one that is only read.
    pub kind: Option<Kind>,
}

/// How far it is.
#[derive(Clone, Copy, PartialEq)]
enum Phase {
    Off,
    No(NoSensor),
    /// Waiting for the first number.
    Waiting,
    Live(Told, bool),
    Done(Reading),
}

/// What lives as long as the page: the listener, the speaker, the phone's own error by edge.
#[derive(Default)]
struct Kept {
    listener: Option<EventListener>,
    patience: Option<Timeout>,
    speaker: Option<web_sys::AudioContext>,
    gauge: Option<Gauge>,
    own: [Option<f64>; 2],
}

/// A button, then a large number and what to do.
#[component]
pub fn PhoneGauge(props: &PhoneGaugeProps) -> Html {
    let desk = use_desk();
    let phase = use_state_eq(|| Phase::Off);
    let kept = use_mut_ref(Kept::default);
    let kind = props.kind;
    {
        // Another measurement starts anew; the phone's own error stays known.
        let (phase, kept) = (phase.clone(), Rc::clone(&kept));
        use_effect_with(kind, move |_| {
            phase.set(Phase::Off);
            let mut kept = kept.borrow_mut();
            (kept.listener, kept.patience, kept.gauge) = (None, None, None);
        });
    }
    let Some(hold) = kind.map_or(Some(Hold::SHAFT), Hold::of) else { return html! {} };
    let edge = usize::from(hold.edge == Edge::Back);
    let heard = {
        let (phase, kept) = (phase.clone(), Rc::clone(&kept));
        move |at: f64, beta: f64, gamma: f64| {
            let mut kept = kept.borrow_mut();
            let Some(gauge) = &mut kept.gauge else { return };
            let told = gauge.sample(at, beta, gamma);
            let turned = gauge.turned();
            match told {
                Told::Nothing => return,
                Told::Live(_) => phase.set(Phase::Live(told, turned)),
                Told::Turn(_) => {
                    sensor::signal(kept.speaker.as_ref(), 660.0);
                    phase.set(Phase::Live(told, turned));
                }
                Told::Read(reading) => {
                    sensor::signal(kept.speaker.as_ref(), 990.0);
                    kept.own[edge] = Some(reading.own);
                    kept.gauge = None;
                    phase.set(Phase::Done(reading));
                    if let Some(kind) = kind {
                        desk.act(Action::Log(LogAct::Felt(kind, reading.value, window::today())));
                    }
                }
            }
            kept.patience = None;
        }
    };
    let start = {
        let (phase, kept) = (phase.clone(), Rc::clone(&kept));
        Callback::from(move |_: MouseEvent| {
            let (phase, kept, heard) = (phase.clone(), Rc::clone(&kept), heard.clone());
            {
                let mut kept = kept.borrow_mut();
                kept.speaker = kept.speaker.take().or_else(sensor::speaker);
                kept.gauge = Some(Gauge::new(hold, kept.own[edge]));
            }
            phase.set(Phase::Waiting);
            wasm_bindgen_futures::spawn_local(async move {
                if let Err(why) = sensor::permit().await {
                    return phase.set(Phase::No(why));
                }
                let missing = phase.clone();
                let mut kept = kept.borrow_mut();
                kept.listener = sensor::listen(heard);
                kept.patience =
                    Some(Timeout::new(2500, move || missing.set(Phase::No(NoSensor::Missing))));
            });
        })
    };
    let forget = {
        let (phase, kept) = (phase.clone(), Rc::clone(&kept));
        Callback::from(move |_: MouseEvent| {
            kept.borrow_mut().own[edge] = None;
            phase.set(Phase::Off);
        })
    };
    let degrees = |value: f64| format::degrees(value, 1);
    let known = kept.borrow().own[edge].is_some();
    let (number, said) = match *phase {
        Phase::Off => (None, hold.words.to_owned()),
        Phase::No(why) => (None, no(why).to_owned()),
        Phase::Waiting => (None, "Waiting for the phone's sensor …".to_owned()),
        Phase::Live(Told::Turn(first), _) => {
            (Some(degrees(first)), format!("Taken. Now turn it end for end. {}", hold.turned))
        }
        Phase::Live(Told::Live(now), true) => (
            Some(degrees(now)),
            format!("Now turn it end for end, then hold it still until it sounds. {}", hold.turned),
        ),
        Phase::Live(Told::Live(now), false) => {
            (Some(degrees(now)), format!("Hold it still until it sounds. {}", hold.words))
        }
        Phase::Live(..) => (None, String::new()),
        Phase::Done(reading) => (
            Some(format::degrees(reading.value, 2)),
            format!(
                "Taken, scatter {}. This phone itself is {} off along this edge, and that is taken out.",
                format::degrees(reading.scatter, 2),
                format::degrees(reading.own, 2)
            ),
        ),
    };
    let button = match *phase {
        Phase::Off => "Use this phone as the gauge",
        Phase::Waiting | Phase::Live(..) => "Start again",
        Phase::No(_) => "Try again",
        Phase::Done(_) => "Read it once more",
    };
    html! {
        <div class="gauge">
            if let Some(number) = number { <output class="gauge-number" aria-live="off">{ number }</output> }
            <p class="help" role="status">{ said }</p>
            <div class="row-buttons">
                <button type="button" onclick={start}>{ button }</button>
                if known { <button type="button" onclick={forget}>{ "Another phone or case" }</button> }
            </div>
        </div>
    }
}

const fn no(why: NoSensor) -> &'static str {
    match why {
        NoSensor::Insecure => {
            "The browser gives sensors only to pages that came by https. Read the angle off a gauge and type it."
        }
        NoSensor::Denied => {
            "The browser was told to keep the sensor from this page. Allow motion sensors for it and try again, or type the angle."
        }
        NoSensor::Missing => {
            "This device has no sensor that tells which way is down. Read the angle off a gauge and type it."
        }
    }
}
