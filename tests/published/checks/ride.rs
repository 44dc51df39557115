//! Springs, frequency, travel.

use super::{ask, severity, value};
use crate::close;
use fitment::finding::Severity;

/// A coil of exactly this rate, N/mm: working turns chosen for wire 16, coil 120.
fn turns(rate: f64) -> String {
    format!("{}", 79300.0 * 16.0_f64.powi(4) / (8.0 * 120.0_f64.powi(3) * rate))
}

/// Source: k = G d⁴/(8 D³ n) (Shigley, value from memory), worked apart: 16 on 120 with 6 turns 62.66 N/mm;
/// 0.625 in on 5 in with 6 turns at 11.5 million psi 292.5 lb/in.
#[test]
fn rate_of_a_coil() {
    let metric =
        ask("ride", &[("wire", "16"), ("coil", "120"), ("turns", "6"), ("modulus", "79300")]);
    close("metric", value(&metric, "rate"), 62.66, 0.01);
    let inch = ask(
        "ride",
        &[("wire", "0.625 in"), ("coil", "5 in"), ("turns", "6"), ("modulus", "11500 ksi")],
    );
    close("inch", value(&inch, "rate") * 25.4 / 4.448_222, 292.5, 0.1);
}

/// Source: f = √(k/m)/2π (Gillespie, value from memory): 35 N/mm and 400 kg: 1.4888 Hz, 112.08 mm; the handbooks'
/// 15.76/√(deflection in mm) agrees.
#[test]
fn ride_frequency() {
    let found = ask("ride", &[("turns", &turns(35.0)), ("sprung", "400"), ("ratio", "1")]);
    close("rate", value(&found, "rate"), 35.0, 1e-6);
    close("frequency", value(&found, "frequency"), 1.4888, 1e-4);
    close("squashed", value(&found, "squashed"), 112.08, 0.01);
    close("rule", 15.76 / value(&found, "squashed").sqrt(), value(&found, "frequency"), 1e-3);
}

/// Source: the same: 35 N/mm on a tire of 250 in series 30.70; 50 N/mm at motion ratio 0.7 24.5 N/mm.
#[test]
fn tire_in_series_and_motion_ratio() {
    let series = ask("ride", &[("turns", &turns(35.0)), ("tire_rate", "250"), ("ratio", "1")]);
    close("series", value(&series, "ride_rate"), 30.70, 0.005);
    let ratio = ask("ride", &[("turns", &turns(50.0)), ("ratio", "0.7")]);
    close("ratio", value(&ratio, "wheel_rate"), 24.5, 1e-6);
}

/// Source: the same: two springs of 35 N/mm 1000 mm apart: 305.4 N·m/°.
#[test]
fn roll_stiffness() {
    let found = ask("ride", &[("turns", &turns(35.0)), ("spacing", "1000")]);
    close("roll", value(&found, "roll_rate"), 305.4, 0.1);
}

/// Source: Hooke, worked apart: 50 kg on 35 N/mm sinks 14.01 mm and slows 1.4888 Hz to 1.4037 (√(400/450)).
#[test]
fn added_load_sinks_and_slows() {
    let found =
        ask("ride", &[("turns", &turns(35.0)), ("sprung", "400"), ("added", "50"), ("ratio", "1")]);
    close("sag", value(&found, "sag"), 14.01, 0.005);
    close("laden", value(&found, "frequency_laden"), 1.4888 * (400.0_f64 / 450.0).sqrt(), 1e-4);
}

/// Source: lengths worked apart. Shock 360 to 590, 480 at ride height, moving with the wheel: 120 in, 110 out.
/// With 75 + 25 to full bump 20 are left; a spring 300 long of 8 turns of 16 is solid at 128: 72 left.
#[test]
fn what_is_left_at_full_bump_and_droop() {
    let given = [
        ("shock_ride", "480"),
        ("shock_shortest", "360"),
        ("shock_longest", "590"),
        ("shock_ratio", "1"),
        ("bump_gap", "75"),
        ("stop_squash", "25"),
        ("spring_length", "300"),
        ("all_turns", "8"),
        ("wire", "16"),
        ("coil", "120"),
        ("ratio", "1"),
    ];
    let coil = turns(35.0);
    let given: Vec<_> =
        given.into_iter().chain([("sprung", "400"), ("turns", coil.as_str())]).collect();
    let found = ask("ride", &given);
    close("shock", value(&found, "shock_bump"), 20.0, 1e-9);
    close("bind", value(&found, "bind"), 72.0, 1e-9);
    close("droop", value(&found, "droop"), 110.0, 1e-9);
    close("held", value(&found, "held"), 112.08 - 110.0, 0.01);
    close("free", value(&found, "free_length"), 300.0 + 112.08, 0.01);
    close("strap", value(&found, "strap"), 100.0, 1e-9);
    let longer: Vec<_> = given.iter().copied().chain([("shock_shortest", "420")]).collect();
    assert_eq!(severity(&ask("ride", &longer), "shock_bump"), Severity::Stop);
}

/// Source: a lift spring of the same rate leaves the frequency alone, and the droop it uses up leaves the spring
/// loose: worked apart, 40 mm of spring at ride height and 110 of droop are 70 mm of nothing.
#[test]
fn a_loose_spring_is_a_stop() {
    let stiff = turns(400.0 * 9.80665 / 40.0);
    let found = ask(
        "ride",
        &[
            ("turns", &stiff),
            ("sprung", "400"),
            ("ratio", "1"),
            ("shock_ratio", "1"),
            ("shock_longest", "590"),
            ("shock_ride", "480"),
        ],
    );
    close("held", value(&found, "held"), -70.0, 1e-6);
    assert_eq!(severity(&found, "held"), Severity::Stop);
}

/// Source: f = √(k/m)/2π (Gillespie, ch. 5, value from memory): 35 N/mm under 400 kg is 1.4888 Hz, so 1.4888 Hz asks for
/// 35 N/mm, and for 35/0.7² where the spring moves 0.7 of the wheel.
#[test]
fn a_rate_for_a_frequency() {
    let given = [("sprung", "400"), ("wanted", "1.4888"), ("ratio", "1")];
    close("rate", value(&ask("ride", &given), "rate_wanted"), 35.0, 0.003);
    let leaning = ask("ride", &[("sprung", "400"), ("wanted", "1.4888"), ("ratio", "0.7")]);
    close("leaning", value(&leaning, "rate_wanted"), 35.0 / 0.49, 0.006);
}

/// Source: differences of lengths, worked apart: 412 new and 396 now has set by 16, 20 of ride height at a ratio of 0.8; a
/// shock of 360 to 560 standing at 460 is at its middle. What has set so far is replaced in pairs (common practice, no
/// source).
#[test]
fn set_of_a_spring_and_place_of_a_shock() {
    let given = [
        ("free_new", "412"),
        ("free_now", "396"),
        ("ratio", "0.8"),
        ("shock_shortest", "360"),
        ("shock_longest", "560"),
        ("shock_ride", "460"),
    ];
    let found = ask("ride", &given);
    close("set", value(&found, "set"), 16.0, 1e-9);
    close("sinks", value(&found, "set_sinks"), 20.0, 1e-9);
    close("placed", value(&found, "shock_placed"), 50.0, 1e-9);
    assert!(severity(&found, "set") > Severity::InBand);
    assert_eq!(severity(&found, "shock_placed"), Severity::InBand);
}

/// Source: a rate and a solid length from the spring's own data come before those of its wire: 30 N/mm under 300 kg is
/// √(30 000/300)/2π = 1.5915 Hz (Gillespie, ch. 5, value from memory); 300 standing less 150 solid less 100 of bump
/// leaves 50.
#[test]
fn the_springs_own_data_come_first() {
    let given = [
        ("known_rate", "30"),
        ("sprung", "300"),
        ("ratio", "1"),
        ("solid", "150"),
        ("spring_length", "300"),
        ("bump_gap", "75"),
        ("stop_squash", "25"),
    ];
    let found = ask("ride", &given);
    close("rate", value(&found, "rate"), 30.0, 1e-9);
    close("frequency", value(&found, "frequency"), 1.5915, 1e-4);
    close("bind", value(&found, "bind"), 50.0, 1e-9);
}
