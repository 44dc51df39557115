//! The model a person fills in: axles, hardpoints, what is fitted in each state.
//!
//! Everything here is plain data with public fields; [`check`](Truck::check) says what is wrong
//! with it and what would mend it. Lengths are mm and angles degrees, as the names say; points are
//! in the axle's own frame (see the crate page) with the truck standing stock.

mod axle;
mod balance;
pub mod bounds;
mod check;
mod demo;
mod driveline;
mod lateral;
mod layout;
mod part;
mod part_kinds;
mod photo;
mod rest;
mod setup;
mod steering;
mod surroundings;
mod thing;
mod thing_kinds;

pub use axle::{Axle, Kingpin, Limits, Pinion, Readings};
pub use balance::Balance;
pub use check::{Problem, Rule};
pub use demo::LayoutKind;
pub use driveline::{Driveline, Hose, ShaftKind};
pub use lateral::{Carrier, Watts};
pub use layout::{Axis, Bar, BushRates, Layout, LeafRates, LeafSpring, Point, RadiusArm};
pub use part::{Hole, Member, Offer, Part, PartKind, Pivot, Shelf, Step, Turning};
pub use part_kinds::{Needs, Traits, Work};
pub use photo::Photo;
pub use rest::{Belly, Gears, Overhang, Springing, Weights};
pub use setup::{Setup, Tire, Wheel};
pub use steering::{DragLink, Joins, Pitman, Shaft, Steering, TieRod};
pub use surroundings::{Arch, Rail, Surroundings};
pub use thing::{Corner, Mount, Shape, Thing, ThingKind, ThingSide, View};
pub use thing_kinds::{KINDS, KindInfo, Measure};

use crate::measure::Known;

/// Which axle of the truck.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum End {
    /// The front axle.
    Front,
    /// The rear axle.
    Rear,
}

impl End {
    /// The other one.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Front => Self::Rear,
            Self::Rear => Self::Front,
        }
    }
}

/// Which state of the truck.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum State {
    /// As it left the factory.
    Stock,
    /// As it sits in the driveway now.
    Sitting,
    /// As it will be.
    Planned,
}

impl State {
    /// The three states in the order people read them.
    pub const ALL: [Self; 3] = [Self::Stock, Self::Sitting, Self::Planned];
}

/// A side of the truck, the driver's left or right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Side {
    /// The driver's left, positive y.
    Left,
    /// The driver's right, negative y.
    Right,
}

impl Side {
    /// Both sides, left first.
    pub const BOTH: [Self; 2] = [Self::Left, Self::Right];

    /// Its word, for people and files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }

    /// +1 for left, −1 for right: the sign of y.
    pub const fn sign(self) -> f64 {
        match self {
            Self::Left => 1.0,
            Self::Right => -1.0,
        }
    }

    /// Its place in a pair: 0 for left, 1 for right.
    pub const fn index(self) -> usize {
        match self {
            Self::Left => 0,
            Self::Right => 1,
        }
    }

    /// Left and right of what is this side's own and the other's.
    pub const fn pair(self, own: f64, other: f64) -> [f64; 2] {
        match self {
            Self::Left => [own, other],
            Self::Right => [other, own],
        }
    }
}

/// One truck: its axles and what is fitted to them in each state.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Truck {
    /// Distance between stock front and rear axle centres, mm.
    pub wheelbase_mm: Known,
    /// Weight, brakes and drive.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Balance::is_assumed"))]
    pub balance: Balance,
    /// What a weighbridge read.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Weights::is_empty"))]
    pub weights: Weights,
    /// The lowest point between the axles.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Belly::is_empty"))]
    pub belly: Belly,
    /// Gear ratios.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Gears::is_empty"))]
    pub gears: Gears,
    /// The front axle, if it is solid and of interest.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub front: Option<Axle>,
    /// The rear axle, if it is solid and of interest.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub rear: Option<Axle>,
}

impl Truck {
    /// The axle at one end, if the truck has one filled in.
    pub const fn axle(&self, end: End) -> Option<&Axle> {
        match end {
            End::Front => self.front.as_ref(),
            End::Rear => self.rear.as_ref(),
        }
    }

    /// The axle at one end, to change it.
    pub const fn axle_mut(&mut self, end: End) -> Option<&mut Axle> {
        match end {
            End::Front => self.front.as_mut(),
            End::Rear => self.rear.as_mut(),
        }
    }
}
