//! What a plan comes to on the shop floor: parts and cut list, order of work, totals.

use super::{
    cut_list::{Item, items},
    order::{Task, order},
    totals::{Sum, offer_of},
    work::Work,
};
use crate::{
    axle::{ModelError, NoAnswer, answer},
    measure::System,
    truck::{Axle, End, Offer, Part, State, Truck},
};

/// Everything to do for a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// What goes on, in the order of the plan.
    pub items: Vec<Item>,
    /// What comes off.
    pub off: Vec<Part>,
    /// What to do, in order.
    pub tasks: Vec<Task>,
    /// What it takes altogether.
    pub totals: Totals,
}

/// What a plan takes altogether, by what the person entered for each part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Totals {
    /// Money, in the person's own.
    pub price: Sum,
    /// Hours.
    pub hours: Sum,
    /// Work.
    pub work: Work,
}

/// What it takes to get an axle from how it sits to how it is planned; for a plan of a search, of the
/// truck it is [`planned_on`](super::Plan::planned_on).
///
/// # Errors
/// When the truck does not stand as planned.
pub fn job(truck: &Truck, end: End, system: System) -> Result<Job, NoAnswer> {
    let axle = truck.axle(end).ok_or(ModelError::NoAxle { end })?;
    let [fit, off] = changes(axle);
    let items = items(truck, end, &fit, system)?;
    let tasks = order(axle, &items, &answer(truck, end, State::Planned)?, system);
    Ok(Job { items, off, tasks, totals: totals(axle) })
}

/// What the work on an axle takes altogether, from how it sits to how it is planned; nothing is solved
/// for it.
pub fn totals(axle: &Axle) -> Totals {
    let [fit, _] = changes(axle);
    let offers: Vec<Option<&Offer>> = fit.iter().map(|part| offer_of(&axle.shelf, part)).collect();
    Totals {
        price: Sum::of(offers.iter().map(|offer| offer.and_then(|it| it.price.as_ref()))),
        hours: Sum::of(offers.iter().map(|offer| offer.and_then(|it| it.hours.as_ref()))),
        work: fit.iter().fold(Work::NONE, |work, part| work.and(Work::of(part))),
    }
}

/// What goes on and what comes off between how an axle sits and how it is planned.
fn changes(axle: &Axle) -> [Vec<Part>; 2] {
    let missing = |of: &[Part], from: &[Part]| -> Vec<Part> {
        of.iter().filter(|part| !from.contains(part)).cloned().collect()
    };
    let (now, then) = (&axle.sitting.parts, &axle.planned.parts);
    [missing(then, now), missing(now, then)]
}
