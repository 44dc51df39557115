//! The search for the best plans of the axle in view: asked anew with every change, told as it goes.

use super::Desk;
use crate::infra::room;
use crate::seek::{Told, ask_text};
use std::rc::Rc;
use yew::prelude::*;

/// What is known so far; nothing before the first word.
#[hook]
pub fn use_search(desk: &Desk, stop: bool) -> Option<Rc<Told>> {
    let told = use_state(|| None::<Rc<Told>>);
    let state = desk.state();
    let order = (Rc::clone(&state.entry().build), state.end, state.preferences.units, stop);
    let set = told.setter();
    use_effect_with(order, move |(build, end, units, stop)| {
        let hears = Callback::from(move |told| set.set(Some(Rc::new(told))));
        match ask_text(*units, *end, *stop, build) {
            Ok(text) => room::ask(text, hears),
            Err(why) => hears.emit(Told::failed(why)),
        }
    });
    use_effect_with((), |()| room::hush);
    (*told).clone()
}
