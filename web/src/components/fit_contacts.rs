//! Where the tire comes nearest to each thing, nearest first; tapping one puts the finger there.

use super::findings::{full_path, measure_button};
use super::fit_map::obstacle;
use super::fit_spot::place;
use crate::answers::Bench;
use crate::hooks::Desk;
use crate::state::catalog::long_name;
use crate::state::edit::Quantity;
use crate::words;
use buildfile::Units;
use fitment::clearance::Contact;
use fitment::finding::Severity;
use fitment::truck::Side;
use yew::prelude::*;

/// A side's name.
pub const fn side(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

/// Touching is out of band, within two standard deviations of it unknown.
pub fn verdict(contact: &Contact) -> Severity {
    match contact.clearance_mm {
        mm if mm < -2.0 * contact.sigma_mm => Severity::Out,
        mm if mm < 2.0 * contact.sigma_mm => Severity::Unknown,
        mm if mm < 10.0 => Severity::Watch,
        _ => Severity::InBand,
    }
}

/// How near, in words: "22 mm into the frame rail", "14 mm to the frame rail"; what rounds to nothing is
/// not into anything.
pub fn nearness(clearance_mm: f64, what: &str, units: Units) -> String {
    let text = words::length(clearance_mm.abs(), units);
    let into = clearance_mm < 0.0 && text != words::length(0.0, units);
    format!("{text} {} the {what}", if into { "into" } else { "to" })
}

/// How far a contact may be off.
pub fn spread(contact: &Contact, units: Units) -> String {
    words::spread((2.0 * contact.sigma_mm).max(0.5).round(), Quantity::Length, units)
}

/// The list; `on` is the contact the finger is at.
pub fn contact_list(
    contacts: &[Contact],
    on: Option<usize>,
    bench: &Bench,
    pick: &Callback<usize>,
    desk: &Desk,
) -> Html {
    let units = desk.state().preferences.units;
    let truck = &desk.state().entry().build.truck;
    html! {
        <section class="contacts" aria-labelledby="contacts-title">
            <h2 id="contacts-title">{ "Nearest places" }</h2>
            <ol class="contact-list">
                { for contacts.iter().enumerate().map(|(index, contact)| {
                    let verdict = verdict(contact);
                    let loud = matches!(verdict, Severity::Out | Severity::Stop);
                    let onclick = pick.reform(move |_: MouseEvent| index);
                    let here = Some(index) == on;
                    let driver = contact.driver.as_ref().filter(|_| here && verdict == Severity::Unknown);
                    html! {
                        <li key={index} class={classes!("contact", loud.then_some("loud"))}>
                            <button type="button" class="contact-pick" aria-pressed={here.to_string()} {onclick}>
                                <span class="finding-name">{ format!("{} tire, {}", fitment::words::capital(side(contact.side)), obstacle(&bench.axle, contact.obstacle)) }
                                    <span class="spread">{ place(contact.steer_rad, contact.travel_mm, units) }</span></span>
                                <span class="finding-value">{ words::length(contact.clearance_mm, units) }
                                    <span class="spread">{ spread(contact, units) }</span></span>
                                { super::severity::severity(verdict) }
                            </button>
                            if let Some(path) = driver.map(|driver| full_path(bench.end, driver)) {
                                <p class="help">{ format!("Too close to call. It leans most on: {}.", long_name(truck, &path)) }{ measure_button(path, desk) }</p>
                            }
                        </li>
                    }
                }) }
            </ol>
        </section>
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_not_into_anything() {
        for (mm, metric, inch) in [
            (-22.2, "22 mm into the rail", "7/8\" into the rail"),
            (-0.7, "1 mm into the rail", "0\" to the rail"),
            (-0.2, "0 mm to the rail", "0\" to the rail"),
            (25.4, "25 mm to the rail", "1\" to the rail"),
        ] {
            let said = [Units::Metric, Units::Inch].map(|units| nearness(mm, "rail", units));
            assert_eq!(said, [metric, inch], "{mm}");
        }
    }
}
