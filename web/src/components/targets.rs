//! What plans are judged by: every target with its band, where that comes from, and a way to set one's
//! own.

use super::el::{el, say, text, with};
use super::findings::band_words;
use super::own_band::OwnBand;
use crate::answers::Bench;
use crate::components::answer_table;
use crate::hooks::Desk;
use fitment::finding::Aim;
use yew::prelude::*;

/// The list, closed.
pub fn targets(bench: &Bench, desk: &Desk) -> Html {
    let units = desk.state().preferences.units;
    let (end, aims) = (bench.end, bench.aims());
    let rows = aims.iter().map(|(output, aim)| {
        let Aim { band, weight, must } = aim;
        let counts = match (*must, *weight) {
            (true, _) => "must".to_owned(),
            (false, weight) if weight.to_bits() == 1.0_f64.to_bits() => String::new(),
            (false, weight) => format!("weighs {weight}"),
        };
        let head = el(
            "p",
            "target-head",
            vec![
                say("b", "", answer_table::name(*output)),
                text(&format!(" {} ", band_words(band, *output, units))),
                say("b", "", &counts),
            ],
        );
        let source = with("p", &[("class", "help")], vec![text(band.source.words())]);
        // What was typed there is of the band it was typed for.
        let key = format!("{}{}{}{}{must}", output.key(), band.low, band.high, weight);
        html! { <li {key}>{ head }{ source }<OwnBand {end} output={*output} /></li> }
    });
    html! {
        <details class="part-edit targets">
            <summary>{ format!("What plans are judged by: {} targets", aims.len()) }</summary>
            <ul>{ for rows }</ul>
        </details>
    }
}
