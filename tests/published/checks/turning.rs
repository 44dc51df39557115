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

/// Source: Gough's moment of a standing tire, friction · load · √(width²/8 + scrub²) (value from memory), worked apart: 0.7 ·
/// 6000 N · √(200²/8 + 60²) = 389.5 N·m; on the scrub radius alone as width goes to nothing; both wheels through arms of 160
/// and 150 are 730.3 N·m at the box.
#[test]
fn turning_a_standing_tire() {
    let load = format!("{} kg", 6000.0 / 9.80665);
    let given = [
        ("load", load.as_str()),
        ("friction", "0.7"),
        ("tread", "200"),
        ("tread_stock", "200"),
        ("scrub", "60"),
        ("scrub_stock", "60"),
        ("arm", "150"),
        ("steering_arm", "160"),
    ];
    let found = ask("turning", &given);
    close("moment", value(&found, "parking"), 389.49, 0.01);
    close("no more", value(&found, "parking_more"), 0.0, 1e-9);
    close("box", value(&found, "sector_parking"), 2.0 * 389.49 * 150.0 / 160.0, 0.02);
    let wide = ask(
        "turning",
        &[("tread_stock", "200"), ("tread", "300"), ("scrub_stock", "0"), ("scrub", "0")],
    );
    close("by half", value(&wide, "parking_more"), 50.0, 1e-9);
}

/// Source: statics: what scrub adds to the kick, 59.4 N·m from 27 to 60 mm at 1800 N, arms of 150 and 160 bring to the box as
/// 55.69 N·m.
#[test]
fn the_boxs_share_of_it() {
    let load = format!("{} kg", 6000.0 / 9.80665);
    let given = [
        ("load", load.as_str()),
        ("lateral", "0"),
        ("braking", "0.3"),
        ("scrub_stock", "27"),
        ("scrub", "60"),
        ("arm", "150"),
        ("steering_arm", "160"),
    ];
    close("more", value(&ask("turning", &given), "sector_more"), 55.6875, 1e-4);
}
