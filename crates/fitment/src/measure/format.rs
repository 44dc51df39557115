//! Numbers as people read them: `89.5 mm`, `13 1/2"`, `3.5°`, `8.2 ± 1.1 mm`.
//!
//! A negative number carries the real minus sign `−` (U+2212), which is as wide as a digit and
//! is not broken from its number at the end of a line; the parser reads it back. A value that is
//! not finite prints as `—`.

use super::units::{MM_PER_INCH, System};

/// What stands in for a number that does not exist.
const NONE: &str = "—";
/// Most decimals ever printed: a micrometre.
const MAX_DECIMALS: i32 = 3;
/// The finest inch fraction printed; a tape reads no finer.
const SIXTEENTHS: f64 = 16.0;

/// A length in the person's system: `89.5 mm`, or `3 1/2"` to the nearest 1/16.
///
/// ```
/// use fitment::measure::{System, format};
/// assert_eq!(format::length(342.9, System::Inch), "13 1/2\"");
/// assert_eq!(format::length(-89.54, System::Metric), "−89.5 mm");
/// ```
pub fn length(mm: f64, system: System) -> String {
    match system {
        System::Metric => millimetres(mm, 1),
        System::Inch => inches(mm),
    }
}

/// A length with its uncertainty in the person's system: `8.2 ± 1.1 mm`, `0.32 ± 0.04"`.
///
/// `sigma_mm` prints as it is given; say beside it whether that is one standard deviation.
/// Digits follow the uncertainty (see [`with_uncertainty`]); with none, as [`length`].
pub fn length_with(mm: f64, sigma_mm: f64, system: System) -> String {
    let (scale, unit) = match system {
        System::Metric => (1.0, " mm"),
        System::Inch => (MM_PER_INCH, "\""),
    };
    match with_uncertainty(mm / scale, sigma_mm / scale) {
        Some(text) => format!("{text}{unit}"),
        None => length(mm, system),
    }
}

/// An angle with its uncertainty: `10.2 ± 0.2°`; with none, to a tenth.
pub fn degrees_with(deg: f64, sigma_deg: f64) -> String {
    match with_uncertainty(deg, sigma_deg) {
        Some(text) => format!("{text}°"),
        None => degrees(deg, 1),
    }
}

/// A length in mm with so many decimals.
pub fn millimetres(mm: f64, decimals: usize) -> String {
    unit(mm, decimals, " mm")
}

/// An angle in degrees with so many decimals.
pub fn degrees(deg: f64, decimals: usize) -> String {
    unit(deg, decimals, "°")
}

/// A length in decimal inches with so many decimals.
pub fn inches_decimal(mm: f64, decimals: usize) -> String {
    unit(mm / MM_PER_INCH, decimals, "\"")
}

/// A length in inches and a fraction in lowest terms, to the nearest 1/16: `13 1/2"`.
pub fn inches(mm: f64) -> String {
    let steps = (mm.abs() / MM_PER_INCH * SIXTEENTHS).round();
    if !steps.is_finite() {
        return NONE.to_owned();
    }
    let whole = (steps / SIXTEENTHS).floor();
    let mut numerator = SIXTEENTHS.mul_add(-whole, steps);
    let mut denominator = SIXTEENTHS;
    while numerator > 0.0 && numerator % 2.0 == 0.0 {
        numerator /= 2.0;
        denominator /= 2.0;
    }
    let minus = if mm < 0.0 && steps > 0.0 { "−" } else { "" };
    match (whole > 0.0, numerator > 0.0) {
        (true, true) => format!("{minus}{whole} {numerator}/{denominator}\""),
        (false, true) => format!("{minus}{numerator}/{denominator}\""),
        (_, false) => format!("{minus}{whole}\""),
    }
}

/// A plain number with so many decimals and a real minus sign; never `−0`.
pub fn number(value: f64, decimals: usize) -> String {
    unit(value, decimals, "")
}

/// A plain number to four digits, at most three of them decimals and none of those idle.
pub fn brief(value: f64) -> String {
    let whole = if value.abs() >= 1000.0 {
        0
    } else if value.abs() >= 100.0 {
        1
    } else if value.abs() >= 10.0 {
        2
    } else {
        3
    };
    let text = number(value, whole);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// `value ± sigma`, both rounded to the digits the uncertainty supports.
///
/// The uncertainty keeps two significant digits when it starts with 1 or 2 and one otherwise, and
/// the value is rounded to the same place: JCGM 100:2008 (GUM) 7.2.6 asks for at most two. Never
/// more than three decimals. `None` when the uncertainty is zero, negative or not finite, or the
/// value is not finite.
pub fn with_uncertainty(value: f64, sigma: f64) -> Option<String> {
    if !value.is_finite() || !sigma.is_finite() || sigma <= 0.0 {
        return None;
    }
    // The exponent comes from the printed form, so that 0.0996 counts as the 0.1 it rounds to.
    let printed = format!("{sigma:.1e}");
    let (mantissa, exponent) = printed.split_once('e')?;
    let exponent: i32 = exponent.parse().ok()?;
    let wide = mantissa.starts_with(['1', '2']);
    let decimals = i32::from(wide) - exponent;
    if decimals <= 0 {
        let step = 10_f64.powi(-decimals);
        let tens = |x: f64| number((x / step).round() * step, 0);
        return Some(format!("{} ± {}", tens(value), tens(sigma)));
    }
    let decimals = usize::try_from(decimals.min(MAX_DECIMALS)).ok()?;
    Some(format!("{} ± {}", number(value, decimals), number(sigma, decimals)))
}

fn unit(value: f64, decimals: usize, unit: &str) -> String {
    if !value.is_finite() {
        return NONE.to_owned();
    }
    let digits = format!("{:.decimals$}", value.abs());
    let is_zero = digits.chars().all(|c| matches!(c, '0' | '.'));
    let minus = if value < 0.0 && !is_zero { "−" } else { "" };
    format!("{minus}{digits}{unit}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{LengthUnit, parse_angle, parse_length};
    use proptest::prelude::*;

    #[test]
    fn inches_in_fractions() {
        for (inch, want) in [
            (0.0, "0\""),
            (0.03, "0\""),
            (-0.03, "0\""),
            (0.04, "1/16\""),
            (-0.0625, "−1/16\""),
            (0.25, "1/4\""),
            (13.5, "13 1/2\""),
            (-13.5, "−13 1/2\""),
            (15.96, "15 15/16\""),
            (15.99, "16\""),
            (3.875, "3 7/8\""),
            (f64::NAN, "—"),
            (f64::INFINITY, "—"),
        ] {
            assert_eq!(inches(inch * MM_PER_INCH), want, "{inch}");
        }
    }

    #[test]
    fn decimals() {
        assert_eq!(length(89.45, System::Metric), "89.5 mm");
        assert_eq!(millimetres(-0.04, 1), "0.0 mm");
        assert_eq!(degrees(-3.5, 1), "−3.5°");
        assert_eq!(inches_decimal(-1.0, 2), "−0.04\"");
        assert_eq!(number(f64::NEG_INFINITY, 1), "—");
    }

    #[test]
    fn brief_numbers_have_no_idle_digits() {
        for (value, want) in [
            (4.1, "4.1"),
            (0.035, "0.035"),
            (310.264, "310.3"),
            (-12.345, "−12.35"),
            (1380.4, "1380"),
            (0.0, "0"),
            (200.0, "200"),
        ] {
            assert_eq!(brief(value), want);
        }
    }

    #[test]
    fn digits_follow_the_uncertainty() {
        for (value, sigma, want) in [
            (8.23, 1.12, Some("8.2 ± 1.1")),
            (-12.334, 0.642, Some("−12.3 ± 0.6")),
            (127.732, 0.0699, Some("127.73 ± 0.07")),
            (8.2, 0.0996, Some("8.20 ± 0.10")),
            (8.2, 0.96, Some("8.2 ± 1.0")),
            (804.0, 12.3, Some("804 ± 12")),
            (804.0, 47.0, Some("800 ± 50")),
            (1234.0, 123.0, Some("1230 ± 120")),
            (0.1, 1e-9, Some("0.100 ± 0.000")),
            (-0.4, 31.0, Some("0 ± 30")),
            (1.0, 0.0, None),
            (1.0, -1.0, None),
            (1.0, f64::NAN, None),
            (f64::NAN, 1.0, None),
        ] {
            let got = with_uncertainty(value, sigma);
            assert_eq!(got.as_deref(), want, "{value} ± {sigma}");
        }
    }

    #[test]
    fn the_unit_follows_the_pair() {
        assert_eq!(length_with(8.23, 1.12, System::Metric), "8.2 ± 1.1 mm");
        assert_eq!(length_with(8.23, 1.12, System::Inch), "0.32 ± 0.04\"");
        assert_eq!(length_with(12.7, 0.0, System::Inch), "1/2\"");
        assert_eq!(degrees_with(10.24, 0.2,), "10.24 ± 0.20°");
        assert_eq!(degrees_with(10.24, 0.0), "10.2°");
    }

    proptest! {
        #[test]
        fn text_reads_back_within_half_a_step(mm in -5000.0..5000.0_f64) {
            for (system, step) in [(System::Metric, 0.1), (System::Inch, MM_PER_INCH / 16.0)] {
                let text = length(mm, system);
                let back = parse_length(&text, LengthUnit::Metre).unwrap().value_mm;
                prop_assert!((back - mm).abs() <= step / 2.0 + 1e-9, "{mm} -> {text} -> {back}");
            }
            let text = degrees(mm, 2);
            let back = parse_angle(&text).unwrap();
            prop_assert!((back - mm).abs() <= 0.005 + 1e-9, "{mm} -> {text} -> {back}");
        }

        #[test]
        fn formatting_never_panics(a in any::<f64>(), b in any::<f64>()) {
            for system in [System::Metric, System::Inch] {
                prop_assert!(!length(a, system).is_empty());
                prop_assert!(!length_with(a, b, system).is_empty());
            }
            prop_assert!(!degrees_with(a, b).is_empty());
        }
    }
}
