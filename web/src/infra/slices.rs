//! Long work in slices short enough to leave every frame to the finger.

use super::window::now_ms;
use gloo::timers::callback::Timeout;
use std::cell::RefCell;
use std::rc::Rc;

/// How long a slice may take beside a page, ms.
pub const SLICE_MS: f64 = 4.0;

type Slot = Rc<RefCell<Option<Timeout>>>;

/// Work under way; what is left of it is not done once this is dropped.
pub struct Slices(Slot);

impl Slices {
    /// Calls `step` over and over, from a timer, until it says that all is done.
    pub fn run(step: impl FnMut() -> bool + 'static) -> Self {
        Self::run_for(SLICE_MS, step)
    }

    /// The same with slices of so many ms.
    pub fn run_for(slice_ms: f64, step: impl FnMut() -> bool + 'static) -> Self {
        let slot = Slot::default();
        slice(&slot, slice_ms, Box::new(step));
        Self(slot)
    }
}

impl Drop for Slices {
    fn drop(&mut self) {
        self.0.take();
    }
}

fn slice(slot: &Slot, slice_ms: f64, mut step: Box<dyn FnMut() -> bool>) {
    let again = Rc::downgrade(slot);
    let later = Timeout::new(0, move || {
        let from = now_ms();
        let done = loop {
            let done = step();
            if done || now_ms() - from >= slice_ms {
                break done;
            }
        };
        if let Some(slot) = again.upgrade().filter(|_| !done) {
            slice(&slot, slice_ms, step);
        }
    });
    slot.replace(Some(later));
}
