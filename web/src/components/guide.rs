//! The first eight numbers, one at a time, each with its picture and what it already tells.

use super::arrangement::{layout_choice, layout_details};
use super::field_picture::FieldPicture;
use super::number_field::NumberField;
use super::so_far::so_far;
use crate::answers::Bench;
use crate::hooks::Desk;
use crate::infra::address;
use crate::state::{Action, Page, catalog};
use yew::prelude::*;

/// One step: 0 is the layout, then one for each number.
pub fn guide(bench: &Bench, step: usize, desk: &Desk) -> Html {
    let state = desk.state();
    let end = state.end;
    let Some(axle) = state.entry().build.truck.axle(end) else { return html! {} };
    let steps = catalog::first(axle, end);
    let last = steps.len();
    let step = step.min(last);
    let to = |step: Option<usize>| desk.on(move |_: MouseEvent| Action::Guide(step));
    let done = {
        let desk = desk.clone();
        Callback::from(move |_: MouseEvent| {
            desk.act(Action::Guide(None));
            address::go(Page::Lift.slug());
        })
    };
    let title = match step.checked_sub(1).and_then(|index| steps.get(index)) {
        None => "Which axle is it?",
        Some(spec) => spec.label,
    };
    html! {
        <section class="guide" aria-labelledby="guide-title">
            <p class="step" aria-live="polite">{ if step == 0 { "First, the layout".to_owned() } else { format!("Number {step} of {last}") } }</p>
            <progress max={last.to_string()} value={step.to_string()} aria-label="How far along"></progress>
            { so_far(bench, desk) }
            <h2 id="guide-title">{ title }</h2>
            if step == 0 {
                { layout_choice(axle, end, desk) }
                { layout_details(axle, end, desk) }
            } else if let Some(spec) = steps.get(step - 1) {
                <FieldPicture bench={bench.clone()} path={spec.path.clone()} />
                <NumberField key={spec.path.clone()} spec={spec.clone()} at="g" explain=true />
            }
            <div class="steps">
                if step > 0 { <button type="button" onclick={to(Some(step - 1))}>{ "Back" }</button> }
                else { <button type="button" onclick={to(None)}>{ "All numbers" }</button> }
                if step < last {
                    <button type="button" class="primary" onclick={to(Some(step + 1))}>{ if step == 0 { "Start" } else { "Next" } }</button>
                } else {
                    <button type="button" class="primary" onclick={done}>{ "What the lift did" }</button>
                }
            </div>
            <p class="help">{ "Skip what you cannot reach: a stand-in is used, marked assumed, with a wide give-or-take." }</p>
        </section>
    }
}
