//! What a number on a card measures, and how people of either system write it.

use fitment::measure::System;
use fitment::measure::format;
use fitment::measure::units::{KG_PER_POUND, KM_PER_MILE, KPA_PER_PSI, MM_PER_INCH, N_PER_KGF};

/// What a number measures. Cards keep every number in the first unit named here.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// Length, mm.
    Length,
    /// Distance on the road, km.
    Road,
    /// Angle, degrees.
    Angle,
    /// Mass, kg.
    Mass,
    /// Force, N.
    Force,
    /// Torque, N·m.
    Torque,
    /// Pressure, kPa.
    Pressure,
    /// Stress, MPa.
    Stress,
    /// Speed, km/h.
    Speed,
    /// Turns of a wheel on the road, 1/km.
    Turns,
    /// Turning, 1/min.
    Rpm,
    /// Spring rate, N/mm.
    Rate,
    /// Turning stiffness, N·m/°.
    TurnRate,
    /// Temperature, °C.
    Temperature,
    /// Frequency, Hz.
    Frequency,
    /// Current, A.
    Current,
    /// Voltage, V.
    Voltage,
    /// Welding speed, mm/s.
    Travel,
    /// Wire feed, m/min.
    Feed,
    /// Heat input, kJ/mm.
    Heat,
    /// Change of turning speed, rad/s².
    TurnAcceleration,
    /// Area, mm².
    Area,
    /// Line load, N/mm.
    LineLoad,
    /// Percent.
    Percent,
    /// A plain ratio.
    Ratio,
    /// A count.
    Count,
}

/// Every quantity by the name that the cards' texts have for it.
const NAMES: [(&str, Quantity); 26] = [
    ("length", Quantity::Length),
    ("road", Quantity::Road),
    ("angle", Quantity::Angle),
    ("mass", Quantity::Mass),
    ("force", Quantity::Force),
    ("torque", Quantity::Torque),
    ("pressure", Quantity::Pressure),
    ("stress", Quantity::Stress),
    ("speed", Quantity::Speed),
    ("turns", Quantity::Turns),
    ("rpm", Quantity::Rpm),
    ("rate", Quantity::Rate),
    ("turnrate", Quantity::TurnRate),
    ("temperature", Quantity::Temperature),
    ("frequency", Quantity::Frequency),
    ("current", Quantity::Current),
    ("voltage", Quantity::Voltage),
    ("travel", Quantity::Travel),
    ("feed", Quantity::Feed),
    ("heat", Quantity::Heat),
    ("turnacceleration", Quantity::TurnAcceleration),
    ("area", Quantity::Area),
    ("lineload", Quantity::LineLoad),
    ("percent", Quantity::Percent),
    ("ratio", Quantity::Ratio),
    ("count", Quantity::Count),
];

impl Quantity {
    /// The quantity of a name in the cards' texts.
    pub(super) fn named(name: &str) -> Option<Self> {
        NAMES.iter().find(|(known, _)| *known == name).map(|(_, quantity)| *quantity)
    }

    /// What a number is multiplied by for a person's system, and the unit they write.
    ///
    /// Temperatures also shift: see [`Quantity::shown`].
    pub const fn unit(self, system: System) -> (f64, &'static str) {
        /// Newton metres in a pound-force foot: N_PER_KGF · KG_PER_POUND · 0.3048.
        const NM_PER_LBFT: f64 = N_PER_KGF * KG_PER_POUND * MM_PER_INCH * 12.0 / 1000.0;
        const N_PER_LBF: f64 = N_PER_KGF * KG_PER_POUND;
        match (self, system) {
            (Self::Length, System::Metric) => (1.0, "mm"),
            (Self::Length, System::Inch) => (1.0 / MM_PER_INCH, "in"),
            (Self::Road, System::Metric) => (1.0, "km"),
            (Self::Road, System::Inch) => (1.0 / KM_PER_MILE, "mi"),
            (Self::Angle, _) => (1.0, "°"),
            (Self::Mass, System::Metric) => (1.0, "kg"),
            (Self::Mass, System::Inch) => (1.0 / KG_PER_POUND, "lb"),
            (Self::Force, System::Metric) => (1.0, "N"),
            (Self::Force, System::Inch) => (1.0 / N_PER_LBF, "lbf"),
            (Self::Torque, System::Metric) => (1.0, "N·m"),
            (Self::Torque, System::Inch) => (1.0 / NM_PER_LBFT, "lb·ft"),
            (Self::Pressure, System::Metric) => (1.0, "kPa"),
            (Self::Pressure, System::Inch) => (1.0 / KPA_PER_PSI, "psi"),
            (Self::Stress, System::Metric) => (1.0, "MPa"),
            // 1000 kPa in a MPa, 1000 psi in a ksi.
            (Self::Stress, System::Inch) => (1.0 / KPA_PER_PSI, "ksi"),
            (Self::Speed, System::Metric) => (1.0, "km/h"),
            (Self::Speed, System::Inch) => (1.0 / KM_PER_MILE, "mph"),
            (Self::Turns, System::Metric) => (1.0, "per km"),
            (Self::Turns, System::Inch) => (KM_PER_MILE, "per mile"),
            (Self::Rpm, _) => (1.0, "rpm"),
            (Self::Rate | Self::LineLoad, System::Metric) => (1.0, "N/mm"),
            (Self::Rate, System::Inch) => (MM_PER_INCH / N_PER_LBF, "lb/in"),
            (Self::TurnRate, System::Metric) => (1.0, "N·m/°"),
            (Self::TurnRate, System::Inch) => (1.0 / NM_PER_LBFT, "lb·ft/°"),
            (Self::Temperature, System::Metric) => (1.0, "°C"),
            (Self::Temperature, System::Inch) => (1.8, "°F"),
            (Self::Frequency, _) => (1.0, "Hz"),
            (Self::Current, _) => (1.0, "A"),
            (Self::Voltage, _) => (1.0, "V"),
            (Self::Travel, System::Metric) => (1.0, "mm/s"),
            (Self::Travel, System::Inch) => (60.0 / MM_PER_INCH, "in/min"),
            (Self::Feed, System::Metric) => (1.0, "m/min"),
            (Self::Feed, System::Inch) => (1000.0 / MM_PER_INCH, "in/min"),
            (Self::Heat, System::Metric) => (1.0, "kJ/mm"),
            (Self::Heat, System::Inch) => (MM_PER_INCH, "kJ/in"),
            (Self::LineLoad, System::Inch) => (MM_PER_INCH / N_PER_LBF, "lbf/in"),
            (Self::TurnAcceleration, _) => (1.0, "rad/s²"),
            (Self::Area, System::Metric) => (1.0, "mm²"),
            (Self::Area, System::Inch) => (1.0 / (MM_PER_INCH * MM_PER_INCH), "in²"),
            (Self::Percent, _) => (1.0, "%"),
            (Self::Ratio | Self::Count, _) => (1.0, ""),
        }
    }

    /// A number in a person's system.
    pub fn shown(self, value: f64, system: System) -> f64 {
        let (scale, _) = self.unit(system);
        let shift = match (self, system) {
            (Self::Temperature, System::Inch) => 32.0,
            _ => 0.0,
        };
        value * scale + shift
    }

    /// The other way: a number written in a person's system, in the quantity's own unit.
    pub fn kept(self, written: f64, system: System) -> f64 {
        let (scale, _) = self.unit(system);
        (written - self.shown(0.0, system)) / scale
    }

    /// A number with its uncertainty (one standard deviation; 0 leaves it out) and unit, in words.
    pub fn words(self, value: f64, sigma: f64, system: System) -> String {
        let (scale, unit) = self.unit(system);
        if self == Self::Length {
            return format::length_with(value, sigma, system);
        }
        let shown = self.shown(value, system);
        let number = format::with_uncertainty(shown, sigma * scale)
            .unwrap_or_else(|| format::number(shown, self.decimals(system)));
        let space = if unit.is_empty() || unit == "°" { "" } else { " " };
        format!("{number}{space}{unit}")
    }

    /// A number in a person's system without its unit, with no more digits than tell.
    pub fn brief(self, value: f64, system: System) -> String {
        let shown = self.shown(value, system);
        if (self, system) == (Self::Length, System::Inch) {
            let sixteenths = (shown * 16.0).round() / 16.0;
            // A fraction where it is within a hundredth of the value; a thin shim is no fraction.
            if (sixteenths - shown).abs() <= 0.01 * shown.abs() {
                return format::inches(value).trim_end_matches('"').to_owned();
            }
        }
        format::brief(shown)
    }

    /// Decimals that mean something where no uncertainty says so.
    const fn decimals(self, system: System) -> usize {
        match (self, system) {
            (Self::Area, System::Inch) => 4,
            (Self::Ratio | Self::Heat | Self::Frequency, _) => 2,
            (Self::Angle | Self::Percent | Self::Travel | Self::Voltage | Self::Road, _)
            | (Self::Feed | Self::Rate, System::Metric)
            | (Self::Pressure | Self::Stress, System::Inch) => 1,
            _ => 0,
        }
    }
}
