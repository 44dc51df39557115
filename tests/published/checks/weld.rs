//! Weld groups as lines, allowable loads, least legs.

use super::{ask, line, severity, value};
use crate::close;
use checks::Answered;
use fitment::finding::Severity;

/// The examples' group: 100 by 60 mm, 12 kN, no load factor, 482 MPa filler.
fn group(pattern: &str, more: &[(&str, &str)]) -> Answered {
    let mut given = vec![
        ("pattern", pattern),
        ("depth", "100"),
        ("width", "60"),
        ("force", "12000"),
        ("factor", "1"),
        ("filler", "482"),
        ("arm_out", "0"),
        ("arm_in", "0"),
    ];
    given.extend_from_slice(more);
    ask("weld", &given)
}

/// Source: welds as lines (Unsworth, table 9.1), worked apart: two upright lines, arm 80 off the plate:
/// modulus 3333.3 mm², bending 288, pull 60, together 294.18 N/mm, leg 2.877 mm.
#[test]
fn two_lines_bent_off_the_plate() {
    let found = group("two_upright", &[("arm_out", "80")]);
    close("bending", value(&found, "bending"), 288.0, 0.01);
    close("pull", value(&found, "direct"), 60.0, 1e-9);
    close("together", value(&found, "load"), 294.18, 0.01);
    close("leg", value(&found, "needed"), 2.877, 0.001);
}

/// Source: the same, arm 150 in the plate: polar moment 346 667 mm³, together 337.57 N/mm, leg 3.302 mm.
#[test]
fn two_lines_twisted_in_the_plate() {
    let found = group("two_upright", &[("arm_in", "150")]);
    close("together", value(&found, "load"), 337.57, 0.01);
    close("leg", value(&found, "needed"), 3.302, 0.001);
}

/// Source: the same, welded all around, arm 80: 109.48 N/mm, leg 1.071 mm.
#[test]
fn all_around_carries_far_more() {
    let found = group("box", &[("arm_out", "80")]);
    close("together", value(&found, "load"), 109.48, 0.01);
    close("leg", value(&found, "needed"), 1.071, 0.001);
}

/// Source: the same table, worked apart. Two level lines: modulus 60·100 = 6000, polar 60·(3·100² + 60²)/6 =
/// 336 000; three sides: modulus 60·100 + 100²/6 = 7666.7, polar (8·60³ + 6·60·100² + 100³)/12 − 60⁴/220 =
/// 468 424.2 with corner (60 − 3600/220, 50).
#[test]
fn the_other_two_patterns() {
    let level = group("two_level", &[("arm_out", "80")]);
    close("level, bending", value(&level, "bending"), 12000.0 * 80.0 / 6000.0, 1e-6);
    close("level, pull", value(&level, "direct"), 100.0, 1e-9);
    let twisted = group("two_level", &[("arm_in", "150")]);
    let unit: f64 = 12000.0 * 150.0 / 336_000.0;
    close("level, twist", value(&twisted, "load"), (100.0 + unit * 30.0).hypot(unit * 50.0), 1e-6);
    let channel = group("channel", &[("arm_out", "80")]);
    close("channel, bending", value(&channel, "bending"), 12000.0 * 80.0 / 7666.667, 1e-3);
    let twisted = group("channel", &[("arm_in", "150")]);
    let unit: f64 = 12000.0 * 150.0 / 468_424.24;
    let across = 60.0 - 3600.0 / 220.0;
    let want = (12000.0 / 220.0 + unit * across).hypot(unit * 50.0);
    close("channel, twist", value(&twisted, "load"), want, 1e-3);
}

/// Source: Shigley, table 9-6 (E70): kip/in of fillet: 1/16 0.930, 1/8 1.86, 3/16 2.78, 1/4 3.71, 5/16 4.64,
/// 3/8 5.57, and 6 mm of 482 MPa 613.5 N/mm, 144.6 MPa in the throat.
#[test]
fn the_table_of_fillets() {
    let newtons_per_mm = 4448.222 / 25.4;
    for (leg, kip) in [
        ("1/16 in", 0.930),
        ("1/8 in", 1.86),
        ("3/16 in", 2.78),
        ("1/4 in", 3.71),
        ("5/16 in", 4.64),
        ("3/8 in", 5.57),
    ] {
        let found = group("box", &[("leg", leg), ("filler", "70 ksi")]);
        close(leg, value(&found, "strength") / newtons_per_mm, kip, 0.006);
    }
    let metric = group("box", &[("leg", "6")]);
    close("6 mm", value(&metric, "strength"), 613.5, 0.1);
    close("throat", value(&metric, "allowed"), 144.6, 0.01);
}

/// Source: AWS D1.1:2025, table 7.7: least leg 3, 5, 6, 8 mm up to 6, 12, 20 mm and above, 5 at least where
/// the load comes and goes, never more than the thinner plate.
#[test]
fn least_legs() {
    for (plate, least) in [("4", 4.0), ("6", 5.0), ("10", 5.0), ("16", 6.0), ("25", 8.0)] {
        let found = group("box", &[("plate", plate)]);
        close(plate, line(&found, "leg").verdict.unwrap().0.low, least, 1e-9);
    }
    assert_eq!(severity(&group("box", &[("plate", "10"), ("leg", "3")]), "leg"), Severity::Out);
}

/// Source: AWS D1.1 (value from memory): 0.40 of yield in the plate; with 12 kN all around (37.5 N/mm) over
/// 5 mm that is 7.5 MPa. An overloaded group is to be stopped at.
#[test]
fn the_plate_beside_it_and_an_overload() {
    close("plate", value(&group("box", &[("plate", "5")]), "base"), 7.5, 1e-9);
    let over = group("two_upright", &[("arm_out", "80"), ("factor", "3"), ("leg", "3")]);
    assert_eq!(severity(&over, "stress"), Severity::Stop);
}
