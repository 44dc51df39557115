//! Ackermann, the turning circle, steering moments.

use super::{ask, severity, value};
use crate::close;
use checks::Answered;
use fitment::finding::Severity;

/// The textbook truck: wheelbase 2630, axes 1400 apart, inner wheel at 35°.
fn truck(more: &[(&str, &str)]) -> Answered {
    let mut given = vec![("wheelbase", "2630"), ("spacing", "1400"), ("inner", "35")];
    given.extend_from_slice(more);
    ask("turning", &given)
}

/// Source: Ackermann's condition, cot outer − cot inner = spacing / wheelbase (theory of machines), worked
/// apart: the outer wheel at 27.025°.
#[test]
fn the_outer_wheel_that_rolls_freely() {
    close("outer", value(&truck(&[]), "ackermann"), 27.025, 0.001);
}

/// Source: the same: base / sin outer = 5788.1, and 60 more to the wheel 5848.1 mm.
#[test]
fn the_turning_circle() {
    let found = truck(&[("scrub", "60")]);
    close("axis", value(&found, "radius_axis"), 5788.1, 0.1);
    close("wheel", value(&found, "radius"), 5848.1, 0.1);
}

/// Source: arms aimed at the middle of the rear axle: atan(1400/2/2630) = 14.904°.
#[test]
fn the_steering_arms() {
    close("arms", value(&truck(&[]), "arms"), 14.904, 0.001);
}

/// Source: the condition itself: both wheels' lines meet on the rear axle's line, so the distances from there
/// differ by the spacing, at any lock.
#[test]
fn both_wheels_turn_about_one_point() {
    for inner in [5.0_f64, 15.0, 35.0, 45.0] {
        let text = format!("{inner}");
        let outer = value(
            &ask("turning", &[("wheelbase", "2630"), ("spacing", "1400"), ("inner", &text)]),
            "ackermann",
        );
        let [near, far] = [inner, outer].map(|angle| 2630.0 / angle.to_radians().tan());
        close(&text, far - near, 1400.0, 1e-6);
    }
}

/// Source: statics, worked apart: 6000 N · 0.5 at a trail of 28 mm is 84 N·m; · 0.3 at 60 mm of scrub 108 N·m,
/// 59.4 more than at 27; at the box, arms 150 and 160, 101.25 N·m.
#[test]
fn moments_about_the_steering_axis() {
    let load = format!("{} kg", 6000.0 / 9.80665);
    let found = ask(
        "turning",
        &[
            ("load", &load),
            ("lateral", "0.5"),
            ("braking", "0.3"),
            ("trail", "28"),
            ("trail_stock", "28"),
            ("scrub", "60"),
            ("scrub_stock", "27"),
            ("arm", "150"),
            ("steering_arm", "160"),
        ],
    );
    close("corner", value(&found, "corner"), 84.0, 1e-6);
    close("no more", value(&found, "corner_more"), 0.0, 1e-9);
    close("brake", value(&found, "brake"), 108.0, 1e-6);
    close("more", value(&found, "brake_more"), 59.4, 1e-6);
    close("sector", value(&found, "sector"), 101.25, 1e-6);
}

/// Source: trail = r·tan τ (Reimpell, ch. 3, value from memory): 400 mm at 4° is 27.97, in band; none is a stop,
/// and an outer wheel turned far short is out (common practice, no source).
#[test]
fn trail_and_lock_are_judged() {
    assert_eq!(severity(&truck(&[("trail", "27.97")]), "trail"), Severity::InBand);
    assert_eq!(severity(&truck(&[("trail", "-5")]), "trail"), Severity::Stop);
    assert_eq!(severity(&truck(&[("outer", "30")]), "off"), Severity::InBand);
    assert_eq!(severity(&truck(&[("outer", "20")]), "off"), Severity::Out);
}
