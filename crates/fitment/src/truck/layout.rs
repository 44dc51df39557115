//! How the axle is located: links, arms and the bar, by their hardpoints.

use crate::measure::Known;

/// A point in the axle's stock frame: x forward, y left, z up from the stock axle centre, mm.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Point {
    /// Forward of the axle centreline, mm.
    pub x_mm: Known,
    /// Left of the truck's centreline, mm.
    pub y_mm: Known,
    /// Above the axle centreline, mm.
    pub z_mm: Known,
}

/// A rigid two-ended member: a link or the Panhard bar, pivoting freely at both ends.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Bar {
    /// Pivot on the axle.
    pub axle: Point,
    /// Pivot on the chassis.
    pub chassis: Point,
}

/// A radius arm: clamped to the axle by two bushes, to the chassis by one.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct RadiusArm {
    /// The axle bush farther from the chassis eye.
    pub axle_far: Point,
    /// The axle bush nearer the chassis eye.
    pub axle_near: Point,
    /// Chassis eye.
    pub chassis: Point,
}

/// Direction of a bush's own axis when the truck stands stock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Axis {
    /// Along y: the usual cross-bolt.
    Lateral,
    /// Along x: a stem through the bracket.
    Longitudinal,
}

/// How stiff a rubber bush is.
///
/// Energy is ½(k_r·d_r² + k_a·d_a² + k_c·|conical|² + k_t·torsion²), with the axis carried by the
/// arm and the bush free of stress in the stock position.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct BushRates {
    /// Across the axis, N/mm.
    pub radial_n_per_mm: Known,
    /// Along the axis, N/mm.
    pub axial_n_per_mm: Known,
    /// Cocking of the axis, N·m per degree.
    pub conical_nm_per_deg: Known,
    /// Twist about the axis, N·m per degree.
    pub torsion_nm_per_deg: Known,
    /// Direction of the axis.
    pub axis: Axis,
}

/// The members that locate the axle, besides the Panhard bar.
///
/// Where a right-hand member is absent it is the mirror image of the left-hand one.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case", deny_unknown_fields))]
pub enum Layout {
    /// Two radius arms, leading or trailing, on rubber.
    RadiusArms {
        /// Left arm.
        left: RadiusArm,
        /// Right arm; absent means mirrored.
        #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
        right: Option<RadiusArm>,
        /// The two bushes at the axle, each arm.
        axle_bush: BushRates,
        /// The bush at the chassis, each arm.
        chassis_bush: BushRates,
    },
    /// Two lower links and one upper.
    ThreeLink {
        /// Left lower link.
        lower_left: Bar,
        /// Right lower link; absent means mirrored.
        #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
        lower_right: Option<Bar>,
        /// The single upper link, wherever it sits.
        upper: Bar,
    },
    /// Two lower links and two upper, near parallel in plan.
    ///
    /// With a Panhard bar this is one link more than the axle's two freedoms allow, so the links
    /// are elastic along their length, all alike, and the pose is the one of least energy.
    FourLink {
        /// Left lower link.
        lower_left: Bar,
        /// Right lower link; absent means mirrored.
        #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
        lower_right: Option<Bar>,
        /// Left upper link.
        upper_left: Bar,
        /// Right upper link; absent means mirrored.
        #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
        upper_right: Option<Bar>,
    },
}
