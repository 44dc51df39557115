//! Laws of linkages that hold whatever the numbers: parallelograms, equal and parallel bars, joints
//! that stay together, and what "so much of the way" means.

use crate::any_axle::{credible, reach, travel, truck};
use fitment::{
    axle::{
        AxleModel, Kind, Output, Path, Pose, Turn, Unreachable, attitude, attitude_turned, scene,
        solve, sweep,
    },
    tire,
    truck::{Axle, Bar, End, Layout, LayoutKind, Point, State, Steering},
};
use nalgebra::Vector3;
use proptest::prelude::*;

fn moved(point: &Point, by: Vector3<f64>) -> Point {
    let mut moved = point.clone();
    moved.x_mm.value += by.x;
    moved.y_mm.value += by.y;
    moved.z_mm.value += by.z;
    moved
}

/// A front axle on four links that are all the same vector, with a bar and a drag link that are the
/// same vector too.
fn parallelograms() -> impl Strategy<Value = Axle> {
    let link = (-950.0..-500.0, -60.0..60.0, -80.0..80.0);
    let bar = (-30.0..30.0, 550.0..900.0, -60.0..120.0);
    (link, bar, -200.0..250.0).prop_map(|((x, y, z), (bx, by, bz), high)| {
        let mut axle = Axle::typical(LayoutKind::FourLink, End::Front);
        let (link, bar) = (Vector3::new(x, y, z), Vector3::new(bx, by, bz));
        if let Layout::FourLink { lower_left, lower_right, upper_left, upper_right } =
            &mut axle.layout
        {
            let mirrored = |p: &Point| moved(p, Vector3::new(0.0, -2.0 * p.y_mm.value, 0.0));
            let along = |p: Point| Bar { chassis: moved(&p, link), axle: p };
            *lower_right = Some(along(mirrored(&lower_left.axle)));
            *lower_left = along(lower_left.axle.clone());
            *upper_right = Some(along(mirrored(&upper_left.axle)));
            *upper_left = along(upper_left.axle.clone());
        }
        let panhard = axle.panhard.as_mut().expect("a bar");
        panhard.chassis = moved(&panhard.axle, bar);
        let Steering { pitman, drag_link, .. } = axle.steering.as_mut().expect("a linkage");
        drag_link.end.z_mm.value = high;
        pitman.end = moved(&drag_link.end, bar);
        pitman.pivot = moved(&pitman.end, Vector3::new(160.0, 0.0, 40.0));
        axle
    })
}

/// Distances between the ends of what is drawn of one kind.
fn lengths(axle: &Axle, model: &AxleModel<f64>, pose: &Pose<f64>, steer: f64) -> Vec<(Kind, f64)> {
    let tire = tire::resolve(&axle.stock.tire, &axle.stock.wheel).expect("a typical tire");
    scene(axle, model, &tire, pose, Turn::Mean(steer), &attitude(model, pose, steer))
        .into_iter()
        .filter(|it| matches!(it.kind, Kind::TieRod | Kind::DragLink | Kind::PitmanArm))
        .map(|it| {
            let [a, b] = it.points[..] else { panic!("{it:?}") };
            (it.kind, (Vector3::from(a) - Vector3::from(b)).norm())
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Four equal and parallel links carry the axle along a circle without turning it.
    #[test]
    fn a_parallelogram_keeps_its_pitch(axle in parallelograms(), heave in -70.0..70.0) {
        let model = AxleModel::of(&truck(&axle, End::Front), End::Front, State::Stock).unwrap();
        let pose = reach(&model, [heave; 2])?;
        prop_assert!((pose.axle.turn - pose.axle.turn.map(f64::round)).amax() < 1e-9);
        let pinion = attitude(&model, &pose, 0.0).get(Output::Pinion).unwrap();
        prop_assert!((pinion - axle.pinion.angle_deg.value).abs() < 1e-7, "{pinion}");
    }

    /// A drag link of the bar's length and direction steers nothing as the axle goes up and down.
    #[test]
    fn a_drag_link_like_the_panhard_bar_steers_nothing(axle in parallelograms()) {
        let model = AxleModel::of(&truck(&axle, End::Front), End::Front, State::Stock).unwrap();
        for point in sweep(&model, Path::Heave, -60.0, 60.0, 15.0).unwrap().points {
            let found = point.found.unwrap();
            let of = |output| found.get(output).unwrap();
            for output in [
                Output::SteerLeft,
                Output::SteerRight,
                Output::Toe,
                Output::BumpSteerLeft,
                Output::BumpSteerRight,
                Output::BumpToe,
                Output::DragAngle,
                Output::DragLength,
            ] {
                prop_assert!(of(output).abs() < 1e-6, "{output:?} {} at {}", of(output), point.at);
            }
        }
    }

    /// Wherever axle and wheels go, the drag link, the tie rod and the pitman arm keep their length.
    #[test]
    fn rods_keep_their_length(
        (axle, end) in credible(),
        travel in travel(),
        steer in -0.5..0.5,
    ) {
        let model = AxleModel::of(&truck(&axle, end), end, State::Stock).unwrap();
        let home = lengths(&axle, &model, &solve(&model, [0.0; 2]).unwrap(), 0.0);
        prop_assert_eq!(home.len(), if axle.steering.is_some() { 3 } else { 0 });
        let there = lengths(&axle, &model, &reach(&model, travel)?, steer);
        // Nothing is drawn where the linkage locks before it gets there.
        prop_assert!(there.is_empty() || there.len() == home.len());
        for ((kind, length), (_, before)) in there.into_iter().zip(home) {
            prop_assert!((length - before).abs() < 1e-7, "{kind:?}: {before}, then {length}");
        }
    }

    #[test]
    fn straight_on_average_is_straight_on_average((axle, end) in credible(), travel in travel()) {
        let model = AxleModel::of(&truck(&axle, end), end, State::Stock).unwrap();
        let pose = reach(&model, travel)?;
        let found = attitude_turned(&model, &pose, Turn::Straight);
        if let (true, Some(left), Some(right)) = (
            axle.steering.is_some(),
            found.get(Output::SteerLeft),
            found.get(Output::SteerRight),
        ) {
            prop_assert!((left + right).abs() < 1e-8, "{left} {right}");
        }
    }

    /// Whatever lies before a position that is reached is reached, and the share of the way that an
    /// unreachable one gives is where the reach ends.
    #[test]
    fn the_reach_ends_where_it_says(
        (axle, end) in credible(),
        travel in [-260.0..200.0, -260.0..200.0_f64],
    ) {
        let model = AxleModel::of(&truck(&axle, end), end, State::Stock).unwrap();
        // Four links and a Watts linkage hold each other. Far out they fold, and a stride that steps
        // over the fold tells it a little late.
        prop_assume!(!(matches!(axle.layout, Layout::FourLink { .. }) && axle.watts.is_some()));
        let reached = solve(&model, travel);
        let ends = reached.as_ref().map_or_else(Unreachable::fraction, |_| 1.0);
        for share in [0.2, 0.5, 0.8, 0.97] {
            let part = solve(&model, travel.map(|t| t * ends * share));
            prop_assert!(part.is_ok(), "{share} of {ends}: {:?}", part.err());
        }
        if ends < 0.97 {
            let past = solve(&model, travel.map(|t| t * (ends + 0.02)));
            prop_assert!(past.is_err(), "{reached:?}, but past {ends} it is there");
        }
    }

    /// On an axle whose sides are mirror images the instant centre is where the links' lines cross in
    /// side view.
    #[test]
    fn the_instant_centre_is_where_the_links_cross(
        (mut axle, end) in credible(),
        moves in [-25.0..25.0, -25.0..25.0, -25.0..25.0, -25.0..25.0_f64],
    ) {
        axle.layout = Axle::typical(LayoutKind::Triangulated, end).layout;
        (axle.panhard, axle.watts) = (None, None);
        let Layout::FourLink { lower_left, upper_left, .. } = &mut axle.layout else {
            panic!("four links")
        };
        for (point, by) in [
            &mut lower_left.axle,
            &mut lower_left.chassis,
            &mut upper_left.axle,
            &mut upper_left.chassis,
        ]
        .into_iter()
        .zip(moves)
        {
            point.z_mm.value += by;
        }
        let line = |bar: &Bar| {
            let (a, c) = (Vector3::from(bar.axle.mm()), Vector3::from(bar.chassis.mm()));
            let slope = (c.z - a.z) / (c.x - a.x);
            (slope, a.z - slope * a.x)
        };
        let ((m, b), (n, c)) = (line(lower_left), line(upper_left));
        // Beyond 100 m the links count as parallel.
        prop_assume!((m - n).abs() > 0.02);
        let x = (c - b) / (m - n);
        let model = AxleModel::of(&truck(&axle, end), end, State::Stock).unwrap();
        let pose = solve(&model, [0.0; 2]).unwrap();
        let found = attitude(&model, &pose, 0.0);
        let at = |output| found.get(output).unwrap();
        let tolerance = 1e-6 * x.abs().max(1.0);
        prop_assert!((at(Output::InstantCentreX) - x).abs() < tolerance, "{x}");
        let above_ground = m * x + b + model.loaded_radius;
        prop_assert!((at(Output::InstantCentreZ) - above_ground).abs() < tolerance);
    }
}
