//! What is fitted in one state: ride height, tire, wheel, spacer, corrections.

use super::Part;
use crate::measure::Known;

/// One state of an axle.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Setup {
    /// Chassis raised above its stock height over the axle, mm; the left side where the right differs.
    pub lift_mm: Known,
    /// Right side's lift, where it differs, mm.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub lift_right_mm: Option<Known>,
    /// The tire.
    pub tire: Tire,
    /// The wheel.
    pub wheel: Wheel,
    /// Spacer or adapter between mounting face and wheel, mm; 0 for none.
    pub spacer_mm: Known,
    /// Corrections fitted, in the order they are bolted on.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Vec::is_empty"))]
    pub parts: Vec<Part>,
}

/// A tire by its sidewall designation, with whatever was measured on it.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Tire {
    /// The designation on the sidewall, such as `265/75R16`, `33x12.50R15` or `7.50R16`.
    pub size: String,
    /// Measured overall diameter, mm, unloaded; takes the place of the designation's.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub diameter_mm: Option<Known>,
    /// Measured section width on this wheel, mm; takes the place of the designation's.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub section_mm: Option<Known>,
    /// Measured wheel centre to ground with the truck's weight on it, mm.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub loaded_radius_mm: Option<Known>,
}

/// A wheel.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Wheel {
    /// Width between the bead seats, mm (an 8 in wheel is 203.2).
    pub width_mm: Known,
    /// Offset, mm; positive when the mounting face is outboard of the rim centreline.
    pub offset_mm: Known,
}

impl Setup {
    /// Lift at the left and right wheel, mm.
    pub const fn lift(&self) -> (&Known, &Known) {
        let right = match &self.lift_right_mm {
            Some(right) => right,
            None => &self.lift_mm,
        };
        (&self.lift_mm, right)
    }
}
