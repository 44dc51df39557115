//! Where the tire comes nearest to each thing, nearest first; each can be shown in the drawing.

use super::findings::{full_path, measure_button};
use super::fit_map::obstacle;
use crate::answers::Bench;
use crate::drawing::{Dim, Drawing, Frame, Mark, Run, View, drawing};
use crate::hooks::{use_desk, use_width};
use crate::state::catalog::long_name;
use crate::words;
use buildfile::Units;
use fitment::clearance::{Contact, Fit};
use fitment::finding::Severity;
use fitment::truck::{Side, State};
use std::rc::Rc;
use yew::prelude::*;

/// The contacts.
#[derive(Properties, PartialEq)]
pub struct FitContactsProps {
    /// The engine's answer.
    pub fit: Rc<Fit>,
    /// The answers of the axle.
    pub bench: Bench,
    /// The state.
    pub state: State,
}

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

/// At which steer and travel.
pub fn place(contact: &Contact, units: Units) -> String {
    let steer = contact.steer_rad.to_degrees();
    let turned = match steer {
        s if s > 0.5 => format!("{s:.0}° left"),
        s if s < -0.5 => format!("{:.0}° right", -s),
        _ => "straight ahead".into(),
    };
    let up = match contact.travel_mm {
        t if t > 0.5 => format!("{} up", words::length(t, units)),
        t if t < -0.5 => format!("{} down", words::length(-t, units)),
        _ => "at stock height".into(),
    };
    format!("{turned}, wheel {up} from stock")
}

/// A drawing of the contact picked, and the list.
#[component]
pub fn FitContacts(props: &FitContactsProps) -> Html {
    let desk = use_desk();
    let units = desk.state().preferences.units;
    let truck = &desk.state().entry().build.truck;
    let picked = use_state_eq(|| 0_usize);
    let Some(shown) = props.fit.contacts.get(*picked).or_else(|| props.fit.contacts.first()) else {
        return html! {};
    };
    html! {
        <section class="contacts" aria-labelledby="contacts-title">
            <h2 id="contacts-title">{ "Nearest places" }</h2>
            <ContactPicture bench={props.bench.clone()} state={props.state} contact={shown.clone()} />
            <ol class="contact-list">
                { for props.fit.contacts.iter().enumerate().map(|(index, contact)| {
                    let verdict = verdict(contact);
                    let loud = matches!(verdict, Severity::Out | Severity::Stop);
                    let onclick = { let picked = picked.clone(); Callback::from(move |_: MouseEvent| picked.set(index)) };
                    html! {
                        <li key={index} class={classes!("contact", loud.then_some("loud"))}>
                            <button type="button" class="contact-pick" aria-pressed={(index == *picked).to_string()} {onclick}>
                                <span class="finding-name">{ format!("{} tire, {}", fitment::words::capital(side(contact.side)), obstacle(contact.obstacle)) }
                                    <span class="spread">{ place(contact, units) }</span></span>
                                <span class="finding-value">{ words::length(contact.clearance_mm, units) }
                                    <span class="spread">{ words::spread((2.0 * contact.sigma_mm).round(), crate::state::edit::Quantity::Length, units) }</span></span>
                                { super::severity::severity(verdict) }
                            </button>
                            if verdict == Severity::Unknown && index == *picked {
                                if let Some(driver) = &contact.driver {
                                    <p class="help">{ format!("Too close to call. It leans most on: {}.", long_name(truck, &full_path(props.bench_end(), driver))) }
                                        { measure_button(full_path(props.bench_end(), driver), &desk) }</p>
                                }
                            }
                        </li>
                    }
                }) }
            </ol>
        </section>
    }
}

impl FitContactsProps {
    fn bench_end(&self) -> fitment::truck::End {
        self.bench.state(self.state).map_or(fitment::truck::End::Front, |standing| standing.end)
    }
}

#[derive(Properties, PartialEq)]
struct ContactPictureProps {
    bench: Bench,
    state: State,
    contact: Contact,
}

/// The axle where the tire comes nearest, from the side that shows it best.
#[component]
fn ContactPicture(props: &ContactPictureProps) -> Html {
    let units = use_desk().state().preferences.units;
    let paper = use_node_ref();
    let width = use_width(&paper, 360.0);
    let Ok(standing) = props.bench.state(props.state) else { return html! {} };
    let contact = &props.contact;
    let other = contact.travel_mm - 2.0 * contact.articulation_mm;
    let travel = match contact.side {
        Side::Left => [contact.travel_mm, other],
        Side::Right => [other, contact.travel_mm],
    };
    let Ok(moved) = standing.moved(travel, contact.steer_rad.to_degrees()) else { return html! {} };
    let point = |p: &[f64]| [p[0], p[1], p[2]];
    let (from, to) = (point(contact.at_tire.as_slice()), point(contact.at_truck.as_slice()));
    // The view in which the nearest points lie farthest apart, or from above when they meet.
    let spread = |view: View| {
        let (a, b) = (view.project(standing.end, from), view.project(standing.end, to));
        (a[0] - b[0]).hypot(a[1] - b[1])
    };
    let view = if contact.obstacle == fitment::clearance::Obstacle::Arch {
        View::Side
    } else if spread(View::Across) > spread(View::Plan) + 5.0 {
        View::Across
    } else {
        View::Plan
    };
    let frame = Frame::around(
        view,
        standing.end,
        &[&moved.scene],
        width,
        if width > 560.0 { 400.0 } else { 300.0 },
    );
    let dim = Dim {
        view,
        from,
        to,
        run: Run::Along(0.0),
        name: format!("{} tire to {}", side(contact.side), obstacle(contact.obstacle)),
        text: words::length(contact.clearance_mm, units),
        mark: Mark::Computed,
        path: Some(String::from("contact")),
    };
    let words = format!("Drawing: {} is {}", dim.name, dim.text);
    let dims = [Dim { path: None, ..dim }];
    html! {
        <figure class="paper" ref={paper}>
            { drawing(&Drawing { near: Some(to), ..Drawing::new(frame, &moved.scene, &dims, words) }) }
            <figcaption>{ format!("{}: {}", view.title(standing.end), place(contact, units)) }</figcaption>
        </figure>
    }
}
