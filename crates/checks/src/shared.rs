//! What more than one card asks.

use super::Quantity;
use super::card::{Field, number};
use fitment::measure::Known;

/// From axle to axle.
pub(super) const WHEELBASE: Field = number(
    "wheelbase",
    "Wheelbase",
    Quantity::Length,
    Known::assumed(2630.0, 5.0),
    [1500.0, 6000.0],
    "Between the wheel centers.",
);

/// What a load is multiplied by before it is held against what a part may carry.
pub(super) const LOAD_FACTOR: Field = number(
    "factor",
    "Load factor",
    Quantity::Ratio,
    Known::assumed(3.0, 0.0),
    [1.0, 10.0],
    "For shocks and for loads that come and go; common practice, no source.",
);
