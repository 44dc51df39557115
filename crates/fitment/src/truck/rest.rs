//! What the checks of the rest of the truck ask for and no pose needs: each a reading that somebody
//! took, or nothing.

use crate::measure::Known;

/// What a weighbridge read, as the truck sits.
#[derive(Debug, Clone, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(default, deny_unknown_fields))]
pub struct Weights {
    /// Under the front wheels, kg.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub front_axle_kg: Option<Known>,
    /// Under the rear wheels, kg.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub rear_axle_kg: Option<Known>,
    /// Under the front wheels with the rear wheels raised, kg.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub front_raised_kg: Option<Known>,
    /// How far the rear wheels were raised for that, mm.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub rise_mm: Option<Known>,
}

impl Weights {
    /// True when nothing was read yet.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// The lowest point between the axles, as the truck sits.
#[derive(Debug, Clone, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(default, deny_unknown_fields))]
pub struct Belly {
    /// Behind the front wheel's center, level, mm.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub behind_front_wheel_mm: Option<Known>,
    /// Above ground, mm.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub above_ground_mm: Option<Known>,
}

impl Belly {
    /// True when nothing was read yet.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// Gear ratios: turns going in for one coming out.
#[derive(Debug, Clone, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(default, deny_unknown_fields))]
pub struct Gears {
    /// Of the axles as they are.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub axle_ratio: Option<Known>,
    /// Of the axles as they came.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub stock_axle_ratio: Option<Known>,
    /// Of the gearbox in its highest gear.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub top_gear: Option<Known>,
    /// Of the gearbox in its lowest gear.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub first_gear: Option<Known>,
    /// Of the transfer case in its low range.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub low_range: Option<Known>,
}

impl Gears {
    /// True when nothing was read yet.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// What carries one axle's weight, each side.
#[derive(Debug, Clone, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(default, deny_unknown_fields))]
pub struct Springing {
    /// Rate of a coil spring, N/mm.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub spring_rate_n_per_mm: Option<Known>,
    /// Its length with the coils touching, mm.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub spring_solid_mm: Option<Known>,
    /// The shock pushed in, eye to eye, mm.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub shock_shortest_mm: Option<Known>,
    /// The shock pulled out, eye to eye, mm.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub shock_longest_mm: Option<Known>,
    /// How far the bump stop gives under load, mm.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub stop_squash_mm: Option<Known>,
    /// Stiffness of the sway bar about the roll axis, N·m per degree.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub sway_bar_nm_per_deg: Option<Known>,
    /// The axle with its wheels, kg.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub unsprung_kg: Option<Known>,
}

impl Springing {
    /// True when nothing was read yet.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// What hangs beyond and below one axle, as the truck sits.
#[derive(Debug, Clone, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(default, deny_unknown_fields))]
pub struct Overhang {
    /// The bumper's or hitch's lowest point beyond the wheel's center, mm.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub beyond_mm: Option<Known>,
    /// Its height above ground, mm.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub above_ground_mm: Option<Known>,
    /// The lowest point of the axle's middle above ground, mm.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub diff_above_ground_mm: Option<Known>,
}

impl Overhang {
    /// True when nothing was read yet.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}
