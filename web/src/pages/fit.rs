//! Whether the tire fits: one verdict, the map under a finger, the nearest places, and what would
//! make it clear.

use crate::answers::Bench;
use crate::components::cautions::cautions;
use crate::components::fit_study::FitStudy;
use crate::components::page_head::page_head;
use crate::components::stance::{self, stance_switch};
use crate::hooks::Desk;
use yew::prelude::*;

/// The page.
pub fn page(desk: &Desk, bench: &Bench) -> Html {
    let state = desk.state().drawn;
    html! {
        <>
            { page_head("Does the tire fit?", desk) }
            { stance_switch(desk) }
            <FitStudy key={stance::name(state)} bench={bench.plain()} {state} />
            { cautions() }
        </>
    }
}
