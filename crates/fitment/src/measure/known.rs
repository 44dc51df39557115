//! `Known`: a number that remembers its uncertainty and its origin.

/// What a value was read with; each has a typical standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Instrument {
    /// Tape or ruler, under the truck: about 2 mm.
    Tape,
    /// Digital or dial angle gauge on a machined face: about 0.2°.
    AngleGauge,
    /// A phone used as a level: about 0.5°.
    PhoneLevel,
    /// Plumb line and tape on the floor: about 3 mm.
    PlumbLine,
    /// A vernier or dial caliper: about 0.2 mm.
    Caliper,
}

/// Where a value comes from.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Origin {
    /// Nobody measured it; a typical value stands in.
    Assumed,
    /// Read on this truck.
    Measured(Instrument),
    /// Printed on the part, a data plate, a sidewall or a drawing.
    Published,
}

/// A number with its standard uncertainty and origin.
///
/// The unit is the field's that holds it (`_mm`, `_deg`, …). `sigma` is one standard deviation
/// in the same unit.
#[derive(Debug, PartialEq)]
pub struct Known {
    /// Best value.
    pub value: f64,
    /// One standard deviation, same unit as `value`, never negative.
    pub sigma: f64,
    /// Where the value came from.
    pub origin: Origin,
    /// What the person typed, kept to the letter so that changing units never drifts.
    pub entered: Option<String>,
}

impl Clone for Known {
    // A truck has hundreds of these: kept out of line, so that its copy is a row of calls.
    #[inline(never)]
    fn clone(&self) -> Self {
        Self {
            value: self.value,
            sigma: self.sigma,
            origin: self.origin.clone(),
            entered: self.entered.clone(),
        }
    }
}

impl Known {
    /// A stand-in nobody measured, with the spread such a value has between trucks.
    pub const fn assumed(value: f64, sigma: f64) -> Self {
        Self { value, sigma, origin: Origin::Assumed, entered: None }
    }

    /// A reading taken with an instrument, with that instrument's typical uncertainty.
    pub const fn measured(value: f64, with: Instrument) -> Self {
        Self { value, sigma: with.typical_sigma(), origin: Origin::Measured(with), entered: None }
    }

    /// A figure printed on a part, plate, sidewall or drawing.
    pub const fn published(value: f64, sigma: f64) -> Self {
        Self { value, sigma, origin: Origin::Published, entered: None }
    }

    /// A number that is what it is by choice (a planned part's dimension); no uncertainty.
    pub const fn exact(value: f64) -> Self {
        Self::published(value, 0.0)
    }

    /// True when nobody has measured or looked up this value yet.
    pub const fn is_assumed(&self) -> bool {
        matches!(self.origin, Origin::Assumed)
    }
}

impl Instrument {
    /// Typical standard uncertainty of one reading: mm for tape, plumb line and caliper; degrees
    /// for the two gauges. Common practice, no source.
    pub const fn typical_sigma(self) -> f64 {
        match self {
            Self::Tape => 2.0,
            Self::AngleGauge | Self::Caliper => 0.2,
            Self::PhoneLevel => 0.5,
            Self::PlumbLine => 3.0,
        }
    }
}
