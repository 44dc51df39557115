//! Bolts: stress areas, proof loads, torque.

use super::{ask, severity, value};
use crate::close;
use checks::Answered;
use fitment::finding::Severity;

fn bolt(thread: &str, grade: &str, more: &[(&str, &str)]) -> Answered {
    let mut given = vec![("thread", thread), ("grade", grade)];
    given.extend_from_slice(more);
    ask("bolts", &given)
}

/// Source: ISO 898-1, table of coarse threads: 58.0, 84.3, 115, 157 mm²; fine ones worked apart: M12×1.5
/// 88.1, M12×1.25 92.1, M14×1.5 125, M16×1.5 167.
#[test]
fn metric_stress_areas() {
    for (thread, area) in [
        ("m10", 58.0),
        ("m12", 84.3),
        ("m14", 115.0),
        ("m16", 157.0),
        ("m12x1.5", 88.1),
        ("m12x1.25", 92.1),
        ("m14x1.5", 125.0),
        ("m16x1.5", 167.0),
    ] {
        close(thread, value(&bolt(thread, "8.8", &[]), "area"), area, 0.004 * area);
    }
}

/// Source: ASME B1.1 tables, in²: 1/2-20 0.1600, 9/16-18 0.2030, 7/16-20 0.1187, 1/2-13 0.1419.
#[test]
fn inch_stress_areas() {
    for (thread, area) in
        [("1/2-20", 0.1600), ("9/16-18", 0.2030), ("7/16-20", 0.1187), ("1/2-13", 0.1419)]
    {
        close(thread, value(&bolt(thread, "g5", &[]), "area") / 645.16, area, 0.0002);
    }
}

/// Source: ISO 898-1, table of proof loads, N.
#[test]
fn proof_loads() {
    for (thread, loads) in [
        ("m10", [33700.0, 48100.0, 56300.0]),
        ("m12", [48900.0, 70000.0, 81800.0]),
        ("m14", [66700.0, 95500.0, 112_000.0]),
        ("m16", [91000.0, 130_000.0, 152_000.0]),
    ] {
        for (grade, load) in ["8.8", "10.9", "12.9"].into_iter().zip(loads) {
            let got = value(&bolt(thread, grade, &[]), "proof");
            close(&format!("{thread} {grade}"), got, load, 0.006 * load);
        }
    }
}

/// Source: published torque table of grade 2 bolts (proof 55 ksi) at K = 0.2: 1/2-20 6600 lbf and 55 lb·ft,
/// 1/2-13 5853 lbf and 48.8 lb·ft: clamp from that torque.
#[test]
fn clamp_from_torque() {
    for (thread, torque, clamp) in
        [("1/2-20", "55 lb·ft", 6600.0), ("1/2-13", "48.8 lb·ft", 5853.0)]
    {
        let found = bolt(thread, "g5", &[("torque", torque), ("nut_factor", "0.2")]);
        close(thread, value(&found, "clamp") / 4.448_222, clamp, 0.001 * clamp);
    }
}

/// Source: T = K·F·d at ¾ of proof, worked apart: 1/2-20 grade 8 120.0 lb·ft; M14×1.5 10.9 217 N·m.
#[test]
fn torque_for_three_quarters_of_proof() {
    let inch = bolt("1/2-20", "g8", &[("nut_factor", "0.2")]);
    close("1/2-20", value(&inch, "torque_75") / 1.355_818, 120.0, 0.3);
    close(
        "M14×1.5",
        value(&bolt("m14x1.5", "10.9", &[("nut_factor", "0.2")]), "torque_75"),
        217.0,
        1.0,
    );
}

/// Source: the same: M12×1.5 at 110 N·m: 45.83 kN, 520 MPa, 63 % of 830; five on 139.7 mm hold 1601 N·m at
/// friction 0.1.
#[test]
fn a_wheel_stud() {
    let found = bolt(
        "m12x1.5",
        "10.9",
        &[
            ("torque", "110"),
            ("nut_factor", "0.2"),
            ("friction", "0.1"),
            ("count", "5"),
            ("circle", "139.7"),
        ],
    );
    close("clamp", value(&found, "clamp"), 45830.0, 10.0);
    close("stress", value(&found, "stress"), 520.0, 1.0);
    close("used", value(&found, "used"), 63.0, 0.5);
    close("held", value(&found, "held"), 1601.0, 2.0);
    assert_eq!(severity(&found, "used"), Severity::InBand);
}

/// Source: common practice, no source: in steel at least one diameter of thread; a slip-on spacer that leaves
/// 8 mm on an M12 stud is to be stopped at.
#[test]
fn too_little_thread_is_a_stop() {
    let at = |mm: &str| severity(&bolt("m12x1.5", "10.9", &[("engagement", mm)]), "engaged");
    assert_eq!([at("14"), at("8")], [Severity::InBand, Severity::Stop]);
    let torn = bolt("m12x1.5", "8.8", &[("torque", "200"), ("nut_factor", "0.15")]);
    assert_eq!(severity(&torn, "used"), Severity::Stop);
}

/// Source: common practice, no source: a slip-on spacer takes its thickness off the thread in the nut: 15 mm of M12 less 6 is
/// 0.75 of the diameter, a stop, and studs 3 mm longer give the diameter back.
#[test]
fn a_spacer_takes_thread() {
    let found = bolt("m12x1.5", "10.9", &[("engagement", "15"), ("spacer", "6")]);
    close("engaged", value(&found, "engaged"), 0.75, 1e-9);
    close("longer", value(&found, "longer"), 3.0, 1e-9);
    assert_eq!(severity(&found, "engaged"), Severity::Stop);
    close("none", value(&bolt("m12x1.5", "10.9", &[("engagement", "15")]), "longer"), 0.0, 1e-9);
}
