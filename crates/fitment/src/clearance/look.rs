//! One position of one tire: what is near it there, and how near.

use super::domain::Options;
use super::fit::{FitError, Setting};
use super::motion::Place;
use super::obstacle::Obstacle;
use crate::axle::{Pose, Travel, Unreachable};
use crate::truck::{End, Side, State, Truck};
use nalgebra::Vector3;

/// An axle in a state, ready to be looked at position by position.
pub struct Looker(Box<Setting>);

/// What stands near one tire at one position.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// The axle there.
    pub pose: Pose<f64>,
    /// Every obstacle of the side, the nearest first; behind all else what turns with the wheel, as in
    /// [`ClearanceMap`](super::ClearanceMap): it is as near everywhere.
    pub near: Vec<Near>,
}

/// One obstacle at one position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Near {
    /// Which.
    pub obstacle: Obstacle,
    /// Clearance, mm; negative is overlap.
    pub clearance_mm: f64,
    /// The tire's point nearest the obstacle, axle's stock frame, mm.
    pub at_tire: Vector3<f64>,
    /// The obstacle's point nearest the tire, axle's stock frame, mm.
    pub at_truck: Vector3<f64>,
}

/// Accuracy, mm.
const TOLERANCE_MM: f64 = 0.01;

impl Looker {
    /// Reads an axle of a truck in a state.
    ///
    /// # Errors
    /// As [`fit`](super::fit), but for options and for what the axle reaches.
    pub fn of(truck: &Truck, end: End, state: State) -> Result<Self, FitError> {
        Setting::of(truck, end, state, &Options::default()).map(|setting| Self(Box::new(setting)))
    }

    /// What is near a side's tire with its own wheel turned by `steer` (rad, left positive) and the
    /// wheels at their travels (left and right, mm from stock, bump positive); from a pose near by,
    /// if one is known.
    ///
    /// # Errors
    /// [`Unreachable`] where the axle does not get there.
    pub fn at(
        &self,
        side: Side,
        steer: f64,
        travel: Travel,
        near: Option<&Pose<f64>>,
    ) -> Result<Look, Unreachable> {
        let station = self.0.motion.station(travel, near)?;
        let place = Place::of(&self.0.motion, &station, side, steer);
        let around = self.0.around(side);
        let mut near: Vec<(bool, Near)> = (0..around.len())
            .filter_map(|i| {
                let least = around.least(i, &place, TOLERANCE_MM, f64::INFINITY)?;
                let outward = around.outward(i, &place, &least.point);
                let near = Near {
                    obstacle: around.name(i)?,
                    clearance_mm: least.distance,
                    at_tire: least.point - outward * least.distance,
                    at_truck: least.point,
                };
                Some((around.turns(i), near))
            })
            .collect();
        crate::few::sort_few(&mut near, |(turns, a), (also, b)| {
            turns.cmp(also).then(a.clearance_mm.total_cmp(&b.clearance_mm))
        });
        Ok(Look { pose: station.pose, near: near.into_iter().map(|(_, near)| near).collect() })
    }
}

#[cfg(test)]
mod tests {
    use super::super::fit;
    use super::*;
    use crate::truck::{Thing, ThingKind};

    #[test]
    fn a_look_at_a_contact_shows_it() {
        let truck = Truck::example();
        let (end, state) = (End::Front, State::Planned);
        let looker = Looker::of(&truck, end, state).unwrap();
        for contact in fit(&truck, end, state, &Options::coarse()).unwrap().contacts {
            let look =
                looker.at(contact.side, contact.steer_rad, contact.travels_mm(), None).unwrap();
            let around = looker.0.around(contact.side);
            let turns = |near: &Near| around.turns(around.find(near.obstacle).unwrap());
            assert!(look.near.is_sorted_by_key(|near| (turns(near), near.clearance_mm)));
            let near = look.near.iter().find(|near| near.obstacle == contact.obstacle).unwrap();
            assert!(
                (near.clearance_mm - contact.clearance_mm).abs() < 0.03,
                "{near:?} {contact:?}"
            );
            assert!((near.at_truck - contact.at_truck).norm() < 5.0, "{near:?} {contact:?}");
        }
    }

    #[test]
    fn what_turns_with_the_wheel_is_not_said_in_place_of_what_the_map_shows() {
        let mut truck = Truck::example();
        truck.front.as_mut().unwrap().surroundings.things =
            vec![Thing::new(ThingKind::BrakeCaliper, End::Front)];
        let caliper = Obstacle::Thing(0);
        let looker = Looker::of(&truck, End::Front, State::Stock).unwrap();
        let look = looker.at(Side::Left, 0.0, [0.0; 2], None).unwrap();
        let [first, .., last] = &look.near[..] else { panic!("{look:?}") };
        assert_eq!(last.obstacle, caliper);
        assert!(last.clearance_mm < first.clearance_mm, "it is the nearest: {look:?}");
    }
}
