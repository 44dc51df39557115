//! The title block: which build is on the bench, undo and redo, units.

use super::icon::{Icon, icon};
use super::segments::segments;
use crate::hooks::Desk;
use crate::state::{Action, Kind};
use buildfile::Units;
use yew::prelude::*;

/// The title block; `builds` opens the list of builds.
pub fn header(desk: &Desk, builds: &Callback<()>) -> Html {
    let state = desk.state();
    let entry = state.entry();
    let kind = match entry.kind {
        Kind::Example => "Example",
        Kind::Own => "Build",
        Kind::Received => "Received copy",
    };
    let on = usize::from(state.preferences.units == Units::Inch);
    let units =
        desk.on(|index| Action::Units(if index == 0 { Units::Metric } else { Units::Inch }));
    html! {
        <header class="title-block">
            <button type="button" class="build-name" aria-haspopup="dialog" onclick={builds.reform(|_: MouseEvent| ())}>
                <span class="block-label">{ kind }</span>
                <span class="block-value">{ entry.build.name.clone() }</span>
                { icon(Icon::Down) }
            </button>
            <button type="button" class="square" aria-label="Undo" disabled={!entry.can_undo()} onclick={desk.on(|_: MouseEvent| Action::Undo)}>{ icon(Icon::Undo) }</button>
            <button type="button" class="square" aria-label="Redo" disabled={!entry.can_redo()} onclick={desk.on(|_: MouseEvent| Action::Redo)}>{ icon(Icon::Redo) }</button>
            { segments("Units", "small", vec!["mm".into(), "in".into()], on, &units) }
        </header>
    }
}
