//! Input no truck has: an answer of finite numbers or a clear no, never a panic and never NaN.

use crate::any_axle::{travel, wild};
use fitment::{
    axle::{AxleModel, Output, answer, attitude, solve, solve_near},
    truck::{Axle, End, Layout, LayoutKind, State, Truck},
};
use proptest::prelude::*;

/// Solves and reads everything off; panics only where a number is not one.
fn probe(axle: &Axle, end: End, travel: [f64; 2]) {
    for state in State::ALL {
        let Ok(model) = AxleModel::of(&Truck::with_axle(axle.clone(), end), end, state) else {
            continue;
        };
        for at in [model.ride, travel] {
            let Ok(pose) = solve(&model, at) else { continue };
            assert!(pose.axle.shift.iter().chain(&pose.axle.turn).all(|v| v.is_finite()));
            let outputs = attitude(&model, &pose, 0.3);
            for output in Output::ALL {
                assert!(outputs.get(output).is_none_or(f64::is_finite), "{output:?}");
            }
            if let Ok(again) = solve_near(&model, [at[0] + 1.0, at[1]], &pose) {
                assert!(again.axle.shift.iter().all(|v| v.is_finite()));
            }
        }
        if let Ok(answer) = answer(&Truck::with_axle(axle.clone(), end), end, state) {
            for output in Output::ALL {
                let value = answer.attitude.get(output);
                assert!(value.is_none_or(f64::is_finite), "{output:?}: {value:?}");
                let sigma = answer.spread(output).map(|s| s.sigma);
                assert!(sigma.is_none_or(|s| s >= 0.0), "{output:?}: {value:?} ± {sigma:?}");
                let driver = answer.spread(output).and_then(|s| s.driver);
                assert!(driver.is_none_or(|d| (0.0..=1.0).contains(&d.share)), "{output:?}");
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn wild_numbers_never_panic_and_never_come_out_as_nan(
        (axle, end) in wild(),
        travel in prop_oneof![
            travel(),
            prop::sample::select(vec![
                [1e300, -1e300], [f64::NAN, 0.0], [0.0, f64::INFINITY], [1e6, 1e6], [-0.0, 5e-324],
            ]),
        ],
    ) {
        probe(&axle, end, travel);
    }
}

/// Named hardships, on every layout and both ends.
#[test]
fn named_hardships() {
    for kind in LayoutKind::ALL {
        for end in [End::Front, End::Rear] {
            let typical = Axle::typical(kind, end);
            let mut hard = vec![];
            let mut with = |change: &dyn Fn(&mut Axle)| {
                let mut axle = typical.clone();
                change(&mut axle);
                hard.push(axle);
            };
            // A bar of no length, one that stands upright, and one that is all there is.
            with(&|a| {
                a.panhard.as_mut().unwrap().chassis = a.panhard.as_ref().unwrap().axle.clone()
            });
            with(&|a| {
                a.panhard.as_mut().unwrap().chassis.y_mm =
                    a.panhard.as_ref().unwrap().axle.y_mm.clone()
            });
            with(&|a| {
                let one = a.panhard.as_ref().unwrap().axle.clone();
                crate::any_axle::each_point(a, &mut |p| *p = one.clone());
            });
            // Every lower member of no length.
            with(&|a| match &mut a.layout {
                Layout::RadiusArms { left, .. } => left.chassis = left.axle_near.clone(),
                Layout::ThreeLink { lower_left, .. } | Layout::FourLink { lower_left, .. } => {
                    lower_left.chassis = lower_left.axle.clone();
                }
            });
            // No width, and no rubber.
            with(&|a| a.hub_face_width_mm.value = 0.0);
            with(&|a| {
                if let Layout::RadiusArms { axle_bush, chassis_bush, .. } = &mut a.layout {
                    for b in [axle_bush, chassis_bush] {
                        b.radial_n_per_mm.value = 0.0;
                        b.axial_n_per_mm.value = 0.0;
                        b.conical_nm_per_deg.value = 0.0;
                        b.torsion_nm_per_deg.value = 0.0;
                    }
                }
            });
            for axle in &hard {
                probe(axle, end, [-60.0, 20.0]);
            }
        }
    }
}
