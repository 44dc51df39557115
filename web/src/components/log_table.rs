//! The log as a table: what was read set by set, a strip of each beside it, and what earlier sets had
//! foretold.

use super::el::{el, say, with};
use crate::answers::Bench;
use crate::hooks::Desk;
use crate::state::readings::quantity;
use crate::words;
use buildfile::Units;
use fitment::calibrate::{Kind, Set, Taken};
use fitment::measure::format;
use std::fmt::Write;
use yew::prelude::*;

/// A reading with its unit: tenths of a millimeter, sixteenths, hundredths of a degree.
pub fn reading(value: f64, kind: Kind, units: Units) -> String {
    match (kind.is_angle(), units) {
        (true, _) => format::degrees(value, 2),
        (false, Units::Metric) => format::millimetres(value, 1),
        (false, Units::Inch) => format::inches(value),
    }
}

fn of(set: &Set, kind: Kind, bench: &Bench) -> Option<(f64, f64)> {
    let found = |it: &&Taken| it.what == kind && it.end == bench.end;
    set.readings.iter().find(found)?.mean()
}

/// What was read of this axle, set by set; nothing before anything was.
pub fn log_table(bench: &Bench, units: Units) -> Html {
    let sets = &bench.log.sets;
    let mut kinds: Vec<Kind> = Vec::new();
    for taken in sets.iter().flat_map(|set| &set.readings).filter(|it| it.end == bench.end) {
        if !kinds.contains(&taken.what) {
            kinds.push(taken.what);
        }
    }
    if kinds.is_empty() {
        return html! {};
    }
    let several = sets.len() > 1;
    let mut heads = vec![say("th", "", "What")];
    for (at, set) in sets.iter().enumerate() {
        let name = if set.name.is_empty() { format!("Set {}", at + 1) } else { set.name.clone() };
        heads.push(with(
            "th",
            &[("scope", "col")],
            vec![html! { <>{ name }<small>{ set.date.clone() }</small></> }],
        ));
    }
    if several {
        heads.extend(["Change", "How it went"].map(|words| say("th", "", words)));
    }
    let rows = kinds.iter().map(|kind| {
        let read: Vec<Option<(f64, f64)>> = sets.iter().map(|set| of(set, *kind, bench)).collect();
        let mut cells = vec![with("th", &[("scope", "row")], vec![html! { { kind.label() } }])];
        for mean in &read {
            let words = mean.map_or("–".to_owned(), |(value, sigma)| {
                let spread = words::spread(2.0 * sigma, quantity(*kind), units);
                format!("{} {spread}", reading(value, *kind, units))
            });
            cells.push(say("td", "", &words));
        }
        if several {
            let there: Vec<(f64, f64)> = read.iter().flatten().copied().collect();
            let change = match (there.first(), there.last()) {
                (Some(first), Some(last)) if there.len() > 1 => {
                    reading(last.0 - first.0, *kind, units)
                }
                _ => String::new(),
            };
            cells.push(say("td", "", &change));
            cells.push(el("td", "", vec![strip(&read)]));
        }
        el("tr", "", cells)
    });
    let notes = sets.iter().filter(|set| !set.note.is_empty());
    let notes =
        notes.map(|set| say("p", "help", &format!("{} {}: {}", set.name, set.date, set.note)));
    html! {
        <section class="log" aria-label="Log of readings">
            <div class="wide-table" tabindex="0" role="region" aria-label="Readings, set by set"><table>
                <thead>{ el("tr", "", heads) }</thead>
                <tbody>{ for rows }</tbody>
            </table></div>
            { for notes }
        </section>
    }
}

const WIDE: f64 = 96.0;
const HIGH: f64 = 32.0;

/// The readings from set to set, each with its give-or-take.
fn strip(read: &[Option<(f64, f64)>]) -> Html {
    let ends = read.iter().flatten().flat_map(|(v, s)| [v - 2.0 * s, v + 2.0 * s]);
    let (low, high) =
        ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
    let x = |at: usize| 8.0 + (WIDE - 16.0) * at as f64 / (read.len() - 1).max(1) as f64;
    let y = |v: f64| HIGH - 3.0 - (HIGH - 6.0) * (v - low) / (high - low).max(f64::MIN_POSITIVE);
    let (mut line, mut bars) = (String::new(), String::new());
    // Writing to a string cannot fail.
    for (at, (value, sigma)) in read.iter().enumerate().filter_map(|(at, it)| Some((at, (*it)?))) {
        let _ =
            write!(line, "{}{:.0} {:.1}", if line.is_empty() { 'M' } else { 'L' }, x(at), y(value));
        let [bottom, top] = [-2.0, 2.0].map(|n| y(value + n * sigma));
        let _ = write!(
            bars,
            "M{0:.0} {1:.1}V{2:.1}M{3:.0} {4:.1}h6",
            x(at),
            bottom,
            top,
            x(at) - 3.0,
            y(value)
        );
    }
    html! {
        <svg class="strip" viewBox={format!("0 0 {WIDE} {HIGH}")} width={WIDE.to_string()} height={HIGH.to_string()} aria-hidden="true">
            <path class="line" d={line} /><path class="bars" d={bars} />
        </svg>
    }
}

/// What the sets before the one in hand had foretold for it.
pub fn foretold(bench: &Bench, desk: &Desk) -> Html {
    let units = desk.state().preferences.units;
    let set = desk.state().hand.set_of(bench.log.sets.len()).filter(|set| *set > 0);
    let Some(found) = set.and_then(|set| bench.foretold(set).ok()).filter(|it| !it.is_empty())
    else {
        return html! {};
    };
    let rows = found.iter().map(|it| {
        let off = (it.read - it.foretold) / it.sigma;
        let verdict = if off.abs() <= 2.0 { "as foretold" } else { "not as foretold" };
        el(
            "tr",
            "",
            vec![
                with("th", &[("scope", "row")], vec![html! { { it.what.label() } }]),
                say(
                    "td",
                    "",
                    &format!(
                        "{} {}",
                        reading(it.foretold, it.what, units),
                        words::spread(2.0 * it.sigma, quantity(it.what), units)
                    ),
                ),
                say("td", "", &reading(it.read, it.what, units)),
                say("td", if off.abs() <= 2.0 { "" } else { "attention" }, verdict),
            ],
        )
    });
    html! {
        <section class="log" aria-label="Foretold and measured">
            <h2>{ "Foretold and measured" }</h2>
            <div class="wide-table" tabindex="0" role="region" aria-label="Foretold and measured, row by row"><table>
                <thead>{ el("tr", "", ["What", "Foretold by the sets before", "Read now", "Verdict"].map(|it| say("th", "", it)).to_vec()) }</thead>
                <tbody>{ for rows }</tbody>
            </table></div>
        </section>
    }
}
