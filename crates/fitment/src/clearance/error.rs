//! Why a clearance cannot be worked out.

/// A shape whose numbers do not describe a solid.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ShapeError {
    /// Not a finite number.
    #[error("{what} is {value}, which is not a finite number; measure it again")]
    NotFinite {
        /// The dimension, in words.
        what: &'static str,
        /// The value found.
        value: f64,
    },
    /// Not within the sizes that parts of a truck come in.
    #[error("{what} is {value} mm; it must lie between {least} and {most} mm, so check the unit")]
    Size {
        /// The dimension, in words.
        what: &'static str,
        /// The value found, mm.
        value: f64,
        /// Least value allowed, mm.
        least: f64,
        /// Largest value allowed, mm.
        most: f64,
    },
    /// Two ends given in the wrong order, or at the same place.
    #[error("{high} ({high_mm} mm) must be larger than {low} ({low_mm} mm); check both")]
    Order {
        /// The dimension that must be larger.
        high: &'static str,
        /// Its value, mm.
        high_mm: f64,
        /// The dimension that must be smaller.
        low: &'static str,
        /// Its value, mm.
        low_mm: f64,
    },
    /// Two edges of an obstacle that should stand square to one another.
    #[error(
        "two edges of an obstacle are not at right angles (cosine {cosine}); check its corners"
    )]
    Square {
        /// Cosine of the angle between them.
        cosine: f64,
    },
}

/// Largest length or coordinate taken for part of a truck, mm.
pub(super) const MOST_MM: f64 = 20_000.0;

/// The value, if it is finite and within `least..=most`.
///
/// # Errors
/// [`ShapeError::NotFinite`] or [`ShapeError::Size`].
pub(super) fn within(
    what: &'static str,
    value: f64,
    least: f64,
    most: f64,
) -> Result<f64, ShapeError> {
    if !value.is_finite() {
        return Err(ShapeError::NotFinite { what, value });
    }
    if least <= value && value <= most {
        return Ok(value);
    }
    Err(ShapeError::Size { what, value, least, most })
}

/// Nothing, if `high` is larger than `low`; each is a name and a finite value in mm.
///
/// # Errors
/// [`ShapeError::Order`].
pub(super) fn ordered(
    low: (&'static str, f64),
    high: (&'static str, f64),
) -> Result<(), ShapeError> {
    if low.1 < high.1 {
        return Ok(());
    }
    Err(ShapeError::Order { high: high.0, high_mm: high.1, low: low.0, low_mm: low.1 })
}
