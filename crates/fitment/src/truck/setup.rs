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
    /// Room all round the tire for what it carries besides itself, mm: chains, packed mud or snow.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub packing_mm: Option<Known>,
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
    /// Width of the flat of the tread, edge to edge, mm.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub tread_mm: Option<Known>,
    /// How far the tread's edge lies below its middle under a straightedge, mm.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub crown_mm: Option<Known>,
    /// Width over the shoulder lugs, mm.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub shoulder_mm: Option<Known>,
    /// How far below the middle of the tread the shoulder lugs stand widest, mm.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub shoulder_drop_mm: Option<Known>,
}

impl Tire {
    /// A tire by its designation, nothing measured.
    pub fn sized(size: impl Into<String>) -> Self {
        Self {
            size: size.into(),
            diameter_mm: None,
            section_mm: None,
            loaded_radius_mm: None,
            tread_mm: None,
            crown_mm: None,
            shoulder_mm: None,
            shoulder_drop_mm: None,
        }
    }
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
    /// Clear diameter inside the barrel, where the brake goes, mm.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub inside_mm: Option<Known>,
    /// Inner face of the spokes or disc outboard of the mounting face, mm; negative when inboard.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub spoke_mm: Option<Known>,
}

impl Wheel {
    /// A wheel by width and offset, its inside not measured.
    pub const fn new(width_mm: Known, offset_mm: Known) -> Self {
        Self { width_mm, offset_mm, inside_mm: None, spoke_mm: None }
    }
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
