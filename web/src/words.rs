//! Numbers as the page writes them: in the person's units, and as they typed them where they did.

use crate::state::edit::{self, Quantity};
use buildfile::Units;
use fitment::axle::{Output, Unit};
use fitment::measure::{Known, LengthUnit, format, parse_length};

/// The unit shown beside a field of this quantity.
pub const fn unit(quantity: Quantity, units: Units) -> &'static str {
    match (quantity, units) {
        (Quantity::Length, Units::Metric) => "mm",
        (Quantity::Length, Units::Inch) => "in",
        (Quantity::Angle, _) => "°",
        (Quantity::Plain, _) => "",
    }
}

/// True when a text carries its own unit, so that none is shown beside it.
pub fn has_unit(text: &str) -> bool {
    text.chars()
        .any(|c| c.is_ascii_alphabetic() || matches!(c, '"' | '\'' | '°' | '″' | '′' | '”' | '’'))
}

/// A number as it stands in its field: as typed when that was in these units, else converted.
pub fn field_text(known: &Known, quantity: Quantity, units: Units) -> String {
    let habit = edit::system(units);
    if let Some(entered) = &known.entered {
        match quantity {
            Quantity::Length => {
                let read = parse_length(entered, LengthUnit::Millimetre);
                if read.is_ok_and(|reading| reading.unit.system() == habit) {
                    return bare(entered, habit.default_unit());
                }
            }
            Quantity::Angle | Quantity::Plain => return entered.clone(),
        }
    }
    match (quantity, units) {
        (Quantity::Length, Units::Metric) => trimmed(known.value, 1),
        (Quantity::Length, Units::Inch) => {
            let text = format::inches(known.value);
            text.trim_end_matches('"').to_owned()
        }
        (Quantity::Angle, _) => trimmed(known.value, 2),
        (Quantity::Plain, _) => trimmed(known.value, 3),
    }
}

/// A text without its unit, where that is the one shown beside the field.
fn bare(entered: &str, unit: LengthUnit) -> String {
    let suffix = match unit {
        LengthUnit::Inch => "in",
        _ => "mm",
    };
    let short = entered.strip_suffix(suffix).map(str::trim_end);
    match short {
        Some(short) if !has_unit(short) => short.to_owned(),
        _ => entered.to_owned(),
    }
}

/// At most so many decimals, none of them idle.
fn trimmed(value: f64, decimals: usize) -> String {
    let text = format::number(value, decimals);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// A length with its unit.
pub fn length(mm: f64, units: Units) -> String {
    match units {
        Units::Metric => format::millimetres(mm, 0),
        Units::Inch => format::inches(mm),
    }
}

/// A sideways distance: how far and which way, as the driver sees it.
pub fn sideways(mm: f64, units: Units) -> String {
    to_side(mm, &length(mm.abs(), units))
}

/// A size to the left (positive) or to the right, as the driver sees it; nothing is on neither side.
pub fn to_side(value: f64, size: &str) -> String {
    match (size.contains(|c| matches!(c, '1'..='9')), value > 0.0) {
        (false, _) => size.to_owned(),
        (true, true) => format!("{size} L"),
        (true, false) => format!("{size} R"),
    }
}

/// How far a number may be off, with its unit.
pub fn spread(sigma: f64, quantity: Quantity, units: Units) -> String {
    match (quantity, units) {
        (Quantity::Length, Units::Metric) => format!("±{} mm", trimmed(sigma, 1)),
        (Quantity::Length, Units::Inch) => format!("±{}", format::inches_decimal(sigma, 2)),
        (Quantity::Angle, _) => format!("±{}°", trimmed(sigma, 2)),
        (Quantity::Plain, _) => format!("±{}", trimmed(sigma, 1)),
    }
}

/// A number of any quantity with its unit.
pub fn quantity(value: f64, quantity: Quantity, units: Units) -> String {
    match quantity {
        Quantity::Length => length(value, units),
        Quantity::Angle => format::degrees(value, 1),
        Quantity::Plain => trimmed(value, 1),
    }
}

/// What kind of number an output is.
pub const fn of_output(output: Output) -> Quantity {
    match output.unit() {
        Unit::Mm => Quantity::Length,
        Unit::Deg => Quantity::Angle,
        _ => Quantity::Plain,
    }
}

/// How many decimals of an output help, where it is not a length.
const fn decimals(output: Output) -> usize {
    match output {
        Output::Toe | Output::SteerLeft | Output::SteerRight | Output::Ackermann => 2,
        _ => match output.unit() {
            Unit::Percent => 0,
            unit => unit.decimals(),
        },
    }
}

/// An output's value, with no more digits than help: whole millimetres, tenths of a degree,
/// sixteenths of an inch.
pub fn output(value: f64, output: Output, units: Units) -> String {
    let number = |value| format::number(value, decimals(output));
    match (output.unit(), units) {
        _ if matches!(output, Output::TurningCircle) => match units {
            Units::Metric => format!("{} m", format::number(value / 1000.0, 1)),
            Units::Inch => format!("{} ft", format::number(value / 304.8, 1)),
        },
        (Unit::Mm, _) => length(value, units),
        (Unit::Deg | Unit::DegPer25, _) => format!("{}°", number(value)),
        (Unit::Percent, _) => format!("{} %", number(value)),
        (Unit::NmPerDeg, _) => format!("{} N·m/°", number(value)),
        (Unit::NPerKn, _) => format!("{} N/kN", number(value)),
        // For 25 mm of travel, as its name says.
        (Unit::MmPer25, Units::Metric) => format!("{} mm", number(value)),
        (Unit::MmPer25, Units::Inch) => format::inches_decimal(value, 3),
        (Unit::Ratio, _) => number(value),
    }
}

/// An output's spread at two standard deviations, short.
pub fn output_spread(sigma: f64, output: Output, units: Units) -> String {
    let two = 2.0 * sigma;
    match (of_output(output), units) {
        _ if matches!(output, Output::TurningCircle) => {
            let unit = if units == Units::Metric { 1000.0 } else { 304.8 };
            format!("±{}", format::number(two / unit, 1))
        }
        (Quantity::Length, Units::Metric) if two < 0.95 => "±<1".into(),
        (Quantity::Length, Units::Metric) => format!("±{}", format::number(two, 0)),
        (Quantity::Length, Units::Inch) if two < 0.254 => "±<0.01\"".into(),
        (Quantity::Length, Units::Inch) => format!("±{}", format::inches_decimal(two, 2)),
        _ => match decimals(output) {
            0 => format!("±{}", format::number(two.max(0.5), 0)),
            1 => format!("±{}", format::number(two.max(0.05), 1)),
            _ => format!("±{}", format::number(two.max(0.005), 2)),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(value: f64, entered: &str) -> Known {
        Known { entered: Some(entered.into()), ..Known::exact(value) }
    }

    #[test]
    fn a_field_shows_what_was_typed_in_its_own_units() {
        for (known, units, want) in [
            (typed(342.9, "13 1/2 in"), Units::Inch, "13 1/2"),
            (typed(342.9, "13 1/2\""), Units::Inch, "13 1/2\""),
            (typed(342.9, "13 1/2 in"), Units::Metric, "342.9"),
            (typed(89.0, "89 mm"), Units::Metric, "89"),
            (typed(89.0, "8.9 cm"), Units::Metric, "8.9 cm"),
            (typed(89.0, "89 mm"), Units::Inch, "3 1/2"),
            (Known::exact(-12.26), Units::Metric, "−12.3"),
            (Known::exact(100.0), Units::Metric, "100"),
        ] {
            assert_eq!(field_text(&known, Quantity::Length, units), want, "{known:?} {units:?}");
        }
    }

    #[test]
    fn a_spread_too_small_to_show_says_so() {
        for (sigma, units, want) in [
            (0.1, Units::Metric, "±<1"),
            (2.0, Units::Metric, "±4"),
            (0.1, Units::Inch, "±<0.01\""),
            (2.54, Units::Inch, "±0.20\""),
        ] {
            assert_eq!(output_spread(sigma, Output::LateralShift, units), want);
        }
    }

    #[test]
    fn angles_stay_as_typed() {
        assert_eq!(field_text(&typed(3.5, "3°30'"), Quantity::Angle, Units::Inch), "3°30'");
        assert_eq!(field_text(&Known::exact(3.5), Quantity::Angle, Units::Inch), "3.5");
    }
}
