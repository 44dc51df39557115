//! Roll stiffness and load transfer.

use super::{ask, severity, value};
use crate::close;
use fitment::finding::Severity;

/// Two axles alike, roll centers alike.
const ALIKE: [(&str, &str); 14] = [
    ("mass", "1650 kg"),
    ("front_share", "50"),
    ("corner", "0.5"),
    ("cg_height", "800"),
    ("front_track", "1540"),
    ("rear_track", "1540"),
    ("front_center", "500"),
    ("rear_center", "500"),
    ("front_spring", "35 N/mm"),
    ("rear_spring", "35 N/mm"),
    ("front_spacing", "1000"),
    ("rear_spacing", "1000"),
    ("front_rubber", "0"),
    ("rear_rubber", "0"),
];

fn with(changes: &[(&'static str, &'static str)]) -> checks::Answered {
    let mut given = ALIKE.to_vec();
    for (key, words) in changes {
        given.retain(|(known, _)| known != key);
        given.push((key, words));
    }
    ask("roll", &given)
}

/// Source: Gillespie, Fundamentals of Vehicle Dynamics, ch. 5 (value from memory): springs of 35 N/mm, 1000 mm
/// apart, hold 305.4 N·m a degree.
#[test]
fn springs_at_their_spacing() {
    let found = with(&[]);
    close("springs", value(&found, "front_springs"), 305.4, 0.05);
    close("share", value(&found, "share"), 50.0, 1e-9);
}

/// Source: statics, moments about the ground: what both axles move across, at their tracks, is side force ·
/// height of the center of gravity, however stiff each is.
#[test]
fn moments_balance_whoever_holds_the_roll() {
    for changes in [
        &[][..],
        &[("front_bar", "300 N·m/°"), ("rear_center", "620")],
        &[("front_rubber", "250 N·m/°"), ("front_share", "58"), ("rear_track", "1500")],
    ] {
        let found = with(changes);
        let track = if changes.len() == 3 { 1500.0 } else { 1540.0 };
        let moment = value(&found, "front_moved") * 1540.0 + value(&found, "rear_moved") * track;
        let whole = 1650.0 * 9.80665 * 0.5 * 800.0;
        close("moment", moment, whole, 1e-6 * whole);
    }
}

/// Source: NHTSA, rollover resistance, ch. V: a stiff body's wheels lift at side force over weight = track /
/// (2 · height): 1540 / 1600 = 0.9625.
#[test]
fn inner_wheels_lift_at_the_static_stability_factor() {
    let found = with(&[("corner", "0.9625")]);
    close("front", value(&found, "front_left"), 0.0, 1e-6);
    close("rear", value(&found, "rear_left"), 0.0, 1e-6);
    assert_eq!(severity(&with(&[("corner", "1.1")]), "front_left"), Severity::Stop);
}

/// Source: Gillespie, ch. 6 (value from memory): φ = W·a·H / (K − W·H), worked apart: W·H = 16180.97 N · 0.3 m =
/// 4854.3 N·m = 84.72 N·m/°, a half of it over 610.87 − 84.72 is 4.6129°.
#[test]
fn the_body_leans_by_its_height_over_the_roll_axis() {
    close("angle", value(&with(&[]), "angle"), 4.613, 0.005);
    let found = with(&[("front_center", "800"), ("rear_center", "800")]);
    close("lever", value(&found, "lever"), 0.0, 1e-9);
    close("angle", value(&found, "angle"), 0.0, 1e-9);
}

/// Source: springs side by side add (statics): 305.43 of each axle's springs and 305.43 of rubber in front make
/// two thirds in front, and a third of the whole rubber's.
#[test]
fn the_arms_rubber_has_its_share() {
    let found = with(&[("front_rubber", "305.4326 N·m/°")]);
    close("share", value(&found, "share"), 200.0 / 3.0, 1e-3);
    close("rubber", value(&found, "rubber"), 100.0 / 3.0, 1e-3);
    assert!(value(&found, "front_moved") > value(&found, "rear_moved"));
}
