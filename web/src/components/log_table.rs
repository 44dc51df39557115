//! The log as a table: what was read set by set, a strip of each beside it, and what earlier sets had
//! foretold.

use super::el::{el, maybe, say, text, with};
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
    // Beside its name, so that a narrow screen shows it without a swipe.
    if several {
        heads.push(say("th", "", "How it went"));
    }
    heads.extend(sets.iter().enumerate().map(|(at, set)| {
        let name = vec![text(&name_of(set, at)), say("small", "", &set.date)];
        with("th", &[("scope", "col")], name)
    }));
    let rows = kinds.iter().map(|kind| {
        let read: Vec<Option<(f64, f64)>> = sets.iter().map(|set| of(set, *kind, bench)).collect();
        let mut cells = vec![with("th", &[("scope", "row")], vec![text(&kind.label())])];
        if several {
            let mut there = read.iter().flatten();
            let change = there.next().zip(there.next_back()).map(|(first, last)| {
                let change = last.0 - first.0;
                let sign = if change > 0.0 { "+" } else { "" };
                format!("{sign}{}", reading(change, *kind, units))
            });
            let change = change.map(|change| text(&change));
            cells.push(el("td", "", vec![maybe(change), strip(&read)]));
        }
        cells.extend(read.iter().map(|mean| match mean {
            Some(mean) => number(*mean, *kind, units),
            None => say("td", "", "–"),
        }));
        el("tr", "", cells)
    });
    let notes = sets.iter().enumerate().filter(|(_, set)| !set.note.is_empty());
    let notes = notes.map(|(at, set)| {
        say("p", "help", &format!("{} {}: {}", name_of(set, at), set.date, set.note))
    });
    html! {
        <section class="log" aria-label="Log of readings">
            { say("h2", "", "Readings, set by set") }
            <div class="wide-table" tabindex="0" role="region" aria-label="Readings, set by set"><table>
                <thead>{ el("tr", "", heads) }</thead>
                <tbody>{ for rows }</tbody>
            </table></div>
            { for notes }
        </section>
    }
}

/// A set's name, or its number in the log.
pub fn name_of(set: &Set, at: usize) -> String {
    if set.name.is_empty() { format!("Set {}", at + 1) } else { set.name.clone() }
}

/// A cell with a value and its give-or-take below.
fn number((value, sigma): (f64, f64), kind: Kind, units: Units) -> Html {
    let spread = words::spread(2.0 * sigma, quantity(kind), units);
    let value = reading(value, kind, units);
    el("td", "", vec![say("span", "unbroken", &value), say("small", "", &spread)])
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
    let sets = &bench.log.sets;
    let at = desk.state().hand.set_of(sets.len()).filter(|at| *at > 0);
    let found = at.and_then(|at| Some((at, sets.get(at)?, bench.foretold(at).ok()?)));
    let Some((at, set, found)) = found.filter(|(.., found)| !found.is_empty()) else {
        return html! {};
    };
    let mut missed = false;
    let rows: Vec<Html> = found
        .iter()
        .map(|it| {
            missed |= !it.holds();
            let (class, verdict) =
                if it.holds() { ("", "as foretold") } else { ("attention", "not as foretold") };
            let what = with("th", &[("scope", "row")], vec![text(&it.what.label())]);
            let foretold = number((it.foretold, it.sigma), it.what, units);
            let read = say("td", "", &reading(it.read, it.what, units));
            el("tr", "", vec![what, foretold, read, say("td", class, verdict)])
        })
        .collect();
    let heads = ["What", "Foretold by the sets before", "Read", "Verdict"];
    html! {
        <section class="log" aria-label="Foretold and measured">
            { say("h2", "", &format!("Foretold and measured: {}", name_of(set, at))) }
            <div class="wide-table" tabindex="0" role="region" aria-label="Foretold and measured, row by row"><table>
                <thead>{ el("tr", "", heads.map(|it| say("th", "", it)).to_vec()) }</thead>
                <tbody>{ for rows }</tbody>
            </table></div>
            if missed { { say("p", "help", "Not as foretold: a slip, or the truck is no longer what is entered. What changed since, such as its height, is entered under Truck or Fixes.") } }
        </section>
    }
}
