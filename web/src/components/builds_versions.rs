//! Earlier versions of the build on the bench.

use crate::hooks::Desk;
use crate::infra::window;
use crate::state::Action;
use yew::prelude::*;

/// A list, newest first; restoring one is a step that can be taken back.
pub fn versions(desk: &Desk) -> Html {
    let trail = &desk.state().entry().trail;
    if trail.is_empty() {
        return html! {};
    }
    html! {
        <details class="versions">
            <summary>{ format!("Earlier versions of this build ({})", trail.len()) }</summary>
            <ul>
                { for trail.iter().enumerate().rev().map(|(index, revision)| {
                    let when = window::date_text(revision.at_ms);
                    html! {
                        <li key={index}>
                            <span>{ format!("as before {when}") }</span>
                            <button type="button" aria-label={format!("Go back to {when}")} onclick={desk.on(move |_: MouseEvent| Action::Restore(index))}>{ "Go back to it" }</button>
                        </li>
                    }
                }) }
            </ul>
        </details>
    }
}
