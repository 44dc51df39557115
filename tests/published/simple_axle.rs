//! Simple axles that textbook formulas describe, to hold the engine against.

use fitment::{
    axle::{Attitude, AxleModel, Output, attitude, solve},
    measure::Known,
    truck::{Axle, Bar, End, Layout, LayoutKind, Point, RadiusArm, State, Truck},
};

/// A point in the axle's stock frame, mm.
pub fn point([x, y, z]: [f64; 3]) -> Point {
    Point { x_mm: Known::exact(x), y_mm: Known::exact(y), z_mm: Known::exact(z) }
}

/// A link or bar from its axle end to its chassis end.
pub fn bar(axle: [f64; 3], chassis: [f64; 3]) -> Bar {
    Bar { axle: point(axle), chassis: point(chassis) }
}

/// A front axle on three level links so long that it moves straight up and down, located across
/// by a bar of this length whose chassis end is this much higher, on the left or the right.
pub fn lift_table(length: f64, rise: f64, chassis_end: BarEnd) -> Axle {
    let mut axle = Axle::typical(LayoutKind::ThreeLink, End::Front);
    // Ten kilometres: over 200 mm of travel the axle moves 2 µm fore and aft.
    let far = -1e7;
    axle.layout = Layout::ThreeLink {
        lower_left: bar([0.0, 450.0, -50.0], [far, 450.0, -50.0]),
        lower_right: None,
        upper: bar([0.0, -200.0, 150.0], [far, -200.0, 150.0]),
    };
    let span = length.mul_add(length, -(rise * rise)).sqrt();
    let side = match chassis_end {
        BarEnd::Left => 1.0,
        BarEnd::Right => -1.0,
    };
    axle.panhard = Some(bar([0.0, -450.0 * side, 0.0], [0.0, (span - 450.0) * side, rise]));
    axle
}

/// Which side a bar's chassis end is on.
#[derive(Clone, Copy)]
pub enum BarEnd {
    Left,
    Right,
}

/// A front axle clamped in leading arms by bushes so stiff that they do not give, but free to twist
/// at the chassis: pivot to axle centreline `length`, the pivot `rise` higher.
pub fn stiff_arms(length: f64, rise: f64) -> Axle {
    let mut axle = Axle::typical(LayoutKind::RadiusArms, End::Front);
    if let Layout::RadiusArms { left, right, axle_bush, chassis_bush } = &mut axle.layout {
        let back = -length.mul_add(length, -(rise * rise)).sqrt();
        *left = RadiusArm {
            axle_far: point([85.0, 450.0, 0.0]),
            axle_near: point([-85.0, 450.0, 0.0]),
            chassis: point([back, 450.0, rise]),
        };
        *right = None;
        for bush in [axle_bush, chassis_bush] {
            bush.radial_n_per_mm = Known::exact(1e6);
            bush.axial_n_per_mm = Known::exact(100.0);
            bush.conical_nm_per_deg = Known::exact(15.0);
            bush.torsion_nm_per_deg = Known::exact(0.0);
        }
    }
    axle
}

/// All outputs of a front axle in a state with its wheels held.
pub fn at(axle: &Axle, state: State, travel: [f64; 2]) -> Attitude<f64> {
    at_end(axle, End::Front, state, travel)
}

/// The same at either end.
pub fn at_end(axle: &Axle, end: End, state: State, travel: [f64; 2]) -> Attitude<f64> {
    let model =
        AxleModel::of(&Truck::with_axle(axle.clone(), end), end, state).expect("the axle reads");
    let pose = solve(&model, travel).expect("within reach");
    attitude(&model, &pose, 0.0)
}

/// One output.
pub fn get(outputs: &Attitude<f64>, output: Output) -> f64 {
    outputs.get(output).unwrap_or_else(|| panic!("no {}", output.key()))
}
