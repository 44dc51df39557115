//! Bolt patterns against the tables of the trade.

use super::{ask, severity, value};
use crate::close;
use fitment::finding::Severity;

/// Source: measuring tables of the trade, distance between neighboring studs (four and six and eight) or to
/// the one after next (five), checked by chord = circle · sin(π·steps/n): 4×100 70.7 mm, 5×114.3 108.7, 5×127
/// 120.8, 6×139.7 69.85, 8×165.1 63.2, 8×170 65.1.
#[test]
fn the_circle_from_two_studs() {
    for (studs, across, chord, circle) in [
        ("4", "next", "70.71", 100.0),
        ("5", "second", "108.70", 114.3),
        ("5", "second", "120.78", 127.0),
        ("6", "next", "69.85", 139.7),
        ("8", "next", "63.18", 165.1),
        ("8", "next", "65.06", 170.0),
    ] {
        let found = ask("pattern", &[("studs", studs), ("across", across), ("distance", chord)]);
        close(&format!("{studs} × {circle}"), value(&found, "circle"), circle, 0.05);
    }
}

/// Source: six studs make a hexagon, whose side is half its circle.
#[test]
fn six_studs_are_half_a_circle_apart() {
    close(
        "6",
        value(&ask("pattern", &[("studs", "6"), ("distance", "50")]), "circle"),
        100.0,
        1e-9,
    );
}

/// Source: five studs: 5 × 4½ in is 114.3 mm, read from neighbors at 67.18 mm.
#[test]
fn inches_and_millimeters_are_one_pattern() {
    let found = ask(
        "pattern",
        &[
            ("studs", "5"),
            ("across", "next"),
            ("distance", "67.18 ± 0.05"),
            ("pattern", "4 1/2 in"),
        ],
    );
    close("off", value(&found, "off"), 0.0, 0.02);
    assert_eq!(severity(&found, "off"), Severity::InBand);
}

/// Source: 5 × 4½ in (114.3) and 5 × 115 mm are different patterns, 0.7 mm apart.
#[test]
fn near_is_not_the_same() {
    let found = ask(
        "pattern",
        &[("studs", "5"), ("across", "second"), ("distance", "108.70"), ("pattern", "115")],
    );
    close("off", value(&found, "off"), -0.7, 0.02);
    assert_eq!(severity(&found, "off"), Severity::Out);
}

/// Source: the hexagon: the stud after next is √3/2 of the circle away, 120.98 mm on 139.7; on four studs it is the
/// circle itself.
#[test]
fn to_the_stud_after_next() {
    for (studs, chord, circle) in [("6", "120.98", 139.7), ("4", "108", 108.0)] {
        let found = ask("pattern", &[("studs", studs), ("across", "second"), ("distance", chord)]);
        close(studs, value(&found, "circle"), circle, 0.01);
    }
}

/// Source: the inch is 25.4 mm (NIST SP 811): 5 × 4½, 6 × 5½ and 8 × 6½ in are 114.3, 139.7 and 165.1 mm, each the
/// nearest circle in common use to a reading a few tenths off.
#[test]
fn a_reading_finds_its_pattern() {
    for (studs, inches, circle) in [("5", 4.5, 114.3), ("6", 5.5, 139.7), ("8", 6.5, 165.1)] {
        let count: f64 = studs.parse().unwrap();
        let chord = format!("{}", (circle + 0.2) * (std::f64::consts::PI / count).sin());
        let found = ask("pattern", &[("studs", studs), ("distance", &chord)]);
        close(studs, value(&found, "nearest"), circle, 1e-9);
        close("off", value(&found, "nearest_off"), 0.2, 1e-9);
        close("inches", value(&found, "inches"), inches, 0.01);
    }
}
