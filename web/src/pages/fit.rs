//! Whether the tire fits: the nearest places, the map over steering and travel, the offset window.

use crate::components::cautions::cautions;
use crate::components::fit_contacts::{self, FitContacts};
use crate::components::fit_limits::FitLimits;
use crate::components::fit_map::{FitMap, obstacle};
use crate::components::fit_window::fit_window;
use crate::components::page_head::page_head;
use crate::components::stance::stance_switch;
use crate::hooks::{use_bench, use_desk, use_fit};
use crate::state::edit::Quantity;
use crate::words;
use fitment::clearance::Options;
use fitment::finding::Severity;
use std::rc::Rc;
use yew::prelude::*;

/// The page.
#[component]
pub fn FitPage() -> Html {
    let desk = use_desk();
    let bench = use_bench();
    let state = desk.state().drawn;
    let end = desk.state().end;
    let units = desk.state().preferences.units;
    let answer = use_fit(state);
    let Some(bench) = bench else {
        return html! { <p class="no-answer">{ "This build has no axle yet." }</p> };
    };
    let head = html! { <>{ page_head("Does the tire fit?", &desk) }{ stance_switch(&desk) }</> };
    let fit = match &*answer {
        Some(Ok(fit)) => Rc::clone(fit),
        Some(Err(error)) => {
            return html! { <>{ head }<p class="no-answer" role="status">{ error.to_string() }</p></> };
        }
        None => return head,
    };
    let setup = desk.state().entry().build.truck.axle(end).map(|axle| axle.setup(state).clone());
    let rest_mm = setup.as_ref().map_or(0.0, |setup| {
        let (left, right) = setup.lift();
        -f64::midpoint(left.value, right.value)
    });
    let tire = setup.as_ref().map_or_else(String::new, |setup| setup.tire.size.clone());
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
    let offset_mm = setup.as_ref().map_or(0.0, |setup| setup.wheel.offset_mm.value);
    html! {
        <>
            { head }
            <p class="verdict" aria-live="polite">{ verdict }</p>
            if fit.unreachable_rows > 0 {
                <p class="help">{ "Part of the travel is out of the links' reach and left blank." }</p>
            }
            <div class="two">
                <div>
                    <FitContacts fit={Rc::clone(&fit)} {bench} {state} />
                    <FitLimits fit={Rc::clone(&fit)} {state} {rest_mm} />
                    { fit_window(&fit.window, offset_mm, Options::default().margin_mm, units) }
                </div>
                <FitMap fit={Rc::clone(&fit)} {rest_mm} />
            </div>
            { cautions() }
        </>
    }
}
