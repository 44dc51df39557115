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

impl Point {
    /// Forward, left and up, mm.
    pub const fn mm(&self) -> [f64; 3] {
        [self.x_mm.value, self.y_mm.value, self.z_mm.value]
    }
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

/// A leaf spring, by the four points that fix it.
///
/// Spring-over or spring-under is only whether `seat` lies above the axle's centreline or below
/// it; a shackle at the front or at the rear is only whether `shackle_eye` lies ahead of
/// `fixed_eye`.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct LeafSpring {
    /// Where the middle of the main leaf's thickness crosses the center bolt, on the axle.
    pub seat: Point,
    /// The eye bolted straight to the chassis.
    pub fixed_eye: Point,
    /// The eye that hangs on the shackle.
    pub shackle_eye: Point,
    /// The shackle's bolt on the chassis.
    pub shackle_chassis: Point,
}

/// How stiff a leaf spring is, each side.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct LeafRates {
    /// Up and down at the seat, N/mm.
    pub vertical_n_per_mm: Known,
    /// Sideways at the seat, eyes held, N/mm.
    pub lateral_n_per_mm: Known,
    /// Twist of the spring about its own length, each half, N·m per degree.
    pub twist_nm_per_deg: Known,
    /// Length held flat between the U-bolts, mm.
    pub clamped_mm: Known,
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
#[cfg_attr(
    target_pointer_width = "64",
    expect(clippy::large_enum_variant, reason = "one per axle; a box would buy nothing")
)]
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
    /// Two lower links and two upper.
    ///
    /// Triangulated, with neither bar nor Watts linkage, the four fix the axle. With one of those
    /// they are one link more than the axle's two freedoms allow, so all are elastic along their
    /// length, all alike, and the pose is the one of least energy.
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
    /// A leaf spring each side, which both springs the axle and locates it.
    ///
    /// Each is the three-link equivalent of the SAE spring design manual (HS-788): the seat and two
    /// links of three quarters of each half's free length, on springs where they meet.
    LeafSprings {
        /// Left spring.
        left: LeafSpring,
        /// Right spring; absent means mirrored.
        #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
        right: Option<LeafSpring>,
        /// Stiffness of the leaves.
        rates: LeafRates,
        /// The bushes in the eyes and the shackle.
        eye_bush: BushRates,
    },
}
