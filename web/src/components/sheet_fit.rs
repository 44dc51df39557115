//! The sheet's summary of how the tire fits: the least clearance to each thing, where that is, and
//! how far the wheel may move in or out.

use super::fit_contacts::{place, side, verdict};
use super::fit_map::obstacle;
use super::severity::severity;
use super::sheet_table::both;
use crate::words;
use buildfile::Units;
use fitment::clearance::{Contact, Fit, FitError, Obstacle, Options, Window, WindowEnd};
use yew::prelude::*;

/// One state's fit and what the state is called.
pub fn fit(title: &str, fit: &Result<Fit, FitError>, units: Units) -> Html {
    let fit = match fit {
        Ok(fit) => fit,
        Err(why) => {
            return html! { <div><h3>{ title }</h3><p>{ format!("No answer: {why}.") }</p></div> };
        }
    };
    let nearest = Obstacle::ALL
        .into_iter()
        .filter_map(|which| fit.contacts.iter().find(|c| c.obstacle == which));
    html! {
        <div>
            <h3>{ title }</h3>
            <table class="sheet-fit">
                <tbody>
                    { for nearest.map(|contact| html! {
                        <tr>
                            <th scope="row">{ obstacle(contact.obstacle) }</th>
                            <td><b>{ clearance(contact, units) }</b>{ " " }{ spread(contact, units) }</td>
                            <td>{ severity(verdict(contact)) }</td>
                            <td class="where">{ format!("{} wheel, {}", side(contact.side), place(contact, units)) }</td>
                        </tr>
                    }) }
                </tbody>
            </table>
            <p>{ window(&fit.window, units) }</p>
        </div>
    }
}

fn clearance(contact: &Contact, units: Units) -> String {
    match contact.clearance_mm {
        mm if mm < 0.0 => format!("touches by {}", words::length(-mm, units)),
        mm => both(mm, units),
    }
}

fn spread(contact: &Contact, units: Units) -> String {
    words::spread(
        (2.0 * contact.sigma_mm).max(0.5).round(),
        crate::state::edit::Quantity::Length,
        units,
    )
}

/// The window of offsets in words.
fn window(window: &Window, units: Units) -> String {
    let room = words::length(Options::default().margin_mm, units);
    let offset = |end: &WindowEnd| {
        let sign = if end.offset_mm > 0.0 { "+" } else { "" };
        format!("{sign}{}", words::length(end.offset_mm, Units::Metric))
    };
    match window {
        Window::Clears { inboard, outboard } => format!(
            "Wheel offset from {} to {} keeps {room} to everything measured.",
            offset(outboard),
            offset(inboard)
        ),
        Window::Never { best, clearance_mm } => {
            let rest = match *clearance_mm {
                mm if mm < 0.0 => format!("still touches by {}", words::length(-mm, units)),
                mm => format!("leaves {}", words::length(mm, units)),
            };
            format!(
                "No wheel offset keeps {room} to everything; the best, {}, {rest}.",
                offset(best)
            )
        }
    }
}
