//! Rubber and leaves against what rigid geometry and beams say.

use crate::{
    close,
    simple_axle::{bar, get, point, stiff_arms},
};
use fitment::{
    axle::{AxleModel, Output, attitude, solve},
    measure::Known,
    truck::{Axle, End, Layout, LayoutKind, LeafSpring, State, Truck},
};

#[test]
fn stiff_rubber_nears_the_rigid_triangle_as_one_over_its_stiffness() {
    // Caster lost by an arm clamped to the axle = asin(v₂/L) − asin(v₁/L) (the rigid triangle).
    let length = 890.0_f64.hypot(60.0);
    let want = ((135.0 / length).asin() - (60.0 / length).asin()).to_degrees();
    let error = |stiffness: f64| {
        let mut axle = stiff_arms(length, 60.0);
        axle.panhard = Some(bar([95.0, -470.0, 90.0], [95.0, 1e6, 90.0]));
        if let Layout::RadiusArms { axle_bush, chassis_bush, .. } = &mut axle.layout {
            for bush in [axle_bush, chassis_bush] {
                bush.radial_n_per_mm = Known::exact(stiffness);
                bush.conical_nm_per_deg = Known::exact(15.0);
                bush.torsion_nm_per_deg = Known::exact(2.0);
            }
        }
        let model =
            AxleModel::of(&Truck::with_axle(axle, End::Front), End::Front, State::Stock).unwrap();
        let caster = |travel: f64| {
            get(&attitude(&model, &solve(&model, [travel; 2]).unwrap(), 0.0), Output::Caster)
        };
        ((caster(0.0) - caster(-75.0)) - want).abs()
    };
    let errors = [1e3, 1e4, 1e5, 1e6].map(error);
    for pair in errors.windows(2) {
        let ratio = pair[0] / pair[1];
        assert!(
            (9.0..11.0).contains(&ratio),
            "ten times as stiff, a tenth of the error: {errors:?}"
        );
    }
    assert!(errors[3] < 1e-4, "{errors:?}");
}

#[test]
fn a_flat_leaf_carries_the_axle_along_the_arc_of_its_equivalent_link() {
    // Three-link equivalent (SAE spring design manual, HS-788, value from memory): with the shackle
    // giving way, the seat of a flat spring swings about the fixed eye on ¾ of the half's free length:
    // it goes toward that eye by R − √(R² − z²).
    let mut axle = Axle::typical(LayoutKind::Leaf, End::Rear);
    if let Layout::LeafSprings { left, rates, eye_bush, .. } = &mut axle.layout {
        *left = LeafSpring {
            seat: point([0.0, 450.0, 60.0]),
            fixed_eye: point([650.0, 450.0, 60.0]),
            shackle_eye: point([-650.0, 450.0, 60.0]),
            shackle_chassis: point([-650.0, 450.0, 160.0]),
        };
        rates.clamped_mm = Known::exact(100.0);
        // Eyes that turn freely and do not give.
        eye_bush.radial_n_per_mm = Known::exact(1e6);
        eye_bush.torsion_nm_per_deg = Known::exact(0.0);
    }
    let model = AxleModel::of(&Truck::with_axle(axle, End::Rear), End::Rear, State::Stock).unwrap();
    let radius: f64 = 0.75 * 600.0;
    for travel in [-80.0, -40.0, 40.0, 80.0_f64] {
        let pose = solve(&model, [travel; 2]).unwrap();
        let want = radius - (radius * radius - travel * travel).sqrt();
        // A symmetric spring keeps its seat nearly level; what it pitches moves the seat a little.
        close("toward the fixed eye", pose.axle.shift.x, want, 0.12 * want + 0.05);
    }
}
