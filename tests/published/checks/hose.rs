//! Hoses and leads.

use super::{ask, severity, value};
use crate::close;
use fitment::finding::Severity;

/// Source: Pythagoras: 300 across and 250 down is 390.5 mm; 125 of droop make it 480.2.
#[test]
fn droop_stretches_the_span() {
    let found = ask(
        "hose",
        &[("ahead", "0"), ("outboard", "300"), ("below", "250"), ("droop", "125"), ("lock", "0")],
    );
    close("ride", value(&found, "ride"), 390.5, 0.05);
    close("droop", value(&found, "drooped"), 480.2, 0.05);
}

/// Source: rotation in a plane about an upright axis: an end 100 ahead of the axis turned by 90°/2 … worked apart at 30°: (x·cos −
/// y·sin, x·sin + y·cos): from (100, 0) to (86.603, 50) outward or (86.603, −50) inward.
#[test]
fn steering_swings_the_end() {
    let found = ask(
        "hose",
        &[
            ("ahead", "0"),
            ("outboard", "300"),
            ("below", "0"),
            ("droop", "0"),
            ("axis_ahead", "100"),
            ("axis_outboard", "0"),
            ("lock", "30"),
            ("caster", "0"),
            ("inclination", "0"),
        ],
    );
    close("out", value(&found, "steered_out"), 13.397_f64.hypot(350.0), 0.01);
    close("in", value(&found, "steered_in"), 13.397_f64.hypot(250.0), 0.01);
}

/// Source: an end on the steering axis does not move when steered; nor does one on an axle that does not steer.
#[test]
fn an_end_on_the_axis_stays() {
    let found = ask("hose", &[("axis_ahead", "0"), ("axis_outboard", "0"), ("lock", "40")]);
    for key in ["steered_out", "steered_in"] {
        close(key, value(&found, key), value(&found, "drooped"), 1e-9);
    }
}

/// Source: difference of lengths: 520 against 480.2 leaves 39.8 mm; the span's own doubt carries over.
#[test]
fn slack_is_what_is_left() {
    let given = [
        ("ahead", "0"),
        ("outboard", "300"),
        ("below", "250"),
        ("droop", "125"),
        ("lock", "0"),
        ("hose", "520"),
    ];
    let found = ask("hose", &given);
    close("slack", value(&found, "slack"), 520.0 - 480.234, 0.01);
    assert_eq!(severity(&found, "slack"), Severity::InBand);
    close("wanted", value(&found, "wanted"), 480.234 + 40.0, 0.01);
}

/// Source: common practice, no source: a hose that just reaches is a stop; so is one too short.
#[test]
fn a_tight_hose_is_a_stop() {
    for hose in ["482", "430"] {
        let found = ask(
            "hose",
            &[
                ("ahead", "0"),
                ("outboard", "300"),
                ("below", "250"),
                ("droop", "125"),
                ("lock", "0"),
                ("hose", hose),
            ],
        );
        assert_eq!(severity(&found, "slack"), Severity::Stop, "{hose}");
    }
}

/// Source: Pythagoras: an axle that swings 20 ahead and 30 out as it drops 125: √(20² + 330² + 375²) = 499.9; on the bump
/// stop 75 up it spans √(300² + 175²) = 347.3.
#[test]
fn the_axles_own_swing_counts() {
    let found = ask(
        "hose",
        &[
            ("ahead", "0"),
            ("outboard", "300"),
            ("below", "250"),
            ("droop", "125"),
            ("droop_ahead", "20"),
            ("droop_outboard", "30"),
            ("bump", "75"),
            ("lock", "0"),
        ],
    );
    close("drooped", value(&found, "drooped"), 499.92, 0.05);
    close("bumped", value(&found, "bumped_out"), 347.31, 0.05);
}

/// Source: a second formulation: a rotation by nalgebra's axis and angle about an axis that leans by caster 7° and inclination
/// 12°, of an end 80 ahead and 40 outboard of it, 33° out and in, from a frame end 50 behind, 290 inboard and 240 above.
#[test]
fn the_steering_axis_leans() {
    use nalgebra::{Rotation3, Unit, Vector3};
    let found = ask(
        "hose",
        &[
            ("ahead", "50"),
            ("outboard", "290"),
            ("below", "240"),
            ("droop", "0"),
            ("bump", "0"),
            ("axis_ahead", "80"),
            ("axis_outboard", "40"),
            ("caster", "7"),
            ("inclination", "12"),
            ("lock", "33"),
        ],
    );
    let [caster, inclination] = [7.0_f64, 12.0].map(|degrees| degrees.to_radians().tan());
    let axis = Unit::new_normalize(Vector3::new(-caster, -inclination, 1.0));
    let end = Vector3::new(50.0, 290.0, -240.0);
    for (key, degrees) in [("steered_out", 33.0_f64), ("steered_in", -33.0), ("bumped_out", 33.0)] {
        let arm = Vector3::new(80.0, 40.0, 0.0);
        let turned = end - arm + Rotation3::from_axis_angle(&axis, degrees.to_radians()) * arm;
        close(key, value(&found, key), turned.norm(), 1e-9);
    }
}

/// Source: difference of lengths: the lead is held against the same span.
#[test]
fn a_lead_has_its_own_slack() {
    let found = ask("hose", &[("hose", "540"), ("lead", "500")]);
    close("lead", value(&found, "lead_slack"), value(&found, "slack") - 40.0, 1e-9);
    assert!(severity(&found, "lead_slack") >= Severity::Watch);
}
