//! Which state of the truck is in view.

use super::segments::Segments;
use crate::hooks::use_desk;
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
#[component]
pub fn StanceSwitch() -> Html {
    let desk = use_desk();
    let drawn = desk.state().drawn;
    let on = State::ALL.iter().position(|state| *state == drawn).unwrap_or(1);
    let pick = desk
        .on(|index: usize| Action::Drawn(State::ALL.get(index).copied().unwrap_or(State::Sitting)));
    let options = State::ALL.map(|state| AttrValue::from(name(state))).to_vec();
    html! { <Segments label="State of the truck" {options} {on} {pick} /> }
}
