//! One solid axle: what locates it, what it carries, and its three states.

use super::{
    Arch, Bar, Driveline, Hose, Layout, Member, Overhang, Part, Setup, Shelf, Springing, State,
    Steering, Step, Surroundings, Watts,
};
use crate::measure::{Known, combined};
use std::borrow::Cow;

/// A solid axle with its location, its surroundings and its three states.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Axle {
    /// Distance between the two wheel mounting faces, mm.
    pub hub_face_width_mm: Known,
    /// Links or arms.
    pub layout: Layout,
    /// The Panhard bar; absent where a Watts linkage, triangulated links or leaf springs hold the
    /// axle sideways.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub panhard: Option<Bar>,
    /// The Watts linkage, in place of a Panhard bar.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub watts: Option<Watts>,
    /// Steering axes; absent on an axle that does not steer.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub kingpin: Option<Kingpin>,
    /// Steering linkage; while absent, both wheels are taken to turn alike.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub steering: Option<Steering>,
    /// The left coil spring, seat to seat; the right is its mirror image.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub spring: Option<Bar>,
    /// The left shock, eye to eye; the right is its mirror image.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub shock: Option<Bar>,
    /// The pinion and its flange.
    pub pinion: Pinion,
    /// The driveshaft to it.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub driveline: Option<Driveline>,
    /// The left brake hose.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub hose: Option<Hose>,
    /// Springs, shocks, stops and what they carry.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Springing::is_empty"))]
    pub springing: Springing,
    /// What hangs beyond and below it.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Overhang::is_empty"))]
    pub overhang: Overhang,
    /// How far the axle may travel and the wheels may turn.
    pub limits: Limits,
    /// What the tire must clear.
    pub surroundings: Surroundings,
    /// As it left the factory: no lift and no parts.
    pub stock: Setup,
    /// As it sits now.
    pub sitting: Setup,
    /// As it will be.
    pub planned: Setup,
    /// Parts at hand or under consideration, for suggestions.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Shelf::is_empty"))]
    pub shelf: Shelf,
    /// Direct readings under the truck as it sits, kept as they were taken.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Readings::is_empty"))]
    pub readings: Readings,
}

/// The steering axis of the left knuckle with the truck stock; the right is its mirror image.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Kingpin {
    /// Caster, degrees; positive when the axis's top leans rearward.
    pub caster_deg: Known,
    /// Kingpin inclination, degrees; positive when the axis's top leans inboard.
    pub inclination_deg: Known,
    /// Wheel mounting face outboard of the axis at hub height, mm.
    pub hub_offset_mm: Known,
    /// Wheel centre behind the axis at hub height, mm.
    pub hub_trail_mm: Known,
}

/// The pinion flange, as the truck stands stock.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Pinion {
    /// Elevation of the direction from the axle centreline to the flange, degrees; positive when
    /// the flange is higher. The front axle's flange points rearward, the rear axle's forward.
    pub angle_deg: Known,
    /// Axle centreline to flange, mm.
    pub length_mm: Known,
    /// Flange left of the truck's centreline, mm.
    pub y_mm: Known,
}

/// The domain the axle and its wheels move in.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Limits {
    /// Wheel travel from the stock position up to the bump stop, mm, positive.
    pub bump_mm: Known,
    /// Wheel travel from the stock position down to full droop, mm, positive.
    pub droop_mm: Known,
    /// Largest steer of a wheel either way, degrees, positive; 0 on an axle that does not steer.
    pub lock_deg: Known,
}

/// What a tape reads straight off the truck as it sits; each one pins down an assumed hardpoint.
#[derive(Debug, Clone, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(default, deny_unknown_fields))]
pub struct Readings {
    /// Panhard bar, eye to eye, mm.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub panhard_length_mm: Option<Known>,
    /// Panhard chassis end above its axle end as the truck sits, mm.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub panhard_rise_mm: Option<Known>,
    /// Lower link eye to eye, mm; a radius arm from the axle's centreline to its eye, in side view.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub arm_length_mm: Option<Known>,
    /// Chassis eye above the lower link's axle end as the truck sits, mm; a radius arm's eye above
    /// the axle's centreline.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub arm_rise_mm: Option<Known>,
}

impl Readings {
    /// True when nothing was read yet.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

impl Axle {
    /// What is fitted in a state.
    pub const fn setup(&self, state: State) -> &Setup {
        match state {
            State::Stock => &self.stock,
            State::Sitting => &self.sitting,
            State::Planned => &self.planned,
        }
    }

    /// What is fitted in a state, to change it.
    pub const fn setup_mut(&mut self, state: State) -> &mut Setup {
        match state {
            State::Stock => &mut self.stock,
            State::Sitting => &mut self.sitting,
            State::Planned => &mut self.planned,
        }
    }

    /// What is fitted in a state, its wheels, tires, spacers and ride height as its parts make them;
    /// those parts are then no longer listed.
    pub fn fitted(&self, state: State) -> Cow<'_, Setup> {
        let mut setup = Cow::Borrowed(self.setup(state));
        let rolls = |part: &Part| {
            matches!(
                part,
                Part::Wheel { .. }
                    | Part::Tire { .. }
                    | Part::Step { of: Step::Spacer | Step::Spring, .. }
            )
        };
        for part in self.setup(state).parts.iter().filter(|part| rolls(part)) {
            let setup = setup.to_mut();
            match part {
                Part::Wheel { wheel } => setup.wheel = wheel.clone(),
                Part::Tire { tire } => setup.tire = tire.clone(),
                Part::Step { of: Step::Spacer, step_mm, .. } => {
                    setup.spacer_mm = step_mm.clone();
                }
                Part::Step { step_mm, .. } => {
                    for lift in std::iter::once(&mut setup.lift_mm).chain(&mut setup.lift_right_mm)
                    {
                        let terms = [(1.0, &*lift), (1.0, step_mm)];
                        *lift = combined(lift.value + step_mm.value, &terms);
                    }
                }
                _ => {}
            }
            setup.parts.retain(|part| !rolls(part));
        }
        setup
    }

    /// Wheel travel from the stock position up to the bump stop in a state, mm: the measured
    /// travel less what a longer stop takes; never negative.
    pub fn bump_mm(&self, state: State) -> Known {
        let changes = self.setup(state).parts.iter().filter_map(|part| match part {
            Part::Length { of: Member::BumpStop, change_mm, .. } => Some((-1.0, change_mm)),
            _ => None,
        });
        sum(std::iter::once((1.0, &self.limits.bump_mm)).chain(changes))
    }

    /// Largest steer of a wheel either way in a state, degrees: as the steering stop is set, or
    /// as measured where none is fitted. Of several stops, the one the wheel meets first.
    pub fn lock_deg(&self, state: State) -> Known {
        let stops = self.setup(state).parts.iter().filter_map(|part| match part {
            Part::SteeringStop { lock_deg, .. } => Some(lock_deg),
            _ => None,
        });
        stops.min_by(|a, b| a.value.total_cmp(&b.value)).unwrap_or(&self.limits.lock_deg).clone()
    }

    /// How far the wheel arch's opening is cut back all round in a state, mm; of several trims,
    /// the deepest.
    pub fn arch_trim_mm(&self, state: State) -> Known {
        let trims = self.setup(state).parts.iter().filter_map(|part| match part {
            Part::ArchTrim { depth_mm } => Some(depth_mm),
            _ => None,
        });
        trims.max_by(|a, b| a.value.total_cmp(&b.value)).cloned().unwrap_or(Known::exact(0.0))
    }

    /// The wheel arch as it is in a state, trimmed where it is; `None` when there is none or its
    /// three points lie in a line.
    pub fn arch(&self, state: State) -> Option<Arch> {
        let arch = self.surroundings.arch.as_ref()?;
        let trim = self.arch_trim_mm(state).value;
        // Untouched, it stays as measured to the last bit.
        if trim > 0.0 { arch.trimmed(trim) } else { Some(arch.clone()) }
    }

    /// What the tire must clear in a state: the surroundings with the arch as trimmed.
    pub fn around(&self, state: State) -> Surroundings {
        let mut around = self.surroundings.clone();
        if let Some(trimmed) = self.arch(state) {
            around.arch = Some(trimmed);
        }
        around
    }
}

/// The sum of some numbers times their signs, with their common uncertainty; a travel, so never
/// negative.
fn sum<'a>(terms: impl Iterator<Item = (f64, &'a Known)>) -> Known {
    let terms: Vec<_> = terms.collect();
    match terms.as_slice() {
        [(_, alone)] => (*alone).clone(),
        several => {
            let value: f64 = several.iter().map(|(sign, known)| sign * known.value).sum();
            combined(value.max(0.0), several)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Instrument;
    use crate::truck::Truck;

    fn near(got: f64, want: f64) {
        assert!((got - want).abs() < 1e-12, "{got}, want {want}");
    }

    fn planned(parts: Vec<Part>) -> Axle {
        let mut axle = Truck::example().front.unwrap();
        axle.limits.bump_mm = Known::measured(80.0, Instrument::Tape);
        axle.limits.lock_deg = Known::measured(30.0, Instrument::PhoneLevel);
        axle.planned.parts = parts;
        axle
    }

    #[test]
    fn with_no_part_the_limits_are_as_measured() {
        let axle = planned(Vec::new());
        assert_eq!(axle.bump_mm(State::Planned), axle.limits.bump_mm);
        assert_eq!(axle.lock_deg(State::Planned), axle.limits.lock_deg);
        assert_eq!(axle.arch_trim_mm(State::Planned), Known::exact(0.0));
        assert_eq!(axle.around(State::Planned), axle.surroundings);
    }

    #[test]
    fn a_longer_bump_stop_takes_its_length_from_the_travel() {
        let stop = |change| Part::Length {
            of: Member::BumpStop,
            change_mm: Known::published(change, 1.5),
            range_mm: [-50.0, 100.0],
        };
        let axle = planned(vec![stop(25.0)]);
        let bump = axle.bump_mm(State::Planned);
        near(bump.value, 55.0);
        // √(2² + 1.5²)
        near(bump.sigma, 2.5);
        near(axle.bump_mm(State::Sitting).value, 80.0);
        near(planned(vec![stop(25.0), stop(-5.0)]).bump_mm(State::Planned).value, 60.0);
        near(planned(vec![stop(95.0)]).bump_mm(State::Planned).value, 0.0);
    }

    #[test]
    fn a_steering_stop_sets_the_lock() {
        let stop =
            |lock| Part::SteeringStop { lock_deg: Known::exact(lock), range_deg: [20.0, 35.0] };
        let lock = |parts| planned(parts).lock_deg(State::Planned).value;
        near(lock(vec![stop(27.0)]), 27.0);
        near(lock(vec![stop(33.0)]), 33.0);
        near(lock(vec![stop(29.0), stop(26.0)]), 26.0);
    }

    #[test]
    fn a_trim_opens_the_arch() {
        let trim = |depth| Part::ArchTrim { depth_mm: Known::exact(depth) };
        let axle = planned(vec![trim(20.0), trim(35.0)]);
        near(axle.arch_trim_mm(State::Planned).value, 35.0);
        let (_, before) = axle.surroundings.arch.as_ref().unwrap().circle().unwrap();
        let (_, after) = axle.around(State::Planned).arch.unwrap().circle().unwrap();
        assert!((after - before - 35.0).abs() < 1e-9);
        assert_eq!(axle.around(State::Stock), axle.surroundings);
    }
}
