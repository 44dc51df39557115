//! Numbers as people read them.

use buildfile::Units;
use fitment::measure::System;

/// A number to so many places; what rounds to zero has no sign.
pub(super) fn fixed(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    match text.strip_prefix('-') {
        Some(digits) if digits.bytes().all(|b| matches!(b, b'0' | b'.')) => digits.to_owned(),
        _ => text,
    }
}

/// The system of units a build is shown in.
pub(super) const fn system(units: Units) -> System {
    match units {
        Units::Metric => System::Metric,
        Units::Inch => System::Inch,
    }
}
