//! Conversion factors, each once and with its source; nothing else in the crate spells one out.
//!
//! Inside, everything is mm, rad, N, kg and s; these factors are for the edges.

use super::parse::Ratio;

/// Millimetres in an inch, exact. NIST SP 811 (2008) appendix B.8.
pub const MM_PER_INCH: f64 = 25.4;
/// Millimetres in an international foot, exact. NIST SP 811 (2008) appendix B.8.
pub const MM_PER_FOOT: f64 = 304.8;
/// Kilograms in an avoirdupois pound, exact. NIST SP 811 (2008) appendix B.8.
pub const KG_PER_POUND: f64 = 0.453_592_37;
/// Newtons in a kilogram-force, exact: standard gravity. NIST SP 811 (2008) appendix B.8.
pub const N_PER_KGF: f64 = 9.806_65;
/// Kilopascals in a pound-force per square inch. NIST SP 811 (2008) appendix B.8.
pub const KPA_PER_PSI: f64 = 6.894_757;
/// Kilometres in a mile, exact. NIST SP 811 (2008) appendix B.8.
pub const KM_PER_MILE: f64 = 1.609_344;
/// Degrees in a radian. NIST SP 811 (2008) appendix B.8 gives its inverse, π/180.
pub const DEG_PER_RAD: f64 = 180.0 / std::f64::consts::PI;

/// A unit a length may be written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LengthUnit {
    /// mm
    Millimetre,
    /// cm
    Centimetre,
    /// m
    Metre,
    /// in or `"`
    Inch,
    /// ft or `'`
    Foot,
}

/// The system a person reads and writes lengths in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum System {
    /// Millimetres.
    #[default]
    Metric,
    /// Inches, in fractions down to 1/16.
    Inch,
}

impl LengthUnit {
    /// Millimetres in one of this unit.
    pub const fn mm(self) -> f64 {
        match self {
            Self::Millimetre => 1.0,
            Self::Centimetre => 10.0,
            Self::Metre => 1000.0,
            Self::Inch => MM_PER_INCH,
            Self::Foot => MM_PER_FOOT,
        }
    }

    /// Which system the unit belongs to.
    pub const fn system(self) -> System {
        match self {
            Self::Millimetre | Self::Centimetre | Self::Metre => System::Metric,
            Self::Inch | Self::Foot => System::Inch,
        }
    }

    /// The same factor as two whole numbers, so that 13 1/2 in becomes 342.9 mm to the last bit.
    pub(super) const fn mm_ratio(self) -> Ratio {
        match self {
            Self::Millimetre => Ratio { num: 1.0, den: 1.0 },
            Self::Centimetre => Ratio { num: 10.0, den: 1.0 },
            Self::Metre => Ratio { num: 1000.0, den: 1.0 },
            Self::Inch => Ratio { num: 254.0, den: 10.0 },
            Self::Foot => Ratio { num: 3048.0, den: 10.0 },
        }
    }
}

impl System {
    /// What a bare number means to a person who works in this system.
    pub const fn default_unit(self) -> LengthUnit {
        match self {
            Self::Metric => LengthUnit::Millimetre,
            Self::Inch => LengthUnit::Inch,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ratio_and_factor_agree() {
        use LengthUnit::{Centimetre, Foot, Inch, Metre, Millimetre};
        for unit in [Millimetre, Centimetre, Metre, Inch, Foot] {
            let Ratio { num, den } = unit.mm_ratio();
            assert_eq!((num / den).to_bits(), unit.mm().to_bits(), "{unit:?}");
        }
    }

    #[test]
    fn the_default_unit_is_of_its_own_system() {
        for system in [System::Metric, System::Inch] {
            assert_eq!(system.default_unit().system(), system);
        }
    }
}
