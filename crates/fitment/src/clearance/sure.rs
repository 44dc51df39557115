//! How sure the ends of a fit are: window, sizes and stops hang on the same tape as the clearances.
//!
//! Where an end is set by one obstacle, being off by the sigma of its clearance moves the end by that
//! over the rate at which the clearance falls toward it. The rate is taken along the way from the wheel
//! as it is to the end (a secant, no flatter than a quarter so that it stays finite); a stop is simply
//! solved for again with so much more room asked for.

use super::contact::Contact;
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
pub(super) fn of_window(
    contacts: &[Contact],
    window: Option<&Window>,
    margin_mm: f64,
) -> [Option<f64>; 2] {
    let Some(Window::Clears { inboard, outboard }) = window else { return [None; 2] };
    let end = |end: &WindowEnd| of_end(contacts, end.limited_by, end.shift_mm, margin_mm);
    [end(inboard), end(outboard)]
}

/// The largest diameter and width, `now` being half of what they are, mm.
pub(super) fn of_sizes(
    contacts: &[Contact],
    largest: Option<&Largest>,
    now: [f64; 2],
    margin_mm: f64,
) -> [Option<f64>; 2] {
    let Some(largest) = largest else { return [None; 2] };
    let size = |size: Size, now: f64| match size {
        Size::UpTo { mm, limited_by } => {
            Some(2.0 * of_end(contacts, limited_by, 0.5 * mm - now, margin_mm)?)
        }
        Size::Never => None,
    };
    [size(largest.diameter_mm, now[0]), size(largest.width_mm, now[1])]
}

/// The sigma of the contact that is shortest of room: what a stop is solved again with.
pub(super) fn of_shortest(contacts: &[Contact]) -> Option<f64> {
    let least = contacts.iter().min_by(|a, b| a.clearance_mm.total_cmp(&b.clearance_mm))?;
    (least.sigma_mm > 0.0).then_some(least.sigma_mm)
}

#[cfg(test)]
mod tests {
    use super::super::{Options, fit};
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
}
