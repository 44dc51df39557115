//! The engine against poses worked out by a second formulation in Python; see `pose.py` beside
//! this file for its definitions and `make.py` for how `pose.json` is written.
//!
//! With the feature `oracle`, SciPy is also asked again for some of the trucks, so that the stored
//! poses are known to be fresh.

mod fixture;
#[cfg(feature = "oracle")]
mod fresh;
mod monte_carlo;

use fitment::{
    axle::{AxleModel, Output, Unit, attitude, solve, solve_near},
    truck::{self, LayoutKind},
};
use fixture::{Fixture, Position, Truck};

/// Agreement asked for, rigid or elastic.
const CLOSE_MM: f64 = 1e-6;
/// The same for angles.
const CLOSE_RAD: f64 = 1e-9;

/// Every output the oracle gives, for every position of every truck.
#[test]
fn poses_agree_with_the_second_formulation() {
    let fixture = Fixture::stored();
    println!("seed {}, {} trucks", fixture.seed, fixture.trucks.len());
    let mut seen = [0; 3];
    let mut worst = [(0.0_f64, 0.0_f64); 3];
    for truck in &fixture.trucks {
        let at = LayoutKind::ALL.iter().position(|k| *k == truck.kind()).unwrap();
        for position in &truck.positions {
            let (mm, rad) = check(truck, position);
            worst[at] = (worst[at].0.max(mm), worst[at].1.max(rad));
            seen[at] += 1;
        }
    }
    for ((kind, seen), (mm, rad)) in LayoutKind::ALL.iter().zip(seen).zip(worst) {
        println!("{kind:?}: {seen} poses, furthest apart {mm:.1e} mm, {rad:.1e} rad");
        assert!(seen >= 60, "{kind:?}: only {seen} poses");
    }
}

/// Compares one position; returns how far apart the two poses are, mm and rad.
fn check(truck: &Truck, position: &Position) -> (f64, f64) {
    let name = format!("truck {} ({:?}) {:?}", truck.number, truck.kind(), position.travel_mm);
    let model =
        AxleModel::of(&Truck::with_axle(truck.axle.clone(), truck.end), truck.end, position.state)
            .unwrap_or_else(|e| panic!("{name}: {e}"));
    let pose = solve(&model, position.travel_mm).unwrap_or_else(|e| panic!("{name}: {e}"));

    let mm = apart(pose.axle.shift.as_slice(), &position.shift_mm);
    assert!(mm <= CLOSE_MM, "{name}: translations differ by {mm:.2e} mm");
    // Entries of two rotations differ by at most the angle between them.
    let mut rad = 0.0_f64;
    for (i, row) in position.turn.iter().enumerate() {
        for (j, want) in row.iter().enumerate() {
            rad = rad.max((pose.axle.turn[(i, j)] - want).abs());
        }
    }
    assert!(rad <= CLOSE_RAD, "{name}: rotations differ by {rad:.2e} rad");

    let got = attitude(&model, &pose, position.steer_deg.to_radians());
    for (key, want) in &position.outputs {
        let output = Output::ALL.into_iter().find(|o| o.key() == key).expect(key);
        let got = got.get(output).unwrap_or_else(|| panic!("{name}: no {key}"));
        let tolerance = match output.unit() {
            Unit::Mm => CLOSE_MM,
            Unit::Deg => CLOSE_RAD.to_degrees(),
        };
        assert!((got - want).abs() <= tolerance, "{name} {key}: got {got}, want {want}");
    }

    // From a neighbouring pose the answer is the same one.
    let beside = position.travel_mm.map(|t| t + 3.0);
    if let Ok(near) = solve(&model, beside) {
        let again = solve_near(&model, position.travel_mm, &near).expect("solved just now");
        let mm = apart(again.axle.shift.as_slice(), pose.axle.shift.as_slice());
        assert!(mm <= CLOSE_MM, "{name}: from near by {mm:.2e} mm away");
    }
    (mm, rad)
}

fn apart(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).fold(0.0, |most, (a, b)| most.max((a - b).abs()))
}
