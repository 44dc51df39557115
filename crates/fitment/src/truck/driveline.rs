//! The driveshaft from the transfer case to the axle, and the brake hose from frame to wheel.

use super::{End, Mount, Point};
use crate::measure::Known;

/// The driveshaft's other end: the joint at the transfer case. The axle's own joint is its
/// [`Pinion`](super::Pinion)'s.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Driveline {
    /// Middle of the joint at the transfer case, in this axle's frame with the truck stock.
    pub case: Point,
    /// How far the case's output slopes down toward the axle, degrees.
    pub case_slope_deg: Known,
    /// How far it points to the left on its way to the axle, from above, degrees; absent means
    /// straight along the truck.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub case_plan_deg: Option<Known>,
    /// Which joints the shaft has.
    pub shaft: ShaftKind,
    /// How far its splines can still slide in with the truck stock, mm.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub slip_in_mm: Option<Known>,
    /// How far they can still slide out and hold, with the truck stock, mm.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub slip_out_mm: Option<Known>,
    /// The angle at which a joint's yokes touch, degrees.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub joint_limit_deg: Option<Known>,
}

/// Which joints a driveshaft has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum ShaftKind {
    /// A joint at each end, yokes in line.
    InPhase,
    /// A joint at each end, yokes crossed by a quarter turn.
    OutOfPhase,
    /// A double-Cardan joint at the case and a single one at the axle.
    DoubleCardan,
}

/// The left brake hose with the truck stock and the wheels straight ahead; the right is its mirror
/// image.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Hose {
    /// Its fitting on the frame.
    pub frame_end: Point,
    /// Its fitting at the axle or the wheel.
    pub wheel_end: Point,
    /// What that one rides on: the axle or the knuckle.
    pub on: Mount,
    /// Its length along it, mm.
    pub length_mm: Known,
}

impl Driveline {
    /// A shaft of usual length with a joint at each end: typical values, all assumed.
    pub const fn typical(end: End) -> Self {
        let (ahead, y) = match end {
            End::Front => (-1.0, -130.0),
            End::Rear => (1.0, 0.0),
        };
        Self {
            case: Point {
                x_mm: Known::assumed(ahead * 1050.0, 60.0),
                y_mm: Known::assumed(y, 40.0),
                z_mm: Known::assumed(120.0, 30.0),
            },
            case_slope_deg: Known::assumed(3.0, 1.0),
            case_plan_deg: None,
            shaft: ShaftKind::InPhase,
            slip_in_mm: None,
            slip_out_mm: None,
            joint_limit_deg: None,
        }
    }
}

impl Hose {
    /// A hose of usual length from the frame to the knuckle: typical values, all assumed.
    pub const fn typical() -> Self {
        const fn point(x: f64, y: f64, z: f64) -> Point {
            Point {
                x_mm: Known::assumed(x, 30.0),
                y_mm: Known::assumed(y, 30.0),
                z_mm: Known::assumed(z, 25.0),
            }
        }
        Self {
            frame_end: point(-60.0, 390.0, 260.0),
            wheel_end: point(-60.0, 600.0, 80.0),
            on: Mount::Knuckle,
            length_mm: Known::assumed(430.0, 20.0),
        }
    }
}
