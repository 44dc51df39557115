//! Ways to start a build.

use super::arrangement::{layout_name, layout_words};
use crate::hooks::Desk;
use crate::infra::address;
use crate::state::{Action, Page};
use fitment::truck::LayoutKind;
use yew::prelude::*;

/// Buttons for every start; each closes what is around.
pub fn new_build(desk: &Desk, close: &Callback<()>) -> Html {
    let start = |action: Action| {
        let (desk, close) = (desk.clone(), close.clone());
        Callback::from(move |_: MouseEvent| {
            desk.act(action.clone());
            close.emit(());
            address::go(Page::Truck.slug());
        })
    };
    html! {
        <section>
            <h3>{ "New build" }</h3>
            <p class="help">{ "Empty, by how the front axle is held:" }</p>
            <div class="row-buttons">
                { for LayoutKind::ALL.into_iter().map(|kind| html! {
                    <button type="button" title={layout_words(kind)} onclick={start(Action::NewEmpty(kind))}>{ layout_name(kind) }</button>
                }) }
            </div>
            <div class="row-buttons">
                <button type="button" onclick={start(Action::MineFromExample)}>{ "From the example's numbers" }</button>
                <button type="button" onclick={start(Action::NewExample)}>{ "The example again" }</button>
            </div>
        </section>
    }
}
