//! What holds the axle sideways when it is not a Panhard bar.

use super::{Bar, Point};

/// A Watts linkage: two links to the two sides of a crank, whose pivot keeps close to an upright
/// line.
///
/// The crank turns about a fore-and-aft axis that its carrier takes along. Of each link, the end on
/// the crank is the one on the crank's carrier: `axle` when the crank rides on the axle.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Watts {
    /// What the crank is bolted to.
    pub crank_on: Carrier,
    /// The crank's pivot.
    pub pivot: Point,
    /// The link to the left.
    pub left: Bar,
    /// The link to the right.
    pub right: Bar,
}

/// A body that carries something.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Carrier {
    /// The axle.
    Axle,
    /// The chassis.
    Chassis,
}
