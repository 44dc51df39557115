//! Short words at the edge of the page, each with what can be done about it.

use super::icon::{Icon, icon};
use crate::hooks::{use_desk, use_update};
use crate::infra::window;
use crate::state::{Action, Offer, Tone};
use yew::prelude::*;

/// Notices and the offer of a new version; read out as they come.
#[component]
pub fn Notices() -> Html {
    let desk = use_desk();
    let update = use_update();
    let later = use_state(|| false);
    html! {
        <div class="notices" role="status" aria-live="polite">
            if update && !*later {
                <div class="notice">
                    <p>{ "A new version of this page is ready. Your builds stay as they are." }</p>
                    <button type="button" class="primary" onclick={Callback::from(|_: MouseEvent| window::take_over())}>{ "Use it now" }</button>
                    <button type="button" onclick={let later = later.clone(); Callback::from(move |_: MouseEvent| later.set(true))}>{ "Later" }</button>
                </div>
            }
            { for desk.state().notices.iter().map(|notice| {
                let id = notice.id;
                let dismiss = desk.on(move |_: MouseEvent| Action::Dismiss(id));
                html! {
                    <div key={id} class={classes!("notice", (notice.tone == Tone::Trouble).then_some("trouble"))}>
                        <p>if notice.tone == Tone::Trouble { <b>{ "Not done. " }</b> }{ notice.text.clone() }</p>
                        if notice.offer == Some(Offer::Undelete) {
                            <button type="button" class="primary" onclick={desk.on(|_: MouseEvent| Action::Undelete)}>{ "Bring it back" }</button>
                        }
                        <button type="button" class="square" aria-label="Dismiss" onclick={dismiss}>{ icon(Icon::Close) }</button>
                    </div>
                }
            }) }
        </div>
    }
}
