//! One solid axle: what locates it, what it carries, and its three states.

use super::{Bar, Layout, Setup, Shelf, State, Steering, Surroundings, Watts};
use crate::measure::Known;

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
}
