//! Front or rear axle.

use super::segments::segments;
use crate::hooks::Desk;
use crate::state::Action;
use fitment::truck::End;
use yew::prelude::*;

/// Shown only on a truck with both.
pub fn end_switch(desk: &Desk) -> Html {
    let truck = &desk.state().entry().build.truck;
    if truck.front.is_none() || truck.rear.is_none() {
        return html! {};
    }
    let on = usize::from(desk.state().end == End::Rear);
    let pick = desk.on(|index| Action::End(if index == 0 { End::Front } else { End::Rear }));
    segments("Axle", "small", vec!["Front".into(), "Rear".into()], on, &pick)
}
