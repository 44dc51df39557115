//! Approach, departure, breakover, ramp index.

use super::{ask, severity, value};
use crate::close;
use fitment::finding::Severity;

/// Source: tangent to the tire's arc, 49 CFR 523.2, worked apart: bumper 650 ahead, 500 high, radius 380:
/// 45.553° (the line from the contact point, 37.57°, is wrong by 8°).
#[test]
fn approach_is_a_tangent() {
    let found =
        ask("angles", &[("front_ahead", "650"), ("front_height", "500"), ("radius", "380")]);
    close("approach", value(&found, "approach"), 45.553, 0.001);
    let shortcut = (500.0_f64 / 650.0).atan().to_degrees();
    assert!(value(&found, "approach") > shortcut + 7.5);
}

/// Source: the same with a tire of radius 400 and 50 of lift more, the bumper at 570: 51.195°. The rear end is
/// the same sum.
#[test]
fn lift_and_tire_open_the_angle() {
    let given = [
        ("front_ahead", "650"),
        ("front_height", "500"),
        ("rear_behind", "650"),
        ("rear_height", "500"),
        ("radius", "380"),
        ("lift", "50"),
        ("taller", "20"),
    ];
    let found = ask("angles", &given);
    close("approach", value(&found, "approach_after"), 51.195, 0.001);
    close("departure", value(&found, "departure_after"), 51.195, 0.001);
    close("departure before", value(&found, "departure"), 45.553, 0.001);
}

/// Source: the same: wheelbase 2630, radius 380, belly 280 high in the middle 24.796°; at 1500 behind the front
/// wheel and 300 high 27.151°.
#[test]
fn breakover_is_two_tangents() {
    for (along, height, want) in [("1315", "280", 24.796), ("1500", "300", 27.151)] {
        let found = ask(
            "angles",
            &[
                ("wheelbase", "2630"),
                ("radius", "380"),
                ("belly_behind", along),
                ("belly_height", height),
            ],
        );
        close(along, value(&found, "breakover"), want, 0.001);
    }
}

/// Source: magazine convention, 1000 · distance / wheelbase on a 20° ramp: 62 in on 94 in 659.6, 30 on 88 340.9;
/// a wheel raised 24 in on 94 in of wheelbase 746.5.
#[test]
fn ramp_index() {
    let sin = 20.0_f64.to_radians().sin();
    for (along, base, want) in
        [(62.0, "94 in", 659.6), (30.0, "88 in", 340.9), (24.0 / sin, "94 in", 746.5)]
    {
        let climbed = format!("{} in", along * sin);
        let found =
            ask("angles", &[("climbed", &climbed), ("wheelbase", base), ("belly_behind", "1000")]);
        close(base, value(&found, "ramp_index"), want, 0.1);
    }
}

/// Source: 49 CFR 523.5(b)(2) (figures from memory): approach 28°, breakover 14°, departure 20°, running
/// clearance 200 mm, axle clearance 180 mm.
#[test]
fn the_classs_figures_judge() {
    let low = ask(
        "angles",
        &[
            ("front_ahead", "1100"),
            ("front_height", "260"),
            ("axle_height", "100"),
            ("taller", "0"),
            ("lift", "0"),
        ],
    );
    assert!(severity(&low, "approach") >= Severity::Watch);
    assert_eq!(severity(&low, "axle_clearance"), Severity::Out);
    let high = ask("angles", &[("axle_height", "240"), ("taller", "30")]);
    assert_eq!(severity(&high, "axle_clearance"), Severity::InBand);
}

/// Source: geometry: lift raises the body, not the axle; a tire raises both.
#[test]
fn only_tires_raise_the_axle() {
    let of = |lift, taller| {
        let found = ask(
            "angles",
            &[("lift", lift), ("taller", taller), ("axle_height", "215"), ("belly_height", "280")],
        );
        [value(&found, "axle_clearance"), value(&found, "belly_clearance")]
    };
    for (got, want) in of("50", "0")
        .into_iter()
        .zip([215.0, 330.0])
        .chain(of("0", "30").into_iter().zip([245.0, 310.0]))
    {
        close("clearance", got, want, 1e-9);
    }
}

/// Source: the same tangents (45.553° at 650 and 500, radius 380): a bumper 100 further out and 60 lower is brought there by
/// as much; an axle moved forward by 50 acts as 50 off the bumper, and lengthens the wheelbase in the breakover: 1365 and
/// 1265 from a belly 280 high, 24.833° by the two tangents.
#[test]
fn bumper_and_wheelbase_count() {
    let same = [("radius", "380"), ("lift", "0"), ("taller", "0")];
    let with = |more: &[(&'static str, &'static str)]| ask("angles", &[&same[..], more].concat());
    let cut = with(&[
        ("front_ahead", "750"),
        ("front_height", "440"),
        ("front_in", "100"),
        ("front_up", "60"),
    ]);
    close("cut", value(&cut, "approach_after"), 45.553, 0.001);
    let moved = with(&[
        ("front_ahead", "700"),
        ("front_height", "500"),
        ("forward", "50"),
        ("wheelbase", "2580"),
        ("belly_behind", "1315"),
        ("belly_height", "280"),
    ]);
    close("forward", value(&moved, "approach_after"), 45.553, 0.001);
    let tangent = |along: f64| {
        let far = along.hypot(280.0 - 380.0);
        (380.0 / far).asin().to_degrees() + ((280.0_f64 - 380.0) / along).atan().to_degrees()
    };
    close("breakover", value(&moved, "breakover_after"), tangent(1365.0) + tangent(1265.0), 1e-9);
}

/// Source: statics of a rigid frame, worked apart: the lighter axle, 900 kg on 1500 mm of track, lifts a wheel at
/// 900 · 9.80665 · 0.75 = 6619.5 N·m; at 1000 and 600 N·m/° the axles twist 6.62° and, at its stop, 8°: 14.62°,
/// 1500 · sin 14.62° = 378.6 mm. Stiff enough, the stops alone decide.
#[test]
fn a_wheel_lifts_when_the_springs_or_the_stops_say_so() {
    let given = [
        ("track", "1500"),
        ("front_load", "1100"),
        ("rear_load", "900"),
        ("front_stiffness", "1000"),
        ("rear_stiffness", "600"),
        ("front_flex", "9"),
        ("rear_flex", "8"),
        ("wheelbase", "2500"),
    ];
    let found = ask("angles", &given);
    close("moment", value(&found, "lift_moment"), 6619.5, 0.1);
    close("twist", value(&found, "twist"), 14.6195, 0.001);
    close("lift", value(&found, "wheel_lift"), 378.6, 0.05);
    close("index", value(&found, "lift_index"), 378.6 / 0.342_020 / 2.5, 0.1);
    let soft = ask(
        "angles",
        &[
            ("front_stiffness", "10"),
            ("rear_stiffness", "10"),
            ("front_flex", "9"),
            ("rear_flex", "8"),
        ],
    );
    close("stops", value(&soft, "twist"), 17.0, 1e-9);
}
