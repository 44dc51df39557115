//! Which state of the truck is in view.

use super::segments::segments;
use crate::hooks::Desk;
use crate::state::Action;
use fitment::truck::State;
use yew::prelude::*;

/// A state's name.
pub const fn name(state: State) -> &'static str {
    match state {
        State::Stock => "Stock",
        State::Sitting => "As it sits",
        State::Planned => "Planned",
    }
}

/// Stock, as it sits, planned.
pub fn stance_switch(desk: &Desk) -> Html {
    let drawn = desk.state().drawn;
    let on = State::ALL.iter().position(|state| *state == drawn).unwrap_or(1);
    let pick = desk
        .on(|index: usize| Action::Drawn(State::ALL.get(index).copied().unwrap_or(State::Sitting)));
    let options = State::ALL.map(|state| AttrValue::from(name(state))).to_vec();
    segments("State of the truck", "", options, on, &pick)
}
