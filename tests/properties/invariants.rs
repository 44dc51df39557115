//! Laws of the pose on credible axles.

use crate::any_axle::{credible, mirrored, moved, reach, travel, truck};
use fitment::{
    axle::{
        Attitude, AxleModel, Body, Link, Members, Output, Pose, Unreachable, attitude, solve,
        solve_near,
    },
    measure::Known,
    truck::{Axle, End, Layout, LayoutKind, State},
};
use nalgebra::Vector3;
use proptest::prelude::*;

/// Agreement asked of two ways to one pose, mm or degrees; elastic poses settle to about 1e-8.
const SAME: f64 = 1e-6;

fn at(
    axle: &Axle,
    end: End,
    travel: [f64; 2],
) -> Result<(AxleModel<f64>, Pose<f64>), TestCaseError> {
    let model = AxleModel::of(&truck(axle, end), end, State::Stock).expect("a credible axle reads");
    let pose = reach(&model, travel)?;
    Ok((model, pose))
}

fn outputs(
    axle: &Axle,
    end: End,
    travel: [f64; 2],
    steer: f64,
) -> Result<Attitude<f64>, TestCaseError> {
    let (model, pose) = at(axle, end, travel)?;
    Ok(attitude(&model, &pose, steer))
}

fn length(link: &Link<f64>, axle: &Body<f64>) -> f64 {
    (axle.point(&link.axle) - link.chassis).norm()
}

/// What each output becomes in a mirror: its partner on the other side, and its sign.
fn reflection(output: Output, axle: &Axle) -> (Output, f64) {
    // A single upper link is told as the left one wherever it lies.
    let single = matches!(axle.layout, Layout::ThreeLink { .. });
    match output {
        Output::LateralShift
        | Output::AxleSteer
        | Output::Roll
        | Output::SteeringWheel
        | Output::DragAngle => (output, -1.0),
        Output::CasterLeft => (Output::CasterRight, 1.0),
        Output::CasterRight => (Output::CasterLeft, 1.0),
        Output::WheelbaseLeft => (Output::WheelbaseRight, 1.0),
        Output::WheelbaseRight => (Output::WheelbaseLeft, 1.0),
        Output::TrailLeft => (Output::TrailRight, 1.0),
        Output::TrailRight => (Output::TrailLeft, 1.0),
        Output::ScrubLeft => (Output::ScrubRight, 1.0),
        Output::ScrubRight => (Output::ScrubLeft, 1.0),
        Output::ArmLeft => (Output::ArmRight, 1.0),
        Output::ArmRight => (Output::ArmLeft, 1.0),
        Output::UpperLeft if !single => (Output::UpperRight, 1.0),
        Output::UpperRight if !single => (Output::UpperLeft, 1.0),
        Output::SpringRatioLeft => (Output::SpringRatioRight, 1.0),
        Output::SpringRatioRight => (Output::SpringRatioLeft, 1.0),
        Output::ShockRatioLeft => (Output::ShockRatioRight, 1.0),
        Output::ShockRatioRight => (Output::ShockRatioLeft, 1.0),
        Output::SteerLeft => (Output::SteerRight, -1.0),
        Output::SteerRight => (Output::SteerLeft, -1.0),
        Output::BumpSteerLeft => (Output::BumpSteerRight, -1.0),
        Output::BumpSteerRight => (Output::BumpSteerLeft, -1.0),
        Output::Caster
        | Output::Pinion
        | Output::Panhard
        | Output::RollCentreHeight
        | Output::RollCentreKinematic
        | Output::UpperLeft
        | Output::UpperRight
        | Output::InstantCentreX
        | Output::InstantCentreZ
        | Output::AntiDive
        | Output::AntiLift
        | Output::AntiSquat
        | Output::RollSteer
        | Output::RollStiffness
        | Output::Jacking
        | Output::Toe
        | Output::BumpToe
        | Output::DragLink
        | Output::DragLength
        | Output::JointCase
        | Output::JointAxle
        | Output::JointOpen
        | Output::SlipIn
        | Output::SlipOut
        | Output::HoseSlack
        | Output::Ackermann
        | Output::TurningCircle => (output, 1.0),
    }
}

/// Links that are one more than the axle's two freedoms allow, all of which give a little.
fn overdetermined(axle: &Axle) -> bool {
    matches!(axle.layout, Layout::FourLink { .. })
        && (axle.panhard.is_some() || axle.watts.is_some())
}

/// How far the right link of a Watts linkage is off its length with the crank where the left one
/// holds it, found by halving: no derivative, no formula of the engine's.
fn watts_miss(watts: &fitment::axle::Watts<f64>, axle: &Body<f64>) -> f64 {
    let off = |link: &Link<f64>, angle: f64| {
        // The crank turns about x of its carrier, in its carrier's own frame.
        let turned = |p: &Vector3<f64>| {
            let ([_, y, z], (sin, cos)) = ((p - watts.pivot).into(), angle.sin_cos());
            watts.pivot + Vector3::new(p.x - watts.pivot.x, cos * y - sin * z, sin * y + cos * z)
        };
        let (on_axle, on_chassis) = if watts.on_axle {
            (turned(&link.axle), link.chassis)
        } else {
            (link.axle, turned(&link.chassis))
        };
        (axle.point(&on_axle) - on_chassis).norm() - link.length
    };
    let [left, right] = &watts.links;
    let (mut low, mut high) = (-0.6, 0.6);
    let rising = off(left, high) > off(left, low);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if (off(left, middle) > 0.0) == rising { high = middle } else { low = middle }
    }
    off(right, 0.5 * (low + high))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn rigid_members_keep_their_length_and_wheels_stand_where_held(
        (axle, end) in credible(),
        travel in travel(),
    ) {
        let (model, pose) = at(&axle, end, travel)?;
        let mut rigid = vec![];
        if !overdetermined(&axle) {
            match &model.fitted.members {
                Members::ThreeLinks(links) => rigid.extend(links),
                Members::FourLinks(links) => rigid.extend(links),
                Members::Arms(_) | Members::Leaves(_) => {}
            }
            rigid.extend(&model.fitted.panhard);
            if let Some(watts) = &model.fitted.watts {
                let miss = watts_miss(watts, &pose.axle).abs();
                prop_assert!(miss <= 1e-8, "the Watts linkage is {miss:.2e} mm off");
            }
        }
        for link in rigid {
            let miss = (length(link, &pose.axle) - link.length).abs();
            prop_assert!(miss <= 1e-9, "a member is {miss:.2e} mm off its length");
        }
        for (side, travel) in [1.0, -1.0].into_iter().zip(travel) {
            let wheel = pose.axle.shift.z + pose.axle.turn[(2, 1)] * side * model.stock_wheel_y;
            prop_assert!((wheel - travel).abs() <= 1e-9, "wheel at {wheel}, held at {travel}");
        }
        let straight = pose.axle.turn * pose.axle.turn.transpose();
        prop_assert!((straight - straight.map(f64::round)).amax() < 1e-12);
        prop_assert!(pose.axle.turn.determinant() > 0.999);
    }

    /// What the checks let through, the engine can work with: no part is missing, and nothing is
    /// free to move.
    #[test]
    fn an_axle_without_problems_stands((axle, end) in moved(6.0)) {
        let truck = truck(&axle, end);
        prop_assume!(truck.check().is_empty());
        let model = AxleModel::of(&truck, end, State::Stock).expect("it was checked");
        prop_assert!(solve(&model, [0.0; 2]).is_ok());
        let near = solve(&model, [-8.0, 5.0]);
        prop_assert!(!matches!(near, Err(Unreachable::Loose(_))), "{near:?}");
    }

    #[test]
    fn a_mirror_changes_sides_and_the_sign_of_exactly_the_odd_outputs(
        (axle, end) in credible(),
        [left, right] in travel(),
        steer in -0.4..0.4,
    ) {
        let here = outputs(&axle, end, [left, right], steer)?;
        let there = outputs(&mirrored(&axle), end, [right, left], -steer)?;
        for output in Output::ALL {
            let (partner, sign) = reflection(output, &axle);
            match (here.get(output), there.get(partner)) {
                (Some(a), Some(b)) => {
                    let apart = (a - sign * b).abs();
                    prop_assert!(apart < 10.0 * SAME * a.abs().max(1.0), "{output:?}: {a}, mirrored {b}");
                }
                (a, b) => prop_assert_eq!(a.is_some(), b.is_some(), "{:?}", output),
            }
        }
    }

    #[test]
    fn a_lift_taken_out_again_leaves_the_truck_stock(
        (axle, end) in credible(),
        travel in travel(),
    ) {
        let (model, lifted) = at(&axle, end, travel)?;
        let back = solve_near(&model, [0.0; 2], &lifted).expect("stock height is within reach");
        prop_assert!(back.axle.shift.amax() < SAME, "back at {}", back.axle.shift);
        prop_assert!((back.axle.turn - back.axle.turn.map(f64::round)).amax() < 1e-3 * SAME);
    }

    #[test]
    fn the_way_to_a_pose_does_not_matter((axle, end) in credible(), travel in travel()) {
        let (model, pose) = at(&axle, end, travel)?;
        for beside in [[5.0, -8.0], [-15.0, 15.0]] {
            let beside = [travel[0] + beside[0], travel[1] + beside[1]];
            let Ok(near) = solve(&model, beside) else { continue };
            let again = solve_near(&model, travel, &near).expect("solved before");
            let apart = (again.axle.shift - pose.axle.shift).amax();
            prop_assert!(apart < SAME, "{apart:.2e} mm apart");
        }
    }

    #[test]
    fn stock_stands_at_home_with_nothing_changed((axle, end) in credible()) {
        let got = outputs(&axle, end, [0.0; 2], 0.0)?;
        for output in [
            Output::LateralShift,
            Output::AxleSteer,
            Output::Roll,
            Output::WheelbaseLeft,
            Output::WheelbaseRight,
        ] {
            prop_assert!(got.get(output).unwrap().abs() < 1e-9, "{output:?}");
        }
        if let Some(kingpin) = &axle.kingpin {
            let caster = got.get(Output::Caster).unwrap();
            prop_assert!((caster - kingpin.caster_deg.value).abs() < 1e-9);
        }
        let pinion = got.get(Output::Pinion).unwrap();
        prop_assert!((pinion - axle.pinion.angle_deg.value).abs() < 1e-9);
    }

    /// A level bar's end moves on the bottom of its arc: half the travel, a quarter of the shift.
    #[test]
    fn a_level_panhard_shifts_to_second_order_only(
        (mut axle, end) in credible(),
        travel in 10.0_f64..40.0,
        up in any::<bool>(),
    ) {
        // Leaves and triangulated links hold the axle sideways themselves.
        let symmetric = match axle.kind() {
            LayoutKind::Leaf | LayoutKind::Triangulated => Axle::typical(LayoutKind::ThreeLink, end),
            kind => Axle::typical(kind, end),
        };
        axle.layout = symmetric.layout;
        axle.watts = None;
        let mut bar = axle.panhard.or(symmetric.panhard).unwrap();
        // Symmetric members and a bar square to them, so that the bar alone moves the axle across.
        bar.chassis.z_mm = bar.axle.z_mm.clone();
        bar.chassis.x_mm = bar.axle.x_mm.clone();
        let span = (bar.chassis.y_mm.value - bar.axle.y_mm.value).abs();
        axle.panhard = Some(bar);
        let sign = if up { 1.0 } else { -1.0 };
        let shift = |t: f64| -> Result<f64, TestCaseError> {
            let found = outputs(&axle, end, [sign * t; 2], 0.0)?;
            Ok(found.get(Output::LateralShift).unwrap())
        };
        let (near, far) = (shift(travel / 2.0)?, shift(travel)?);
        // Closed form of the arc, h²/2L, and its growth by the square.
        prop_assert!(far.abs() < 1.5 * travel * travel / (2.0 * span) + 0.2, "shift {far}");
        prop_assert!((far - 4.0 * near).abs() < 0.2 * far.abs() + 0.02, "{near} then {far}");
    }

    #[test]
    fn a_spacer_moves_the_wheel_and_nothing_else(
        (mut axle, end) in credible(),
        lift in 0.0..80.0,
        spacer in 5.0..50.0,
    ) {
        axle.sitting.lift_mm = Known::exact(lift);
        let plain = AxleModel::of(&truck(&axle, end), end, State::Sitting).unwrap();
        axle.sitting.spacer_mm = Known::exact(spacer);
        let spaced = AxleModel::of(&truck(&axle, end), end, State::Sitting).unwrap();
        for ride in plain.ride.into_iter().chain(spaced.ride) {
            prop_assert_eq!(ride.to_bits(), (-lift).to_bits());
        }
        let (a, b) = (reach(&plain, plain.ride)?, reach(&spaced, spaced.ride)?);
        prop_assert_eq!(a, b);
        prop_assert!((spaced.wheel_y - plain.wheel_y - spacer).abs() < 1e-9);
        // Scrub grows by the spacer, since the wheel moves out and the axis stays.
        let (a, b) = (attitude(&plain, &a, 0.0), attitude(&spaced, &b, 0.0));
        for side in [Output::ScrubLeft, Output::ScrubRight] {
            if let (Some(a), Some(b)) = (a.get(side), b.get(side)) {
                prop_assert!((b - a - spacer).abs() < 0.05 * spacer, "{side:?}: {a} to {b}");
            }
        }
    }

    #[test]
    fn travel_beyond_the_links_is_unreachable_not_another_assembly(
        (axle, end) in credible(),
        up in any::<bool>(),
    ) {
        let model = AxleModel::of(&truck(&axle, end), end, State::Stock).unwrap();
        let far = if up { 3000.0 } else { -3000.0 };
        let why = solve(&model, [far; 2]).expect_err("no truck reaches three metres");
        prop_assert!((0.0..1.0).contains(&why.fraction()), "{why:?}");
        prop_assert!(!matches!(why, Unreachable::Loose(_)), "{why}");
    }
}
