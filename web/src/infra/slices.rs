//! Long work in slices short enough to leave every frame to the finger.
//!
//! Turns come by a message to ourselves: a timer would rest 4 ms between any two of them.

use super::window::now_ms;
use gloo::events::EventListener;
use gloo::timers::callback::Timeout;
use std::cell::{Cell, RefCell};
use std::collections::VecDeque;
use std::rc::{Rc, Weak};
use wasm_bindgen::JsValue;
use web_sys::{MessageChannel, MessagePort};

/// How long a slice may take beside a page, ms.
pub const SLICE_MS: f64 = 4.0;

/// How long after a finger moved something the frames are left to it, ms, and how long work then rests
/// between two slices.
const FINGER_MS: f64 = 150.0;
const REST_MS: u32 = 10;

/// Work under way; what is left of it is not done once this is dropped.
pub struct Slices(#[expect(dead_code, reason = "kept alive by it")] Rc<Work>);

struct Work {
    slice_ms: f64,
    step: RefCell<Box<dyn FnMut() -> bool>>,
}

impl Slices {
    /// Calls `step` over and over, a turn at a time, until it says that all is done.
    pub fn run(step: impl FnMut() -> bool + 'static) -> Self {
        Self::run_for(SLICE_MS, step)
    }

    /// The same with slices of so many ms.
    pub fn run_for(slice_ms: f64, step: impl FnMut() -> bool + 'static) -> Self {
        let work = Rc::new(Work { slice_ms, step: RefCell::new(Box::new(step)) });
        wait(&work);
        Self(work)
    }
}

/// Who waits for a turn, and the bell that calls the next.
struct Turns {
    waiting: VecDeque<Weak<Work>>,
    bell: Option<MessagePort>,
    _rings: Option<(MessagePort, EventListener)>,
}

thread_local! {
    static TURNS: RefCell<Turns> = RefCell::new(Turns::new());
    /// When a finger last moved something, ms.
    static FINGER: Cell<f64> = const { Cell::new(f64::NEG_INFINITY) };
}

/// Tells that a finger is moving something.
pub fn finger() {
    FINGER.set(now_ms());
}

impl Turns {
    fn new() -> Self {
        let channel = MessageChannel::new().ok();
        let bell = channel.as_ref().map(MessageChannel::port1);
        let rings = channel.map(|channel| {
            let port = channel.port2();
            let listens = EventListener::new(&port, "message", |_| turn());
            port.start();
            (port, listens)
        });
        Self { waiting: VecDeque::new(), bell, _rings: rings }
    }
}

fn wait(work: &Rc<Work>) {
    TURNS.with_borrow_mut(|turns| turns.waiting.push_back(Rc::downgrade(work)));
    if now_ms() - FINGER.get() < FINGER_MS {
        Timeout::new(REST_MS, ring).forget();
    } else {
        ring();
    }
}

fn ring() {
    TURNS.with_borrow(|turns| {
        if let Some(bell) = &turns.bell {
            // A bell of our own is always there to hear it.
            let _ = bell.post_message(&JsValue::NULL);
        }
    });
}

fn turn() {
    let next = TURNS.with_borrow_mut(|turns| turns.waiting.pop_front());
    let Some(work) = next.and_then(|work| work.upgrade()) else { return };
    let from = now_ms();
    let done = loop {
        let done = (work.step.borrow_mut())();
        if done || now_ms() - from >= work.slice_ms {
            break done;
        }
    };
    // Whoever began it may have let go of it meanwhile.
    if !done && Rc::strong_count(&work) > 1 {
        wait(&work);
    }
}
