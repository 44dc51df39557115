//! The sheet's summary of how the tire fits: the least clearance to each thing, where that is, and
//! how far the wheel may move in or out.

use super::fit_contacts::{side, spread, verdict};
use super::fit_map::obstacle;
use super::fit_spot::place;
use super::severity::severity;
use super::sheet_table::both;
use crate::words;
use buildfile::Units;
use fitment::clearance::{Contact, Fit, FitError, Obstacle, Options, Window, WindowEnd};
use fitment::few::sort_few;
use fitment::truck::Axle;
use std::rc::Rc;
use yew::prelude::*;

/// Obstacles that get a line of their own on paper: the nearest ones.
const MOST: usize = 2;

/// The fit as it sits and as planned, side by side.
pub fn table(axle: &Axle, fits: [Result<&Rc<Fit>, &FitError>; 2], units: Units) -> Html {
    let row = |title: &str, cell: &dyn Fn(&Fit) -> Html| {
        let cells = fits.iter().map(|fit| match fit {
            Ok(fit) => html! { <td>{ cell(fit) }</td> },
            Err(_) => html! { <td>{ "—" }</td> },
        });
        html! { <tr><th scope="row">{ title.to_owned() }</th>{ for cells }</tr> }
    };
    let least = |fit: &Fit, which: Obstacle| {
        let of = fit.contacts.iter().filter(|c| c.obstacle == which);
        of.map(|c| c.clearance_mm).reduce(f64::min)
    };
    let known = || fits.iter().filter_map(|fit| fit.as_ref().ok());
    let mut met: Vec<(f64, Obstacle)> = Obstacle::all(&axle.surroundings)
        .into_iter()
        .filter_map(|which| {
            let least = known().filter_map(|fit| least(fit, which)).reduce(f64::min)?;
            Some((least, which))
        })
        .collect();
    sort_few(&mut met, |a, b| a.0.total_cmp(&b.0));
    let rest = met.split_off(MOST.min(met.len()));
    let others = |fit: &Fit| {
        let least = rest.iter().filter_map(|(_, which)| least(fit, *which)).reduce(f64::min);
        least.map_or_else(|| html! { "—" }, |mm| html! { { both(mm, units) } })
    };
    html! {
        <>
            <table class="sheet-table sheet-fit">
                <thead><tr><th scope="col">{ "Tire to" }</th><th scope="col">{ "As it sits, at the nearest; below zero touches" }</th><th scope="col">{ "Planned" }</th></tr></thead>
                <tbody>
                    { for met.iter().map(|(_, which)| row(&obstacle(axle, *which), &|fit: &Fit| {
                        fit.contacts.iter().find(|c| c.obstacle == *which).map_or_else(|| html! { "—" }, |c| nearest(c, units))
                    })) }
                    if !rest.is_empty() {
                        { row("all else, at the least", &others) }
                    }
                    { row("Wheel offset", &|fit: &Fit| html! { if let Some(found) = &fit.window { { window(found, units) } } }) }
                </tbody>
            </table>
            { for fits.iter().filter_map(|fit| fit.err()).take(1).map(|why| html! { <p class="sheet-note">{ format!("No answer: {why}.") }</p> }) }
        </>
    }
}

/// How near, how sure, how judged and where.
fn nearest(contact: &Contact, units: Units) -> Html {
    html! {
        <div class="sheet-cell">
            <span><b>{ both(contact.clearance_mm, units) }</b>{ " " }{ spread(contact, units) }</span>
            { severity(verdict(contact)) }
            <span class="sheet-second">{ format!("{} tire, {}", side(contact.side), place(contact.steer_rad, contact.travel_mm, units)) }</span>
        </div>
    }
}

/// The window of offsets in words.
fn window(window: &Window, units: Units) -> String {
    let room = words::length(Options::default().margin_mm, units);
    let offset = |end: &WindowEnd| {
        let sign = if end.offset_mm > 0.0 { "+" } else { "" };
        format!("{sign}{}", words::length(end.offset_mm, Units::Metric))
    };
    match window {
        Window::Clears { inboard, outboard } => {
            format!("{} to {} keeps {room} to everything", offset(outboard), offset(inboard))
        }
        Window::Never { best, clearance_mm } => format!(
            "none keeps {room}; best {}, leaving {}",
            offset(best),
            words::length(*clearance_mm, units)
        ),
    }
}
