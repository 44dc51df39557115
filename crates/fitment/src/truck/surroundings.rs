//! What the tire must clear, each from a few tape measurements on the truck standing stock.

use crate::measure::Known;

/// Obstacles around the wheels; the right side mirrors the left.
#[derive(Debug, Clone, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(default, deny_unknown_fields))]
pub struct Surroundings {
    /// Frame rail beside the wheel.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub rail: Option<Rail>,
    /// Wheel arch opening.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub arch: Option<Arch>,
    /// Half the thickness of the arm or lower link, mm: its radius as a round bar.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub arm_radius_mm: Option<Known>,
}

/// A frame rail as a straight box along x.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Rail {
    /// Outer face from the truck's centreline, mm, positive.
    pub outer_mm: Known,
    /// Bottom edge above the stock axle centreline, mm.
    pub bottom_mm: Known,
    /// Top edge above the stock axle centreline, mm.
    pub top_mm: Known,
    /// Front end of the straight part ahead of the axle centreline, mm.
    pub front_mm: Known,
    /// Rear end of the straight part ahead of the axle centreline, mm (negative when behind).
    pub rear_mm: Known,
}

/// A wheel arch as a round band: the arc through three lip points, as deep as it is wide.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Arch {
    /// Lip above the stock wheel centre, straight up, mm.
    pub top_mm: Known,
    /// Lip ahead of the stock wheel centre, at hub height, mm, positive.
    pub front_mm: Known,
    /// Lip behind the stock wheel centre, at hub height, mm, positive.
    pub rear_mm: Known,
    /// Outer edge of the lip from the truck's centreline, mm, positive.
    pub lip_mm: Known,
    /// Inner end of the band from the truck's centreline, mm, positive.
    pub inner_mm: Known,
}

impl Arch {
    /// Centre (forward, up of the stock wheel centre) and radius of the lip's circle, mm; `None`
    /// when the three points lie in a line.
    ///
    /// The circle through (−rear, 0), (0, top) and (front, 0): its centre lies midway between the
    /// two points at hub height, and by intersecting chords front · rear = top · (top − 2·up).
    pub fn circle(&self) -> Option<([f64; 2], f64)> {
        let (front, rear, top) = (self.front_mm.value, self.rear_mm.value, self.top_mm.value);
        let x = (front - rear) * 0.5;
        let z = (top * top - front * rear) / (2.0 * top);
        let radius = (front - x).hypot(z);
        (radius.is_finite() && radius > 0.0).then_some(([x, z], radius))
    }
}
