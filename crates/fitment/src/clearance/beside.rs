//! What goes with a fit: how far the tire stands out past the arch, what it scuffs at full lock, and
//! the turning circle the steering stops leave.

use super::bracket::Continuum;
use super::contact::Contact;
use super::domain::Options;
use super::fit::{FitError, Setting};
use super::lattice::Lattice;
use super::motion::Place;
use super::obstacle::Obstacle;
use super::slow::{Pace, Slow, at_once};
use super::stops::Stop;
use crate::axle::{self, Attitude, Output, Pose, Turn, at_lock, solve_ride};
use crate::few::sort_few;
use crate::truck::{End, Side, State, Truck};
use nalgebra::Vector3;

/// What goes with a fit.
#[derive(Debug, Clone, PartialEq)]
pub struct Beside {
    /// How far the left and the right tire stand out past the arch's lip at rest, straight ahead, mm;
    /// negative is inside. `None` without an arch.
    pub poke_mm: Option<[f64; 2]>,
    /// One standard deviation of each, mm.
    pub poke_sigma_mm: Option<[f64; 2]>,
    /// The least clearance to each arm with the wheel at either lock, over all of the travel; the
    /// nearest first. Empty on an axle that does not steer or without an arm's thickness.
    pub scuff: Vec<Contact>,
    /// Turning circle at full lock, the larger of left and right, mm; `None` where it is not known.
    pub turning_circle_mm: Option<f64>,
    /// One standard deviation of it, mm; about that of the circle with a stop, too.
    pub turning_sigma_mm: Option<f64>,
    /// The same with the steering stop that makes everything clear; `None` where none is needed, none
    /// helps or it is not known.
    pub stopped_circle_mm: Option<f64>,
}

/// Works it out for an axle in a state, `steering_stop` being [`Stops::steer_rad`](super::Stops).
///
/// # Errors
/// As [`fit`](super::fit).
pub fn beside(
    truck: &Truck,
    at: (End, State),
    options: &Options,
    steering_stop: Option<Stop>,
) -> Result<Beside, FitError> {
    at_once(|pace| work(truck.clone(), at, options.clone(), steering_stop, pace))
}

/// The same a little at a time.
pub fn beside_slowly(
    truck: &Truck,
    at: (End, State),
    options: &Options,
    steering_stop: Option<Stop>,
) -> Slow<Result<Beside, FitError>> {
    let (truck, options) = (truck.clone(), options.clone());
    Slow::new(|pace| work(truck, at, options, steering_stop, pace))
}

async fn work(
    truck: Truck,
    (end, state): (End, State),
    options: Options,
    steering_stop: Option<Stop>,
    pace: Pace,
) -> Result<Beside, FitError> {
    options.check()?;
    let mut setting = Setting::of(&truck, end, state, &options)?;
    let rest = solve_ride(&setting.motion.model).map_err(FitError::Unreachable)?;
    let circle = |lock: f64| {
        let of = |found: &Attitude<f64>| found.get(Output::TurningCircle).map(f64::abs);
        let [left, right] = at_lock(&setting.motion.model, &rest, lock);
        Some(of(&left)?.max(of(&right)?))
    };
    let turning_circle_mm = circle(setting.motion.domain.lock_rad);
    let turning_sigma_mm = turning_sigma(&setting, &rest);
    pace.rest().await;
    let stopped_circle_mm = match steering_stop {
        Some(Stop::At(lock)) => circle(lock),
        _ => None,
    };
    let travel = setting.motion.model.ride;
    let station = setting.motion.station(travel, Some(&rest)).map_err(FitError::Unreachable)?;
    let lip = setting.axle.arch(state).map(|arch| arch.lip_mm.value);
    let poke_mm = lip.map(|lip| {
        Side::BOTH.map(|side| {
            let out = Vector3::new(0.0, side.sign(), 0.0);
            let tire = Place::of(&setting.motion, &station, side, 0.0).tire;
            tire.reaches(&out) - lip
        })
    });
    let poke_sigma_mm = setting.axle.arch(state).zip(setting.by_input()).map(|(arch, by_input)| {
        Side::BOTH.map(|side| {
            let place = Place::of(&setting.motion, &station, side, 0.0);
            let out = Vector3::new(0.0, side.sign(), 0.0);
            let (truck, pose, steer) = (&truck, &rest, 0.0);
            let at = axle::At { truck, end, state, by_input, travel, pose, side, steer };
            let wheel = setting.motion.model.wheel(&rest, side, 0.0);
            let farthest = place.tire.support(&out);
            let squares = axle::moves(&at)
                .map(|moves| {
                    (out.dot(&moves.of_tire(&wheel, &farthest)) * moves.input.sigma).powi(2)
                })
                .sum::<f64>();
            let own = [0.5 * setting.dims.section.sigma, arch.lip_mm.sigma];
            own.into_iter().fold(squares, |sum, sigma| sum + sigma * sigma).sqrt()
        })
    });
    let mut scuff = Vec::new();
    let steers = setting.motion.domain.steer_rad;
    for side in Side::BOTH {
        let Some(arm) = setting.around(side).find(Obstacle::Arm) else { continue };
        for lock in steers[side.index()] {
            if lock.abs() > 0.0 {
                setting.motion.domain.steer_rad[side.index()] = [lock; 2];
                let mut lattice = Lattice::new(&setting.motion);
                let Setting { motion, around, .. } = &setting;
                let mut continuum = Continuum::new(motion, around, &mut lattice, &pace);
                scuff.extend(setting.contact(&mut continuum, (side, arm), None).await);
            }
        }
    }
    sort_few(&mut scuff, |a, b| a.clearance_mm.total_cmp(&b.clearance_mm));
    Ok(Beside {
        poke_mm,
        poke_sigma_mm,
        scuff,
        turning_circle_mm,
        turning_sigma_mm,
        stopped_circle_mm,
    })
}

/// How sure the turning circle at full lock is: the larger sigma of left and right.
fn turning_sigma(setting: &Setting, rest: &Pose<f64>) -> Option<f64> {
    let Setting { truck, end, state, .. } = setting;
    let lock = setting.motion.domain.lock_rad;
    let gear = setting.motion.model.gear(rest)?;
    [Turn::Knuckle(Side::Left, lock), Turn::Knuckle(Side::Right, -lock)]
        .into_iter()
        .filter_map(|turn| {
            let turned = gear.solve(turn)?;
            let mean = 0.5 * (turned.left + turned.right);
            let found = axle::answer_at(truck, *end, *state, [None; 2], mean).ok()?;
            found.sigma.get(Output::TurningCircle)
        })
        .reduce(f64::max)
}

#[cfg(test)]
mod tests {
    use super::super::fit;
    use super::*;
    use crate::measure::Known;

    fn of(truck: &Truck, stop: Option<Stop>) -> Beside {
        beside(truck, (End::Front, State::Planned), &Options::coarse(), stop).unwrap()
    }

    #[test]
    fn a_spacer_pokes_out_by_its_thickness() {
        let truck = Truck::example();
        let mut wider = truck.clone();
        let planned = &mut wider.front.as_mut().unwrap().planned;
        planned.spacer_mm = Known::exact(planned.spacer_mm.value + 30.0);
        let poke = |truck: &Truck| of(truck, None).poke_mm.expect("an arch");
        let (before, after) = (poke(&truck), poke(&wider));
        for (before, after) in before.into_iter().zip(after) {
            // The axle's small roll takes the cosine's share.
            assert!((after - before - 30.0).abs() < 0.1, "{before} {after}");
        }
        // What is less sure of the spacer is less sure of the poke, as squares add.
        let sigma = |truck: &Truck| of(truck, None).poke_sigma_mm.expect("an arch")[0];
        let before = sigma(&truck);
        let planned = &mut wider.front.as_mut().unwrap().planned;
        planned.spacer_mm.sigma = truck.front.as_ref().unwrap().planned.spacer_mm.sigma.hypot(9.0);
        assert!((sigma(&wider) - before.hypot(9.0)).abs() < 0.05, "{before} {}", sigma(&wider));
    }

    #[test]
    fn scuff_at_lock_is_no_nearer_than_the_arm_ever_is() {
        let truck = Truck::example();
        let at_lock = of(&truck, None).scuff;
        assert_eq!(at_lock.len(), 4, "two tires, two locks");
        let fit = fit(&truck, End::Front, State::Planned, &Options::coarse()).unwrap();
        for scuff in &at_lock {
            let mut arms = fit.contacts.iter();
            let least = arms.find(|c| c.obstacle == Obstacle::Arm && c.side == scuff.side).unwrap();
            assert!(scuff.clearance_mm >= least.lower_mm, "{scuff:?} {least:?}");
            assert!(scuff.steer_rad.abs() > 0.3);
        }
    }

    #[test]
    fn a_sooner_stop_makes_a_wider_circle() {
        let truck = Truck::example();
        let beside = of(&truck, Some(Stop::At(0.4)));
        let (full, stopped) =
            (beside.turning_circle_mm.unwrap(), beside.stopped_circle_mm.unwrap());
        assert!(stopped > full + 100.0 && full > 5000.0, "{full} {stopped}");
        assert_eq!(of(&truck, Some(Stop::NotNeeded)).stopped_circle_mm, None);
        assert!(beside.turning_sigma_mm.is_some_and(|sigma| sigma > 1.0), "{beside:?}");
    }
}
