//! The steering linkage: box, pitman arm, drag link and tie rod, with the wheels straight ahead and
//! the truck stock.

use super::Point;
use crate::measure::Known;

/// The linkage that turns the wheels.
///
/// Cross-steer, inverted Y and fore-aft drag link differ only in where the drag link joins and how
/// the pitman arm swings; left- and right-hand drive only in the side the box is on.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Steering {
    /// The arm on the steering box.
    pub pitman: Pitman,
    /// From the pitman arm's end to a knuckle or the tie rod.
    pub drag_link: DragLink,
    /// From knuckle to knuckle, ahead of the axle or behind it.
    pub tie_rod: TieRod,
    /// Turns of the steering wheel for one turn of the pitman arm.
    pub ratio: Known,
}

/// The arm on the steering box; it rides on the chassis.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Pitman {
    /// Where the box's output shaft meets the arm.
    pub pivot: Point,
    /// The arm's ball joint.
    pub end: Point,
    /// Which way the output shaft lies.
    pub shaft: Shaft,
}

/// Which way a steering box's output shaft lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Shaft {
    /// Up and down: the arm swings sideways or fore and aft in a level plane.
    Upright,
    /// Across the truck: the arm swings fore and aft in an upright plane.
    Across,
}

/// The drag link.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct DragLink {
    /// The joint away from the pitman arm.
    pub end: Point,
    /// What that joint is fixed to.
    pub joins: Joins,
}

/// What the drag link pushes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Joins {
    /// The left knuckle's steering arm.
    LeftKnuckle,
    /// The right knuckle's steering arm.
    RightKnuckle,
    /// The tie rod itself, which is then an inverted Y. A joint beside the rod's own line stays on
    /// the side of it where it was, as seen from the axle.
    TieRod,
}

/// The tie rod's ball joints, each on its knuckle.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct TieRod {
    /// Left ball joint.
    pub left: Point,
    /// Right ball joint; absent means mirrored.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub right: Option<Point>,
}
