//! Driveline: single joints, pairs, the double-Cardan, the slip.

use super::{ask, severity, value};
use crate::close;
use checks::Answered;
use fitment::finding::Severity;

/// A shaft of level run 1000 mm with these slopes of case, shaft and pinion, in degrees.
fn sloped(case: f64, shaft: f64, pinion: f64, more: &[(&str, &str)]) -> Answered {
    let drop = format!("{} mm", 1000.0 * shaft.to_radians().tan());
    let (case, pinion) = (format!("{case}"), format!("{pinion}"));
    let mut given = vec![
        ("run", "1000 mm"),
        ("drop", drop.as_str()),
        ("case_slope", case.as_str()),
        ("pinion_slope", pinion.as_str()),
        ("droop", "0"),
        ("bump", "0"),
    ];
    given.extend_from_slice(more);
    ask("driveline", &given)
}

/// Source: sin β · tan β, from Shigley's joint equation (value from memory), fluctuation in percent. The
/// double-Cardan leaves the axle joint alone.
#[test]
fn one_joints_ripple() {
    for (angle, percent) in [
        (3.0, 0.2743),
        (6.0, 1.0986),
        (10.0, 3.0619),
        (15.0, 6.9350),
        (20.0, 12.449),
        (30.0, 28.868),
    ] {
        let found = sloped(0.0, 0.0, angle, &[("shaft", "double_cardan")]);
        close("angle", value(&found, "axle_angle"), angle, 1e-6);
        close(&format!("{angle}°"), value(&found, "fluctuation"), percent, 1e-3);
    }
}

/// Source: the same, 8° and 6° in one plane: √(8² − 6²) = 5.2915 by the handbooks' rule, 5.3012 exactly;
/// yokes crossed √(8² + 6²) = 10.0, 9.988 exactly.
#[test]
fn two_joints_in_one_plane() {
    // Case level, shaft down 8°, pinion 2° down: joints of 8° and 6° that bend back.
    let in_line = sloped(0.0, 8.0, 2.0, &[]);
    close("case", value(&in_line, "case_angle"), 8.0, 1e-6);
    close("axle", value(&in_line, "axle_angle"), 6.0, 1e-6);
    close("in line", value(&in_line, "equivalent"), 5.3012, 1e-3);
    // Speed ratio .99572 to 1.00430.
    close("ripple", value(&in_line, "fluctuation"), 100.0 * (1.00430 - 0.99572), 2e-3);
    // A pinion bent the other way cancels as well: the joints lie in the same plane.
    close("W", value(&sloped(0.0, 8.0, 14.0, &[]), "equivalent"), 5.3012, 1e-3);
    let crossed = sloped(0.0, 8.0, 2.0, &[("shaft", "out_of_phase")]);
    close("crossed", value(&crossed, "equivalent"), 9.988, 1e-3);
}

/// Source: β² = |Σ βᵢ² e^(2jφᵢ)| (handbooks, small angles): joints in planes square to one another add
/// up, √(3² + 4²) = 5° for yokes in line, and cancel, √(4² − 3²) = 2.646°, for crossed ones.
#[test]
fn two_joints_in_planes_square_to_one_another() {
    let square = [("pinion_plan", "3")];
    close("in line", value(&sloped(0.0, 4.0, 4.0, &square), "equivalent"), 5.0, 0.02);
    let crossed = [("pinion_plan", "3"), ("shaft", "out_of_phase")];
    close("crossed", value(&sloped(0.0, 4.0, 4.0, &crossed), "equivalent"), 2.646, 0.02);
}

/// Source: driveshaft maker's manual J3311-1, p. 10: side view 2.15°, plan view 2.5° make 3.3° (exactly
/// 3.2956); 9° and 12° make 15.0° by the rule √(T² + S²), 14.846° exactly, with the plan view's angle
/// read on the floor.
#[test]
fn side_and_plan_view_add_up_in_space() {
    for (side_view, plan_view, want, rule) in
        [(2.15_f64, 2.5_f64, 3.2956, 3.3), (9.0, 12.0, 14.846, 15.0)]
    {
        let offset = format!("{}", 1000.0 * plan_view.to_radians().tan());
        let found = sloped(0.0, side_view, side_view, &[("side", &offset)]);
        close("exact", value(&found, "case_angle"), want, 2e-3);
        close("handbook", value(&found, "case_angle"), rule, 0.16);
    }
}

/// Source: the same manual's table of largest angle against speed (value from memory), which is
/// ω²β² of 855 to 1023 rad/s²; ours is 1000 throughout.
#[test]
fn the_angle_for_a_speed_is_the_tables() {
    for (rpm, angle) in [
        (5000, 3.2),
        (4500, 3.7),
        (4000, 4.2),
        (3500, 5.0),
        (3000, 5.8),
        (2500, 7.0),
        (2000, 8.7),
        (1500, 11.5),
    ] {
        let found = ask("driveline", &[("speed", &format!("{rpm}"))]);
        let ours = value(&found, "allowed_angle");
        close(&format!("{rpm} rpm"), ours, angle, 0.27);
        let turning = f64::from(rpm) * std::f64::consts::TAU / 60.0;
        let table = (turning * angle.to_radians()).powi(2);
        assert!((850.0..1025.0).contains(&table), "{rpm} rpm: {table}");
    }
}

/// Source: peak of the joint's angular acceleration: 3000 rpm at 5.8° is 1011 rad/s² by ω²β², 1013
/// exactly; and 1500 rpm at 7.295° is 400 rad/s² (SAE AE-7, 3.1.1).
#[test]
fn the_shake_of_shaft_and_pinion() {
    let inertia = sloped(0.0, 5.8, 0.0, &[("speed", "3000")]);
    close("shaft", value(&inertia, "inertia"), 1013.0, 1.0);
    let residual = sloped(0.0, 0.0, 7.295, &[("speed", "1500"), ("shaft", "double_cardan")]);
    close("pinion", value(&residual, "residual"), 400.0, 2.0);
}

/// Source: engineers' chart of the second joint's angle after SAE AE-7 at 1500 rpm: joint 1 at 0 to 9°
/// lets joint 2 have 7.3 7.4 7.6 7.9 8.3 8.9 9.5 10.1 10.8 11.6°: all near 400 rad/s².
#[test]
fn the_chart_of_pairs_is_one_acceleration() {
    let chart = [7.3, 7.4, 7.6, 7.9, 8.3, 8.9, 9.5, 10.1, 10.8, 11.6];
    for (first, second) in (0_u8..).map(f64::from).zip(chart) {
        let found = sloped(0.0, first, first - second, &[("speed", "1500")]);
        close(&format!("{first}° and {second}°"), value(&found, "residual"), 400.0, 16.0);
    }
}

/// Source: Pythagoras: run 800, drop 200 → 300 lengthens the shaft from 824.62 to 854.40, by 29.78 mm.
#[test]
fn the_slip_travels_by_the_change_of_length() {
    let found =
        ask("driveline", &[("run", "800"), ("drop", "200"), ("droop", "100"), ("slip", "25")]);
    close("length", value(&found, "length"), 824.62, 0.005);
    close("plunge", value(&found, "plunge_out"), 29.78, 0.005);
    close("left", value(&found, "slip_out"), 25.0 - 29.78, 0.005);
    // 25 mm of slip do not reach.
    assert_eq!(severity(&found, "slip_out"), Severity::Stop);
}

/// Source: the manual, p. 10: at least 0.5° at each joint, and the pair equal within 1°; a pinion within
/// 1° of a double-Cardan's shaft is common practice, no source.
#[test]
fn the_manuals_limits_judge() {
    let good = sloped(0.0, 3.0, 0.0, &[("case_plan", "0"), ("pinion_plan", "0")]);
    assert_eq!(severity(&good, "case_angle"), Severity::InBand);
    assert_eq!(severity(&good, "difference"), Severity::InBand);
    let straight = sloped(0.0, 0.2, 0.0, &[]);
    assert!(severity(&straight, "case_angle") >= Severity::Unknown);
    let apart = sloped(0.0, 5.0, 2.5, &[("case_plan", "0"), ("pinion_plan", "0")]);
    assert_eq!(severity(&apart, "difference"), Severity::Out);
    let pointed = sloped(
        0.0,
        12.0,
        11.5,
        &[("shaft", "double_cardan"), ("case_plan", "0"), ("pinion_plan", "0")],
    );
    assert_eq!(severity(&pointed, "axle_angle"), Severity::InBand);
}

/// Source: Pythagoras: 800 along, 200 down: 824.62; crossed up 25 further down, 10 away and 40 aside it is √(810² + 225²
/// + 40²) = 841.62; out by 17.0 of 40 in hand.
#[test]
fn articulation_moves_the_joint_every_way() {
    let found = ask(
        "driveline",
        &[
            ("run", "800"),
            ("drop", "200"),
            ("side", "0"),
            ("crossed_drop", "25"),
            ("crossed_along", "10"),
            ("crossed_side", "40"),
            ("slip", "40"),
        ],
    );
    close("plunge", value(&found, "crossed_plunge"), 17.0, 0.05);
    close("slip", value(&found, "crossed_slip"), 23.0, 0.05);
    // Straight into the axle but for the plan angle: the angle of two directions in space.
    assert!(value(&found, "crossed_axle_angle") > 0.0);
}

/// Source: the same joint equation and limits: a pinion tipped parallel to the case cancels, one that points along the
/// shaft leaves nothing behind a double-Cardan; a case lowered by the drop lies level with the axle.
#[test]
fn corrections_do_what_they_are_for() {
    let level = sloped(2.0, 9.0, 5.0, &[("case_plan", "0"), ("pinion_plan", "0")]);
    close("alike", value(&level, "tip_alike"), -3.0, 1e-9);
    close("pointing", value(&level, "tip_pointing"), 4.0, 1e-9);
    let tipped = sloped(2.0, 9.0, 5.0, &[("tip", "-3")]);
    close("cancels", value(&tipped, "tipped_equivalent"), 0.0, 1e-3);
    let pointed = sloped(2.0, 9.0, 5.0, &[("tip", "4"), ("shaft", "double_cardan")]);
    close("points", value(&pointed, "tipped_equivalent"), 0.0, 1e-3);
    let lowered =
        ask("driveline", &[("run", "900"), ("drop", "150"), ("lower", "150"), ("case_slope", "0")]);
    close("level", value(&lowered, "lowered_case_angle"), 0.0, 1e-3);
}

/// Source: the manual's table of largest angle against speed (value from memory), read the other way: parallel shafts at
/// 5.8° may turn at 3000 rpm, at 8.7° at 2000 rpm, at 11.5° at 1500 rpm.
#[test]
fn the_speed_for_an_angle_is_the_tables() {
    for (angle, rpm) in [(5.8, 3000.0), (8.7, 2000.0), (11.5, 1500.0)] {
        let found = sloped(0.0, angle, 0.0, &[]);
        close(&format!("{angle}°"), value(&found, "top_speed"), rpm, 0.015 * rpm);
    }
}
