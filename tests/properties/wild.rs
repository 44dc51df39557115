//! Input no truck has: an answer of finite numbers or a clear no, never a panic and never NaN.

use crate::any_axle::{each_point, travel, truck, wild};
use fitment::{
    axle::{
        AxleModel, Output, Path, Turn, answer, attitude, attitude_turned, reactions, solve,
        solve_near, sweep,
    },
    truck::{Axle, Bar, BushRates, End, Joins, Layout, LayoutKind, State, Steering, Truck, Watts},
};
use proptest::prelude::*;

/// Solves and reads everything off; panics only where a number is not one.
fn probe(truck: &Truck, end: End, travel: [f64; 2]) {
    for problem in truck.check() {
        assert!(!problem.path.is_empty() && problem.remedy.ends_with('.'), "{problem:?}");
    }
    for state in State::ALL {
        let Ok(model) = AxleModel::of(truck, end, state) else { continue };
        for at in [model.ride, travel] {
            let Ok(pose) = solve(&model, at) else { continue };
            assert!(pose.axle.shift.iter().chain(&pose.axle.turn).all(|v| v.is_finite()));
            let outputs = attitude(&model, &pose, 0.3);
            for output in Output::ALL {
                assert!(outputs.get(output).is_none_or(f64::is_finite), "{output:?}");
            }
            for turn in [Turn::Pitman(0.2), Turn::Straight] {
                let outputs = attitude_turned(&model, &pose, turn);
                for output in Output::ALL {
                    assert!(outputs.get(output).is_none_or(f64::is_finite), "{output:?}");
                }
            }
            for it in reactions(&model, &pose) {
                assert!(it.force.iter().chain(&it.moment).all(|v| v.is_finite()), "{it:?}");
                assert!(it.strain_mm >= 0.0 && it.twist_rad >= 0.0, "{it:?}");
            }
            if let Ok(again) = solve_near(&model, [at[0] + 1.0, at[1]], &pose) {
                assert!(again.axle.shift.iter().all(|v| v.is_finite()));
            }
        }
        for path in Path::ALL {
            let Ok(found) = sweep(&model, path, -20.0, 20.0, 20.0) else { continue };
            for outputs in found.points.iter().filter_map(|point| point.found.as_ref().ok()) {
                for output in Output::ALL {
                    assert!(outputs.get(output).is_none_or(f64::is_finite), "{path:?} {output:?}");
                }
            }
        }
        if let Ok(answer) = answer(truck, end, state) {
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
        (truck, end) in wild(),
        travel in prop_oneof![
            travel(),
            prop::sample::select(vec![
                [1e300, -1e300], [f64::NAN, 0.0], [0.0, f64::INFINITY], [1e6, 1e6], [-0.0, 5e-324],
            ]),
        ],
    ) {
        probe(&truck, end, travel);
    }
}

/// Named hardships, on every layout and both ends.
#[test]
fn named_hardships() {
    for kind in LayoutKind::ALL {
        for end in [End::Front, End::Rear] {
            let mut typical = Axle::typical(kind, end);
            let bar = Axle::typical(LayoutKind::ThreeLink, end).panhard.unwrap();
            let mut hard = vec![];
            let mut with = |change: &dyn Fn(&mut Axle)| {
                let mut axle = typical.clone();
                change(&mut axle);
                hard.push(axle);
            };
            // A bar of no length, one that stands upright, and one that is all there is.
            with(&|a| a.panhard = Some(Bar { axle: bar.axle.clone(), chassis: bar.axle.clone() }));
            with(&|a| {
                let mut upright = bar.clone();
                upright.chassis.y_mm = upright.axle.y_mm.clone();
                a.panhard = Some(upright);
            });
            with(&|a| {
                a.panhard = Some(bar.clone());
                each_point(a, &mut |p| *p = bar.axle.clone());
            });
            // Nothing sideways at all, and everything at once.
            with(&|a| a.panhard = None);
            with(&|a| {
                a.panhard = Some(bar.clone());
                a.watts = Some(Watts::typical(end));
            });
            // A crank of no size, without and with a link of no size.
            for own in [false, true] {
                with(&|a| {
                    let mut watts = Watts::typical(end);
                    watts.left.axle = watts.pivot.clone();
                    watts.right.axle = watts.pivot.clone();
                    if own {
                        watts.left.chassis = watts.pivot.clone();
                    }
                    a.panhard = None;
                    a.watts = Some(watts);
                });
            }
            // Every lower member of no length.
            with(&|a| match &mut a.layout {
                Layout::RadiusArms { left, .. } => left.chassis = left.axle_near.clone(),
                Layout::ThreeLink { lower_left, .. } | Layout::FourLink { lower_left, .. } => {
                    lower_left.chassis = lower_left.axle.clone();
                }
                Layout::LeafSprings { left, .. } => {
                    left.fixed_eye = left.seat.clone();
                    left.shackle_chassis = left.shackle_eye.clone();
                }
            });
            // The same link twice, and both in one line.
            with(&|a| match &mut a.layout {
                Layout::ThreeLink { lower_left, lower_right, .. } => {
                    *lower_right = Some(lower_left.clone());
                }
                Layout::FourLink { lower_left, upper_left, upper_right, .. } => {
                    *upper_left = lower_left.clone();
                    *upper_right = None;
                }
                _ => {}
            });
            // Steering arms and a pitman arm of no length, a tie rod through the axes.
            if let Some(steering) = &mut typical.steering {
                steering.tie_rod.left.y_mm.value = 627.0;
            }
            let mut with = |change: &dyn Fn(&mut Steering)| {
                let mut axle = typical.clone();
                if let Some(steering) = &mut axle.steering {
                    change(steering);
                    hard.push(axle);
                }
            };
            with(&|s| s.pitman.end = s.pitman.pivot.clone());
            with(&|s| s.tie_rod.left.x_mm.value = 0.0);
            with(&|s| s.drag_link.end = s.pitman.end.clone());
            with(&|s| s.drag_link.joins = Joins::TieRod);
            with(&|s| s.ratio.value = 0.0);
            // No width, no rubber, no spring of any length.
            let mut bare = typical.clone();
            bare.hub_face_width_mm.value = 0.0;
            hard.push(bare);
            let mut bare = typical.clone();
            bare.spring = Some(Bar { axle: bar.axle.clone(), chassis: bar.axle.clone() });
            bare.shock = bare.spring.clone();
            for bush in bushes(&mut bare.layout) {
                bush.radial_n_per_mm.value = 0.0;
                bush.axial_n_per_mm.value = 0.0;
                bush.conical_nm_per_deg.value = 0.0;
                bush.torsion_nm_per_deg.value = 0.0;
            }
            if let Layout::LeafSprings { rates, .. } = &mut bare.layout {
                rates.vertical_n_per_mm.value = 0.0;
                rates.lateral_n_per_mm.value = 0.0;
                rates.twist_nm_per_deg.value = 0.0;
                rates.clamped_mm.value = 5000.0;
            }
            hard.push(bare);
            for axle in hard {
                probe(&truck(&axle, end), end, [-60.0, 20.0]);
            }
        }
    }
}

fn bushes(layout: &mut Layout) -> Vec<&mut BushRates> {
    match layout {
        Layout::RadiusArms { axle_bush, chassis_bush, .. } => vec![axle_bush, chassis_bush],
        Layout::LeafSprings { eye_bush, .. } => vec![eye_bush],
        Layout::ThreeLink { .. } | Layout::FourLink { .. } => vec![],
    }
}
