//! Front or rear axle.

use super::segments::Segments;
use crate::hooks::use_desk;
use crate::state::Action;
use fitment::truck::End;
use yew::prelude::*;

/// Shown only on a truck with both.
#[component]
pub fn EndSwitch() -> Html {
    let desk = use_desk();
    let truck = &desk.state().entry().build.truck;
    if truck.front.is_none() || truck.rear.is_none() {
        return html! {};
    }
    let on = usize::from(desk.state().end == End::Rear);
    let pick = desk.on(|index| Action::End(if index == 0 { End::Front } else { End::Rear }));
    html! { <Segments label="Axle" small=true options={vec!["Front".into(), "Rear".into()]} {on} {pick} /> }
}
