//! Long work in slices short enough to leave every frame to the finger.

use super::window::now_ms;
use gloo::timers::callback::Timeout;
use std::cell::RefCell;
use std::rc::Rc;

/// How long a slice may take, ms.
const SLICE_MS: f64 = 4.0;

type Slot = Rc<RefCell<Option<Timeout>>>;

/// Work under way; what is left of it is not done once this is dropped.
pub struct Slices(Slot);

impl Slices {
    /// Calls `step` over and over, from a timer, until it says that all is done.
    pub fn run(step: impl FnMut() -> bool + 'static) -> Self {
        let slot = Slot::default();
        slice(&slot, step);
        Self(slot)
    }
}

impl Drop for Slices {
    fn drop(&mut self) {
        self.0.take();
    }
}

fn slice(slot: &Slot, mut step: impl FnMut() -> bool + 'static) {
    let again = Rc::downgrade(slot);
    let later = Timeout::new(0, move || {
        let from = now_ms();
        let done = loop {
            let done = step();
            if done || now_ms() - from >= SLICE_MS {
                break done;
            }
        };
        if let Some(slot) = again.upgrade().filter(|_| !done) {
            slice(&slot, step);
        }
    });
    slot.replace(Some(later));
}
