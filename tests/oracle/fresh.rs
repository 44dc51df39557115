//! Asks SciPy again for some of the trucks: what is stored must be what it says today.

use crate::{
    fixture::{Fixture, Truck},
    monte_carlo::Trials,
};
use std::{
    path::{Path, PathBuf},
    process::Command,
};

/// A few of each layout, both ends, with and without parts.
const ASKED: &str = "1,8,19,26,35,44,51";
/// Other versions of the linear algebra round otherwise; mm, and degrees.
const ROUNDING: f64 = 1e-7;

#[test]
fn stored_poses_are_what_scipy_says_today() {
    let Some(python) = python() else { return };
    let today = run(&python, &["make.py", "--only", ASKED]);
    let today: Fixture = serde_json::from_str(&today).expect("make.py writes a fixture");
    let stored = Fixture::stored();
    assert_eq!(today.seed, stored.seed);
    assert_eq!(today.trucks.len(), ASKED.split(',').count());
    for truck in &today.trucks {
        let kept = stored.trucks.iter().find(|t| t.number == truck.number);
        compare(truck, kept.expect("a truck of this number is stored"));
    }
}

#[test]
fn stored_spread_is_what_numpy_says_today() {
    let Some(python) = python() else { return };
    let today = run(&python, &["uncertain.py", "--trials", "4000"]);
    let today: Trials = serde_json::from_str(&today).expect("uncertain.py writes trials");
    let stored = Trials::stored();
    assert_eq!(today.axle, stored.axle, "another axle; run uncertain.py again");
    assert_eq!(today.drawn, 4000);
    for (key, sigma) in &stored.sigma {
        // 4000 trials settle a spread to 1.1 %, one standard deviation.
        let ratio = today.sigma[key] / sigma;
        assert!((ratio - 1.0).abs() < 0.05, "{key}: {ratio} of what is stored");
    }
}

fn compare(today: &Truck, stored: &Truck) {
    let number = today.number;
    assert_eq!(today.axle, stored.axle, "truck {number}: another axle; run make.py again");
    assert_eq!(today.positions.len(), stored.positions.len());
    for (a, b) in today.positions.iter().zip(&stored.positions) {
        assert_eq!((a.state, a.travel_mm), (b.state, b.travel_mm), "truck {number}");
        for (a, b) in a.shift_mm.iter().zip(&b.shift_mm) {
            assert!((a - b).abs() < ROUNDING, "truck {number}: {a} today, {b} stored");
        }
        assert!(a.outputs.keys().eq(b.outputs.keys()), "truck {number}: other outputs");
        for ((key, a), b) in a.outputs.iter().zip(b.outputs.values()) {
            assert!((a - b).abs() < ROUNDING, "truck {number} {key}: {a} today, {b} stored");
        }
    }
}

/// A Python that has SciPy: the one named, the project's own, or the machine's. Where there is
/// none, says so in one line; in CI that is a failure.
fn python() -> Option<PathBuf> {
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join("../.tools/venv/bin/python");
    let found = std::env::var_os("TAPEWRIGHT_PYTHON")
        .map(PathBuf::from)
        .into_iter()
        .chain([own, PathBuf::from("python3")])
        .find(|p| {
            Command::new(p).args(["-c", "import scipy"]).output().is_ok_and(|o| o.status.success())
        });
    if found.is_none() {
        let why = "no Python with SciPy in .tools/venv or on PATH";
        assert!(std::env::var_os("CI").is_none(), "{why}: nothing may be skipped in CI");
        println!("skipped: {why}");
    }
    found
}

/// What a script beside this file prints.
fn run(python: &Path, arguments: &[&str]) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("oracle");
    let output = Command::new(python)
        .args(["-B"])
        .args(arguments)
        .current_dir(folder)
        .output()
        .expect("Python starts");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).expect("JSON is UTF-8")
}
