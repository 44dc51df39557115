//! How sure the ends of a fit are: window, sizes and stops hang on the same tape as the clearances.
//!
//! Where an end is set by one obstacle, being off by the sigma of its clearance moves the end by that
//! over the rate at which the clearance falls toward it. The rate is taken along the way from the wheel
//! as it is to the end (a secant, no flatter than a quarter so that it stays finite); a stop is simply
//! solved for again with so much more room asked for.

use super::contact::Contact;
use super::fit::Fit;
use super::largest::{Largest, Size};
use super::obstacle::Obstacle;
use super::window::{Window, WindowEnd};
use crate::truck::Side;

/// One standard deviation of each end of a [`Fit`](super::Fit); `None` where there is no such end,
/// nothing limits it, or it has not been worked out.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Sigmas {
    /// Of the window's inboard end, mm of offset.
    pub inboard_mm: Option<f64>,
    /// Of the window's outboard end, mm of offset.
    pub outboard_mm: Option<f64>,
    /// Of the largest diameter, mm.
    pub diameter_mm: Option<f64>,
    /// Of the largest section width, mm.
    pub width_mm: Option<f64>,
    /// Of the steering stop, rad.
    pub steer_rad: Option<f64>,
    /// Of the bump stop, mm of travel.
    pub bump_mm: Option<f64>,
}

/// The slowest a clearance counts as falling, mm per mm.
const SLOWEST: f64 = 0.25;

/// The sigma of an end that lies `by` mm of change from the wheel as it is.
fn of_end(
    contacts: &[Contact],
    limited_by: Option<(Obstacle, Side)>,
    by: f64,
    margin_mm: f64,
) -> Option<f64> {
    let (obstacle, side) = limited_by?;
    let contact = contacts.iter().find(|c| c.obstacle == obstacle && c.side == side)?;
    let rate = ((contact.clearance_mm - margin_mm) / by).abs();
    // Right where the wheel is there is no way to take a rate along.
    let rate = if rate.is_finite() { rate.clamp(SLOWEST, 1.0) } else { 1.0 };
    Some(contact.sigma_mm / rate)
}

/// The ends of the window: inboard, outboard.
pub(super) fn of_window(contacts: &[Contact], window: &Window, margin_mm: f64) -> [Option<f64>; 2] {
    let Window::Clears { inboard, outboard } = window else { return [None; 2] };
    let end = |end: &WindowEnd| of_end(contacts, end.limited_by, end.shift_mm, margin_mm);
    [end(inboard), end(outboard)]
}

/// The largest diameter and width, `now` being half of what they are, mm.
pub(super) fn of_sizes(
    contacts: &[Contact],
    largest: &Largest,
    now: [f64; 2],
    margin_mm: f64,
) -> [Option<f64>; 2] {
    let size = |size: Size, now: f64| match size {
        Size::UpTo { mm, limited_by } => {
            Some(2.0 * of_end(contacts, limited_by, 0.5 * mm - now, margin_mm)?)
        }
        Size::Never => None,
    };
    [size(largest.diameter_mm, now[0]), size(largest.width_mm, now[1])]
}

/// What a change gains at the place nearest to touching.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gain {
    /// How much more room there is, mm; negative where there is less.
    pub mm: f64,
    /// One standard deviation, mm. What makes both clearances unsure alike cancels: the share of each
    /// input is the difference of its shares in the two (JCGM 100, 5.1.3, of the difference).
    pub sigma_mm: f64,
}

impl Gain {
    /// Of one fit over another; `None` where one of them has no contact.
    pub fn of(now: &Fit, then: &Fit) -> Option<Self> {
        let [now, then] = [now, then].map(|fit| fit.contacts.first());
        let (now, then) = (now?, then?);
        let share = |of: &Contact, path: &str| {
            of.shares.iter().find(|(other, _)| other == path).map(|(_, by)| *by)
        };
        let both = then.shares.iter().map(|(path, by)| by - share(now, path).unwrap_or(0.0));
        let only_now = now.shares.iter().filter(|(path, _)| share(then, path).is_none());
        let squares = both.chain(only_now.map(|(_, by)| *by)).map(|by| by * by).sum::<f64>();
        Some(Self { mm: then.clearance_mm - now.clearance_mm, sigma_mm: squares.sqrt() })
    }
}

/// The sigma of the contact that is shortest of room: what a stop is solved again with.
pub(super) fn of_shortest(contacts: &[Contact]) -> Option<f64> {
    let least = contacts.iter().min_by(|a, b| a.clearance_mm.total_cmp(&b.clearance_mm))?;
    (least.sigma_mm > 0.0).then_some(least.sigma_mm)
}

#[cfg(test)]
mod tests {
    use super::super::{Options, Relief, fit};
    use super::*;
    use crate::measure::Known;
    use crate::truck::{End, State, Truck};

    #[test]
    fn every_end_that_something_limits_says_how_sure_it_is() {
        let truck = Truck::example();
        let options = Options { sizes: true, margin_mm: 0.0, ..Options::coarse() };
        let found = fit(&truck, End::Front, State::Planned, &options).unwrap();
        let sure = found.sigmas;
        for (name, sigma) in [
            ("diameter", sure.diameter_mm),
            ("steering stop", sure.steer_rad),
            ("bump stop", sure.bump_mm),
        ] {
            assert!(sigma.is_some_and(|sigma| sigma > 0.0), "{name}: {sure:?} {:?}", found.stops);
        }
    }

    #[test]
    fn a_rail_known_worse_makes_the_window_less_sure() {
        let window = |sigma: f64| {
            let mut truck = Truck::example();
            let axle = truck.front.as_mut().unwrap();
            axle.limits.lock_deg = Known::exact(0.0);
            axle.surroundings.arm_radius_mm = None;
            axle.surroundings.things.clear();
            let rail = axle.surroundings.rail.as_mut().unwrap();
            (rail.outer_mm.value, rail.outer_mm.sigma, rail.bottom_mm.value) =
                (430.0, sigma, -50.0);
            let found = fit(&truck, End::Front, State::Planned, &Options::coarse()).unwrap();
            (found.sigmas.inboard_mm.unwrap(), found)
        };
        let ((good, _), (bad, found)) = (window(1.0), window(8.0));
        assert!(bad > good && bad >= 7.9, "{good} {bad}");
        let rail = found.contacts.iter().find(|c| c.obstacle == Obstacle::Rail).unwrap();
        // The sidewall faces the rail squarely: a millimetre of offset is one of room.
        assert!((bad / rail.sigma_mm - 1.0).abs() < 0.1, "{bad} {rail:?}");
    }

    type Field = fn(&mut Truck) -> &mut Known;

    #[test]
    fn what_shifts_both_alike_leaves_a_gain_alone() {
        let (mut truck, at) = (Truck::example(), (End::Front, State::Planned));
        let options = Options { steers: 3, travels: 5, ..Options::coarse() };
        let around = &mut truck.front.as_mut().unwrap().surroundings;
        around.things.clear();
        (around.rail, around.arm_radius_mm) = (None, None);
        let gain = |truck: &Truck| {
            let now = fit(truck, at.0, at.1, &options).unwrap();
            let then = Relief::Forward(20.0).fit(truck, at, &options).unwrap();
            (Gain::of(&now, &then).unwrap(), now, then)
        };
        let (here, now, then) = gain(&truck);
        let none = Gain::of(&now, &now).unwrap();
        assert!(none.mm.abs() < 1e-12 && none.sigma_mm < 1e-12, "{none:?}");
        assert!(here.sigma_mm > 0.0 && here.sigma_mm < then.contacts[0].sigma_mm, "{here:?}");
        // Each input moved by its sigma in both fits: the arch's own, and one of the axle's.
        let fields: [(&str, Field); 4] = [
            ("surroundings.arch.front_mm", |t| &mut arch(t).front_mm),
            ("surroundings.arch.top_mm", |t| &mut arch(t).top_mm),
            ("surroundings.arch.rear_mm", |t| &mut arch(t).rear_mm),
            ("hub_face_width_mm", |t| &mut t.front.as_mut().unwrap().hub_face_width_mm),
        ];
        for (path, field) in fields {
            let [up, down] = [1.0, -1.0].map(|way| {
                let mut truck = truck.clone();
                let known = field(&mut truck);
                known.value += way * known.sigma;
                gain(&truck).0.mm
            });
            let share = |of: &Fit| {
                let shares = &of.contacts[0].shares;
                shares.iter().find(|(other, _)| other == path).map_or(0.0, |(_, by)| *by)
            };
            let (got, want) = (share(&then) - share(&now), 0.5 * (up - down));
            assert!((got - want).abs() < 0.15 + 0.1 * want.abs(), "{path}: {got}, want {want}");
        }
    }

    fn arch(truck: &mut Truck) -> &mut crate::truck::Arch {
        truck.front.as_mut().unwrap().surroundings.arch.as_mut().unwrap()
    }
}
