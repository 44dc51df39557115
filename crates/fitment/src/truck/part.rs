//! Corrections: generic parts that move a hardpoint, change a length or turn the axle.

use super::Wheel;
use crate::measure::Known;

/// A hole to choose on a bracket: where it puts the pivot, relative to the stock hole.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Hole {
    /// What is stamped beside it or how the person calls it.
    pub name: String,
    /// Forward of the stock hole, mm.
    pub x_mm: Known,
    /// Left of the stock hole, mm; for a paired bracket, outboard on both sides.
    pub y_mm: Known,
    /// Above the stock hole, mm.
    pub z_mm: Known,
}

/// A correction. A bracket moves a hardpoint and never changes a length; a length change is a
/// part of its own.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case", deny_unknown_fields))]
pub enum Part {
    /// Moves the Panhard bar's pivot on the axle.
    PanhardAxleBracket {
        /// Holes offered.
        holes: Vec<Hole>,
        /// Index of the hole in use.
        hole: usize,
    },
    /// Moves the Panhard bar's pivot on the chassis.
    PanhardChassisBracket {
        /// Holes offered.
        holes: Vec<Hole>,
        /// Index of the hole in use.
        hole: usize,
    },
    /// Makes the Panhard bar longer (positive) or shorter than stock.
    PanhardLength {
        /// Change of the eye-to-eye length, mm.
        change_mm: Known,
        /// Shortest and longest change the bar can be set to, mm; equal for a fixed bar.
        range_mm: [f64; 2],
    },
    /// Moves the chassis eyes of both arms or both lower links.
    ArmBracket {
        /// Holes offered.
        holes: Vec<Hole>,
        /// Index of the hole in use.
        hole: usize,
    },
    /// Turns the axle in its arms by eccentric bushes; radius arms only.
    CasterBush {
        /// Turn of the axle, degrees; positive adds caster.
        angle_deg: Known,
        /// Angles offered for sale or on the bench, degrees.
        choices_deg: Vec<f64>,
    },
    /// Makes the drag link longer (positive) or shorter than stock.
    DragLinkLength {
        /// Change of the eye-to-eye length, mm.
        change_mm: Known,
        /// Shortest and longest change the link can be set to, mm; equal for a fixed link.
        range_mm: [f64; 2],
    },
    /// Makes the upper link or links longer (positive) or shorter than stock; link layouts only.
    UpperLinkLength {
        /// Change of the eye-to-eye length, mm.
        change_mm: Known,
        /// Shortest and longest change the link can be set to, mm; equal for a fixed link.
        range_mm: [f64; 2],
    },
    /// Cuts the wheel arch's opening back all round.
    ArchTrim {
        /// How much, mm; 0 or more.
        depth_mm: Known,
    },
    /// Makes the bump stop longer (positive: less travel in bump) or shorter than stock.
    BumpStop {
        /// Change of the stop's length, mm.
        change_mm: Known,
        /// Shortest and longest change offered, mm; equal for a fixed stop.
        range_mm: [f64; 2],
    },
    /// Sets the steering stops, in place of the largest steer as measured.
    SteeringStop {
        /// Largest steer of a wheel either way, degrees.
        lock_deg: Known,
        /// Smallest and largest steer the stop can be set to, degrees.
        range_deg: [f64; 2],
    },
}

impl Part {
    /// True for what only makes room for the tire: it moves no hardpoint and turns nothing.
    pub const fn makes_room(&self) -> bool {
        matches!(self, Self::ArchTrim { .. } | Self::BumpStop { .. } | Self::SteeringStop { .. })
    }
}

/// What is at hand or could be bought, for the suggestions to draw on.
#[derive(Debug, Clone, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(default, deny_unknown_fields))]
pub struct Shelf {
    /// Corrections to choose from.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Vec::is_empty"))]
    pub parts: Vec<Part>,
    /// Spacer thicknesses to choose from, mm.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Vec::is_empty"))]
    pub spacers_mm: Vec<Known>,
    /// Wheels to choose from.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Vec::is_empty"))]
    pub wheels: Vec<Wheel>,
}

impl Shelf {
    /// True when there is nothing on it.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}
