//! Whether a new version of the page waits to be let in.

use crate::infra::window;
use gloo::events::EventListener;
use yew::prelude::*;

/// True once a new version waits.
#[hook]
pub fn use_update() -> bool {
    let waits = use_state(window::update_waits);
    let set = waits.setter();
    use_effect_with((), move |()| {
        let listener = web_sys::window().map(|window| {
            EventListener::new(&window, "tapewright:update-waiting", move |_| set.set(true))
        });
        move || drop(listener)
    });
    *waits
}
