//! How the truck's weight, brakes and drive are shared out: what anti-dive and anti-squat lean on.

use crate::measure::Known;

/// Height of the center of gravity and the front axle's shares.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Balance {
    /// Center of gravity above ground with the truck stock, mm.
    pub cg_height_mm: Known,
    /// The front wheels' share of the braking force, percent.
    pub front_brake_percent: Known,
    /// The front wheels' share of the driving force, percent; 0 with the front axle disconnected.
    pub front_drive_percent: Known,
}

impl Balance {
    /// Before anything is known: our assumptions, wide (common practice, no source).
    pub const fn assumed() -> Self {
        Self {
            cg_height_mm: Known::assumed(720.0, 60.0),
            front_brake_percent: Known::assumed(65.0, 8.0),
            front_drive_percent: Known::assumed(0.0, 0.0),
        }
    }

    /// True while nobody has said otherwise.
    pub fn is_assumed(&self) -> bool {
        *self == Self::assumed()
    }
}

impl Default for Balance {
    fn default() -> Self {
        Self::assumed()
    }
}
