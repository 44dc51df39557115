//! Whether the tire fits: the nearest places, the map over steering and travel, the offset window.

use crate::answers::Bench;
use crate::components::cautions::cautions;
use crate::components::fit_contacts::{self, FitContacts};
use crate::components::fit_limits::FitLimits;
use crate::components::fit_map::{FitMap, obstacle};
use crate::components::fit_window::fit_window;
use crate::components::page_head::page_head;
use crate::components::stance::stance_switch;
use crate::hooks::Desk;
use crate::state::edit::Quantity;
use crate::words;
use fitment::clearance::Options;
use fitment::finding::Severity;
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
    let setup = bench.axle.setup(state);
    let (left, right) = setup.lift();
    let rest_mm = -f64::midpoint(left.value, right.value);
    let tire = &setup.tire.size;
    let verdict = match fit.contacts.first() {
        None => "Nothing to clear was measured.".to_owned(),
        Some(nearest) if fit_contacts::verdict(nearest) == Severity::Unknown => format!(
            "Too close to call: {tire} to the {}, {} {}.",
            obstacle(nearest.obstacle),
            words::length(nearest.clearance_mm, units),
            words::spread((2.0 * nearest.sigma_mm).round(), Quantity::Length, units)
        ),
        Some(nearest) if nearest.clearance_mm < 0.0 => {
            format!(
                "{tire} touches: {} into the {}.",
                words::length(-nearest.clearance_mm, units),
                obstacle(nearest.obstacle)
            )
        }
        Some(nearest) => {
            format!(
                "{tire} leaves {} to the {} at the least.",
                words::length(nearest.clearance_mm, units),
                obstacle(nearest.obstacle)
            )
        }
    };
    let offset_mm = setup.wheel.offset_mm.value;
    html! {
        <>
            { head }
            <p class="verdict" aria-live="polite">{ verdict }</p>
            if fit.unreachable_rows > 0 {
                <p class="help">{ "Part of the travel is out of the links' reach and left blank." }</p>
            }
            <div class="two">
                <div>
                    <FitContacts fit={Rc::clone(&fit)} bench={bench.clone()} {state} />
                    <FitLimits fit={Rc::clone(&fit)} {state} {rest_mm} />
                    { fit_window(&fit.window, offset_mm, Options::default().margin_mm, units) }
                </div>
                <FitMap fit={Rc::clone(&fit)} {rest_mm} />
            </div>
            { cautions() }
        </>
    }
}
