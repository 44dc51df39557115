//! Caster by steering sweep, against cambers of a turned 3D wheel.

use super::{ask, line, value};
use crate::close;
use fitment::calibrate::sweep::Sweep;
use fitment::truck::Side;

/// Source: rotation of the wheel about its steering axis in 3D, worked apart: caster, inclination, camber at
/// +20° and −20°, and the short form's answer (D. B. January, SAE 850219).
const CASES: [[f64; 5]; 3] = [
    [6.0, 9.0, 3.1177, -1.0111, 6.036],
    [4.0, 9.0, 1.9220, -0.8220, 4.011],
    [10.0, 9.0, 4.0184, -2.8940, 10.105],
];

fn sweep(case: &[f64; 5], more: &[(&str, &str)]) -> checks::Answered {
    let [_, inclination, camber_out, camber_in, _] = case.map(|number| format!("{number}"));
    let mut given = vec![
        ("sweep", "20"),
        ("inclination", inclination.as_str()),
        ("camber_out", camber_out.as_str()),
        ("camber_in", camber_in.as_str()),
    ];
    given.extend_from_slice(more);
    ask("caster-sweep", &given)
}

/// Source: the rotated wheels above.
#[test]
fn the_exact_form_gives_the_caster_back() {
    for case in &CASES {
        close("caster", value(&sweep(case, &[]), "caster"), case[0], 0.002);
    }
}

/// Source: D. B. January, SAE 850219, whose short form is held against the rotated wheels above.
#[test]
fn the_short_form_reads_a_little_high() {
    for case in &CASES {
        close("short form", value(&sweep(case, &[]), "simple"), case[4], 0.002);
    }
}

/// Source: 1/(2 sin d): 1.4619 at 20°, 1.9319 at 15°.
#[test]
fn degrees_of_caster_for_each_of_camber() {
    for (angle, factor) in [("20", 1.4619), ("15", 1.9319)] {
        close(angle, value(&ask("caster-sweep", &[("sweep", angle)]), "factor"), factor, 1e-4);
    }
}

/// Source: the same rotation, brakes locked: the spindle turns 2.748° and −3.462°, which the short form
/// reads as 9.080° of inclination.
#[test]
fn inclination_from_the_spindle() {
    let found = sweep(&CASES[0], &[("spindle_out", "2.748"), ("spindle_in", "-3.462")]);
    close("inclination", value(&found, "inclination_spindle"), 9.080, 0.002);
}

/// Source: 1/(1 − cos 20°) = 16.58: a camber read 0.1° off straight ahead moves the inclination by 1.7°.
#[test]
fn inclination_from_camber_alone_is_poor() {
    let found = sweep(&CASES[0], &[("camber_ahead", "0.5 ± 0.1")]);
    close("inclination", value(&found, "inclination_camber"), 9.18, 0.02);
    let line = line(&found, "inclination_camber");
    close("spread", line.sigma, 1.658, 0.001);
    assert_eq!(line.driver.map(|(field, _)| field), Some("camber_ahead"));
    assert!(found.notes.iter().any(|note| note.contains("1.7°")));
}

/// Source: the exact form: with no caster the camber is the same on both sides, whatever the inclination.
#[test]
fn equal_cambers_are_no_caster() {
    let found = ask("caster-sweep", &[("camber_out", "0.7"), ("camber_in", "0.7")]);
    close("caster", value(&found, "caster"), 0.0, 1e-12);
}

/// Source: the exact form of D. B. January, SAE 850219, written a second time for the readings under the
/// truck: the look-up's caster and its ± are those of `fitment::calibrate::sweep`, and so is the short form
/// for small angles.
#[test]
fn the_look_up_is_the_sweep_under_the_truck() {
    let rad = f64::to_radians;
    for [_, inclination, camber_out, camber_in, _] in CASES {
        let told = |value: f64, sigma: f64| format!("{value} ± {sigma}");
        let found = ask(
            "caster-sweep",
            &[
                ("sweep", "20"),
                ("inclination", &told(inclination, 1.0)),
                ("camber_out", &told(camber_out, 0.1)),
                ("camber_in", &told(camber_in, 0.1)),
            ],
        );
        // Out is to the left for a left wheel.
        let sweep = Sweep {
            heading: [rad(20.0), rad(-20.0)],
            camber: [rad(camber_out), rad(camber_in)],
            inclination: rad(inclination),
        };
        let budget = sweep.budget(Side::Left, 0.0, rad(0.1), rad(1.0));
        close("caster", value(&found, "caster"), budget.caster.to_degrees(), 1e-9);
        close("its spread", line(&found, "caster").sigma, budget.sigma.to_degrees(), 1e-9);
        let small = sweep.caster_small(Side::Left).to_degrees();
        close("the short form", value(&found, "simple"), small, 1e-9);
    }
}
