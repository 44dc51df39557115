//! The room where the search runs: a worker, so that the page never waits for it; where a browser has
//! none, slices between the page's frames. Texts go in and come out, see [`crate::seek`].

use super::slices::{self, Slices};
use super::window::now_ms;
use crate::seek::{Order, Seeker, Told};
use gloo::events::EventListener;
use std::cell::RefCell;
use std::rc::Rc;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{DedicatedWorkerGlobalScope, Event, MessageEvent, Worker, WorkerOptions, WorkerType};
use yew::Callback;

/// How often what is known so far is told, ms.
const TELL_MS: f64 = 100.0;
/// How long a worker goes on before it listens again, ms.
const WORKER_MS: f64 = 16.0;
/// Combinations between two looks at the clock.
const STEP: usize = 1000;
/// What a worker says first.
const READY: &str = "ready";

type Tell = Rc<dyn Fn(Told)>;

/// The search, and the work that is left of it.
struct Desk {
    seeker: Rc<RefCell<Option<Seeker>>>,
    left: RefCell<Option<Slices>>,
    slice_ms: f64,
    tell: Tell,
}

impl Desk {
    fn new(slice_ms: f64, tell: Tell) -> Self {
        Self { seeker: Rc::default(), left: RefCell::default(), slice_ms, tell }
    }

    /// Takes an order, and goes on from there whenever there is time.
    fn take(&self, text: String) {
        let (seeker, tell) = (Rc::clone(&self.seeker), Rc::clone(&self.tell));
        let mut text = Some(text);
        let (mut told_ms, mut news) = (0.0, (false, false));
        let work = Slices::run_for(self.slice_ms, move || {
            let mut seeker = seeker.borrow_mut();
            if let Some(text) = text.take() {
                if let Err(why) = order(&mut seeker, &text) {
                    *seeker = None;
                    tell(Told::failed(why));
                }
                return seeker.is_none();
            }
            let Some(seeker) = &mut *seeker else { return true };
            let done = seeker.step(STEP);
            if done || seeker.news() != news || now_ms() - told_ms >= TELL_MS {
                (told_ms, news) = (now_ms(), seeker.news());
                tell(seeker.told());
            }
            done
        });
        self.left.replace(Some(work));
    }
}

fn order(seeker: &mut Option<Seeker>, text: &str) -> Result<(), String> {
    let order = Order::read(text)?;
    match seeker {
        Some(seeker) => seeker.take(order),
        None => Seeker::begin(order).map(|begun| *seeker = Some(begun)),
    }
}

/// In a worker: listens for orders for as long as it lives.
pub fn serve() {
    let scope: DedicatedWorkerGlobalScope = js_sys::global().unchecked_into();
    let post = {
        let scope = scope.clone();
        // A page that is gone hears nothing.
        move |text: &str| drop(scope.post_message(&text.into()))
    };
    let tell = {
        let (post, before) = (post.clone(), RefCell::<Told>::default());
        move |told: Told| {
            let text = told.write(&before.borrow());
            before.replace(told);
            post(&text);
        }
    };
    let desk = Desk::new(WORKER_MS, Rc::new(tell));
    EventListener::new(&scope, "message", move |event| {
        if let Some(text) = text_of(event) {
            desk.take(text);
        }
    })
    .forget();
    post(READY);
}

fn text_of(event: &Event) -> Option<String> {
    event.dyn_ref::<MessageEvent>()?.data().as_string()
}

/// Where orders go.
enum Runs {
    Worker { worker: Worker, ready: bool, _listens: [EventListener; 2] },
    Here(Desk),
}

#[derive(Default)]
struct Room {
    runs: Option<Runs>,
    /// The last order, for a worker that is not ready yet or that failed.
    last: Option<String>,
    hears: Option<Callback<Told>>,
    /// When something was last asked or told.
    spoke_ms: f64,
}

thread_local! {
    static ROOM: RefCell<Room> = RefCell::default();
}

/// Gives an order; what is known is told from then on, until another listens.
pub fn ask(text: String, hears: Callback<Told>) {
    ROOM.with_borrow_mut(|room| {
        room.hears = Some(hears);
        room.last = Some(text);
        room.spoke_ms = now_ms();
    });
    open();
    send();
}

/// Has the worker start, so that the first order does not wait for it.
pub fn open() {
    if ROOM.with_borrow(|room| room.runs.is_none()) {
        let runs = worker().unwrap_or_else(|_| Runs::Here(here()));
        ROOM.with_borrow_mut(|room| room.runs = Some(runs));
    }
}

/// Lets nobody listen any more.
pub fn hush() {
    ROOM.with_borrow_mut(|room| room.hears = None);
}

fn send() {
    ROOM.with_borrow(|room| match (&room.runs, &room.last) {
        (Some(Runs::Worker { worker, ready: true, .. }), Some(text)) => {
            // A text is always passed on.
            let _ = worker.post_message(&text.into());
        }
        (Some(Runs::Here(desk)), Some(text)) => desk.take(text.clone()),
        _ => {}
    });
}

fn here() -> Desk {
    Desk::new(slices::SLICE_MS, Rc::new(hear))
}

/// True while a search is under way, and its news keep the page busy.
pub fn is_busy() -> bool {
    now_ms() - ROOM.with_borrow(|room| room.spoke_ms) < 3.0 * TELL_MS
}

/// What the search told, for whoever listens.
fn hear(told: Told) {
    ROOM.with_borrow_mut(|room| room.spoke_ms = now_ms());
    if let Some(hears) = ROOM.with_borrow(|room| room.hears.clone()) {
        hears.emit(told);
    }
}

/// In place of a worker that failed: slices where it never began; nothing until the next order where it
/// broke off, for what breaks a worker must not break the page.
fn replace() {
    let old = ROOM.with_borrow_mut(|room| room.runs.take());
    let Some(Runs::Worker { worker, ready, .. }) = &old else { return };
    worker.terminate();
    if *ready {
        hear(Told::failed("The search broke off. Change something to try again.".into()));
    } else {
        ROOM.with_borrow_mut(|room| room.runs = Some(Runs::Here(here())));
        send();
    }
}

/// A worker of the page's own starting script, with what was compiled already.
fn worker() -> Result<Runs, JsValue> {
    let script = web_sys::window()
        .and_then(|window| window.document())
        .and_then(|document| document.query_selector("script[src]").ok()?)
        .and_then(|script| script.get_attribute("src"))
        .ok_or(JsValue::NULL)?;
    let options = WorkerOptions::new();
    options.set_type(WorkerType::Module);
    let worker = Worker::new_with_options(&script, &options)?;
    let before = RefCell::<Told>::default();
    let heard = EventListener::new(&worker, "message", move |event| match text_of(event) {
        Some(text) if text == READY => {
            ROOM.with_borrow_mut(|room| {
                if let Some(Runs::Worker { ready, .. }) = &mut room.runs {
                    *ready = true;
                }
            });
            send();
        }
        Some(text) => {
            let told = Told::read(&text, &before.borrow());
            before.replace(told.clone());
            hear(told);
        }
        None => {}
    });
    let failed = EventListener::new(&worker, "error", |event| {
        event.prevent_default();
        // Not from within its own listener.
        gloo::timers::callback::Timeout::new(0, replace).forget();
    });
    worker.post_message(&wasm_bindgen::module())?;
    Ok(Runs::Worker { worker, ready: false, _listens: [heard, failed] })
}
