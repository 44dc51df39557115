//! Toe as length and as angle.

use super::{ask, severity, value};
use crate::close;
use fitment::finding::Severity;

/// Source: asin(t/2D), worked apart: 3 mm at 406.4 mm (16 in) is 0.2115° a wheel, 0.4230° in all; at 889 mm
/// (35 in) 0.1933° in all, so the same 3 mm is less than half as much toe at the tread.
#[test]
fn a_length_is_another_angle_at_another_diameter() {
    for (diameter, per_wheel, total) in [("406.4", 0.2115, 0.4230), ("889", 0.09667, 0.19335)] {
        let found = ask("toe", &[("length", "3"), ("diameter", diameter)]);
        close(diameter, value(&found, "per_wheel"), per_wheel, 5e-5);
        close(diameter, value(&found, "total"), total, 1e-4);
    }
}

/// Source: the same: 0.10° at each wheel is 1.419 mm in all at 406.4 mm.
#[test]
fn a_tenth_of_a_degree_as_a_length() {
    let found = ask("toe", &[("diameter", "16 in"), ("angle", "0.2")]);
    close("tenth", value(&found, "tenth"), 1.419, 0.001);
    close("same", value(&found, "as_length"), 1.419, 0.001);
}

/// Source: the definition: what a length comes to as an angle comes back as that length.
#[test]
fn there_and_back() {
    for length in [-12.0, 0.0, 2.5, 40.0] {
        let there = ask("toe", &[("length", &format!("{length} mm")), ("diameter", "700")]);
        let total = format!("{}", value(&there, "total"));
        let back = ask("toe", &[("angle", &total), ("diameter", "700")]);
        close("back", value(&back, "as_length"), length, 1e-9);
    }
}

/// Source: ISO 8855, 7.1.6 and 7.1.7: toe-in positive; toe-out leaves the usual band of solid axles (common
/// practice, no source).
#[test]
fn toe_out_is_negative_and_out_of_band() {
    let found = ask("toe", &[("length", "-6")]);
    assert!(value(&found, "total") < 0.0);
    assert_eq!(severity(&found, "total"), Severity::Out);
    assert_eq!(severity(&ask("toe", &[("length", "1.5 ± 0.5")]), "total"), Severity::InBand);
}

/// Source: small angles: 1/16 in at 28 in of tread is 57.296 · (1/16)/28 = 0.1279° in all.
#[test]
fn a_sixteenth_at_the_tread() {
    let found = ask("toe", &[("length", "1/16 in"), ("diameter", "28 in")]);
    close("total", value(&found, "total"), 0.1279, 1e-4);
}
