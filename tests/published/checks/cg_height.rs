//! Center of gravity by axle lift.

use super::{ask, line, value};
use crate::close;

/// The height a truck must have for these readings, worked forward from statics: with the rear raised by θ the
/// front axle's load is W·((base − behind)·cos θ + (h − r)·sin θ)/(base·cos θ).
fn front_raised(mass: f64, behind: f64, base: f64, height: f64, radius: f64, rise: f64) -> f64 {
    let (sin, cos) = (rise / base).asin().sin_cos();
    mass * ((base - behind) * cos + (height - radius) * sin) / (base * cos)
}

/// Source: ISO 10392, cl. 6, worked apart: W 2000, 1050 → 1126 kg, wheelbase 2630, rise 700, radius 380: tipped
/// 15.436°, height 741.9 mm.
#[test]
fn the_worked_example() {
    let found = ask(
        "cg-height",
        &[
            ("mass", "2000"),
            ("front", "1050"),
            ("front_raised", "1126"),
            ("wheelbase", "2630"),
            ("rise", "700"),
            ("front_radius", "380"),
            ("rear_radius", "380"),
        ],
    );
    close("angle", value(&found, "angle"), 15.436, 0.001);
    close("height", value(&found, "height"), 741.9, 0.1);
}

/// Source: statics: 2630·(2000 − 1050)/2000 = 1249.25 mm behind the front axle.
#[test]
fn along_the_truck() {
    let found = ask("cg-height", &[("mass", "2000"), ("front", "1050"), ("wheelbase", "2630")]);
    close("behind", value(&found, "behind"), 1249.25, 1e-6);
}

/// Source: the same: a kg on the scale is 4.76 mm of height, so 2 kg of doubt alone are 9.5 mm.
#[test]
fn each_kilogram_counts() {
    let exact = [
        ("mass", "2000"),
        ("front", "1050"),
        ("wheelbase", "2630"),
        ("rise", "700"),
        ("front_radius", "380"),
        ("rear_radius", "380"),
    ];
    let given: Vec<_> = exact.into_iter().chain([("front_raised", "1126 ± 2")]).collect();
    let found = ask("cg-height", &given);
    close("per kg", value(&found, "per_kg"), 4.76, 0.01);
    let line = line(&found, "height");
    close("doubt", line.sigma, 9.53, 0.02);
    assert_eq!(line.driver.map(|(field, _)| field), Some("front_raised"));
}

/// Source: statics worked forward for trucks of known height, 600 to 1000 mm.
#[test]
fn trucks_of_known_height_come_back() {
    for (height, rise) in [(600.0, 400.0), (741.9, 700.0), (1000.0, 900.0)] {
        let raised = format!("{}", front_raised(2000.0, 1249.25, 2630.0, height, 380.0, rise));
        let rise = format!("{rise}");
        let found = ask(
            "cg-height",
            &[
                ("mass", "2000"),
                ("front", "1050"),
                ("front_raised", &raised),
                ("wheelbase", "2630"),
                ("rise", &rise),
                ("front_radius", "380"),
                ("rear_radius", "380"),
            ],
        );
        close("height", value(&found, "height"), height, 1e-6);
    }
}

/// Source: wheels of unlike radius, (rf·b + rr·a)/wheelbase: 380 in front, 420 behind, a = 1249.25, b = 1380.75:
/// 399.0 mm.
#[test]
fn wheels_of_unlike_size() {
    let found = ask(
        "cg-height",
        &[
            ("mass", "2000"),
            ("front", "1050"),
            ("wheelbase", "2630"),
            ("front_radius", "380"),
            ("rear_radius", "420"),
        ],
    );
    close("radius", value(&found, "radius"), 399.0, 0.001);
}

/// Source: statics: a front axle that loses load when the rear goes up means a reading is wrong, and is said.
#[test]
fn readings_that_cannot_be_are_pointed_at() {
    let wrong = ask("cg-height", &[("front", "1050"), ("front_raised", "1040")]);
    assert!(wrong.notes.iter().any(|note| note.contains("check the readings")));
    assert!(ask("cg-height", &[]).notes.is_empty());
}
