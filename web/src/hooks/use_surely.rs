//! The answers on the bench, and once the builder's hand rests, how sure they are where slopes do not
//! tell.

use crate::answers::Bench;
use crate::infra::room;
use gloo::timers::callback::Timeout;
use std::cell::Cell;
use std::rc::Rc;
use yew::prelude::*;

/// How long nothing must change before anything is looked at more closely, ms.
const REST_MS: u32 = 150;

/// The same answers, as surely as they are known by now.
#[hook]
pub fn use_surely(bench: Option<Bench>) -> Option<Bench> {
    let sure = use_state(|| None::<Bench>);
    let set = sure.setter();
    use_effect_with(bench.clone(), move |bench| {
        let wanted = Rc::new(Cell::new(true));
        if let Some(bench) = bench.clone() {
            look(bench, set, Rc::clone(&wanted), REST_MS);
        }
        move || wanted.set(false)
    });
    let sure = sure.as_ref().filter(|sure| bench.as_ref().is_some_and(|bench| sure.is_of(bench)));
    sure.cloned().or(bench)
}

/// Looks at one answer after another, a finger or a frame in between, while no search tells its plans.
fn look(bench: Bench, set: UseStateSetter<Option<Bench>>, wanted: Rc<Cell<bool>>, after_ms: u32) {
    Timeout::new(after_ms, move || {
        if !wanted.get() {
            // Another build is on the bench.
        } else if room::is_busy() {
            look(bench, set, wanted, REST_MS);
        } else if bench.look_closer() {
            set.set(Some(bench.sure()));
        } else {
            look(bench, set, wanted, 0);
        }
    })
    .forget();
}
