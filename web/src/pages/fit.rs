//! Whether the tire fits: the nearest places, the map over steering and travel, the offset window.

use crate::answers::Bench;
use crate::components::cautions::cautions;
use crate::components::fit_finder::FitFinder;
use crate::components::fit_limits::FitLimits;
use crate::components::fit_window::fit_window;
use crate::components::page_head::page_head;
use crate::components::stance::{self, stance_switch};
use crate::hooks::Desk;
use fitment::clearance::Options;
use std::rc::Rc;
use yew::prelude::*;

/// The page.
pub fn page(desk: &Desk, bench: &Bench) -> Html {
    let state = desk.state().drawn;
    let units = desk.state().preferences.units;
    let head = html! { <>{ page_head("Does the tire fit?", desk) }{ stance_switch(desk) }</> };
    let fit = match bench.fit(state) {
        Ok(fit) => Rc::clone(fit),
        Err(error) => {
            return html! { <>{ head }<p class="no-answer" role="status">{ error.to_string() }</p></> };
        }
    };
    if fit.contacts.is_empty() {
        return html! { <>{ head }<p class="verdict">{ "Nothing to clear was measured." }</p></> };
    }
    let setup = bench.axle.setup(state);
    let (left, right) = setup.lift();
    let rest_mm = -f64::midpoint(left.value, right.value);
    let offset_mm = setup.wheel.offset_mm.value;
    html! {
        <>
            { head }
            if fit.unreachable_rows > 0 {
                <p class="help">{ "Part of the travel is out of the links' reach and left blank." }</p>
            }
            <div class="fit-page">
                <FitFinder key={stance::name(state)} fit={Rc::clone(&fit)} bench={bench.clone()} {state} {rest_mm} />
            </div>
            <div class="fit-answers">
                <FitLimits fit={Rc::clone(&fit)} bench={bench.clone()} {state} {rest_mm} />
                if let Some(window) = &fit.window {
                    { fit_window(window, &bench.axle, offset_mm, Options::default().margin_mm, units) }
                }
            </div>
            { cautions() }
        </>
    }
}
