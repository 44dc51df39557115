//! What the numbers given so far already say, on one line, with how sure.

use crate::answers::Bench;
use crate::components::answer_table;
use crate::hooks::Desk;
use crate::words;
use fitment::axle::Output;
use fitment::truck::State;
use yew::prelude::*;

/// Three numbers that sharpen with every field.
pub fn so_far(bench: &Bench, desk: &Desk) -> Html {
    let units = desk.state().preferences.units;
    let (Ok(stock), Ok(now)) = (bench.state(State::Stock), bench.state(State::Sitting)) else {
        return html! { <p class="no-answer" role="status">{ bench.state(State::Sitting).err().cloned().unwrap_or_default() }</p> };
    };
    // An axle that does not steer has no caster to speak of; its pinion tips all the same.
    let third = if now.axle.kingpin.is_some() { Output::Caster } else { Output::Pinion };
    html! {
        <dl class="so-far" aria-live="polite" aria-label="What the lift did, so far">
            { for [Output::LateralShift, Output::Panhard, third].into_iter().filter_map(|output| {
                let change = now.sure().change(stock.sure(), output)?;
                let value = answer_table::text(output, change.value, units);
                Some(html! {
                    <div>
                        <dt>{ match output { Output::LateralShift => "Axle moved", Output::Panhard => "Panhard", Output::Caster => "Caster", _ => "Pinion" } }</dt>
                        <dd>{ if output == Output::LateralShift { value } else { signed(change.value, value) } }
                            <span class="spread">{ words::output_spread(change.sigma, output, units) }</span></dd>
                    </div>
                })
            }) }
        </dl>
    }
}

/// A change with its sign.
fn signed(value: f64, text: String) -> String {
    if value > 0.0 && !text.starts_with("0.0") { format!("+{text}") } else { text }
}
