//! Every output along a path: both wheels up and down, the axle crossed up, one wheel, the steering.

use super::{
    attitude::{Wheels, read},
    model::AxleModel,
    motion::Motions,
    output::Attitude,
    solve::{Unreachable, factored, solve_along, solve_near, solve_ride},
    steering::Turn,
    track::Track,
};

/// What moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Path {
    /// Both wheels together, mm from ride height, bump positive.
    Heave,
    /// The left wheel up and the right one down, mm each from ride height.
    Roll,
    /// The left wheel alone, mm from ride height.
    Left,
    /// The right wheel alone, mm from ride height.
    Right,
    /// The wheels' mean steer at ride height, degrees, left positive.
    Steer,
}

impl Path {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Heave, Self::Roll, Self::Left, Self::Right, Self::Steer];

    /// Travel of the left and right wheel for a step of 1.
    const fn wheels(self) -> [f64; 2] {
        match self {
            Self::Heave => [1.0, 1.0],
            Self::Roll => [1.0, -1.0],
            Self::Left => [1.0, 0.0],
            Self::Right => [0.0, 1.0],
            Self::Steer => [0.0, 0.0],
        }
    }
}

/// The most points of one sweep.
pub const MOST_POINTS: usize = 10_001;
/// The furthest a sweep goes either way, mm or degrees.
pub const FURTHEST: f64 = 1000.0;

/// A sweep that cannot be made.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum SweepError {
    /// A limit is not a number or too far.
    #[error("the sweep runs from {from} to {to}: both ends must be numbers within ±{FURTHEST}")]
    Range {
        /// Where it would start.
        from: f64,
        /// Where it would end.
        to: f64,
    },
    /// The step is not positive or makes too many points.
    #[error("a step of {step} makes no sweep: give one above 0 and at most {MOST_POINTS} points")]
    Step {
        /// The step.
        step: f64,
    },
    /// The axle has no rest position to start from.
    #[error(transparent)]
    Ride(#[from] Unreachable),
}

/// One point of a sweep.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SweepPoint {
    /// Where on the path, mm or degrees.
    pub at: f64,
    /// The outputs there, or why the axle does not get there.
    pub found: Result<Attitude<f64>, Unreachable>,
}

/// Every output along a path.
#[derive(Debug, Clone, PartialEq)]
pub struct Sweep {
    /// What moved.
    pub path: Path,
    /// In order from one end to the other.
    pub points: Vec<SweepPoint>,
}

/// Sweeps `model` along `path` from `from` to `to` in steps of `step`; the end is always a point.
///
/// While the wheels travel the pitman arm stays where the road wheels point straight ahead on average
/// at ride height.
///
/// # Errors
/// [`SweepError`] when the range makes no sweep or the axle has no rest position.
pub fn sweep(
    model: &AxleModel<f64>,
    path: Path,
    from: f64,
    to: f64,
    step: f64,
) -> Result<Sweep, SweepError> {
    if !(from.abs() <= FURTHEST && to.abs() <= FURTHEST) {
        return Err(SweepError::Range { from, to });
    }
    let steps = ((to - from).abs() / step).ceil();
    if step.is_nan() || step <= 0.0 || steps.is_nan() || steps >= MOST_POINTS as f64 {
        return Err(SweepError::Step { step });
    }
    let ride = solve_ride(model)?;
    let held = model
        .gear(&ride)
        .and_then(|gear| gear.solve(Turn::Straight))
        .map_or(Turn::Mean(0.0), |straight| Turn::Pitman(straight.pitman));
    let signed = if to < from { -step } else { step };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "checked to be a small whole number"
    )]
    let last = steps as usize;
    let mut track: Option<Track> = None;
    let mut wheels: Option<Wheels<f64>> = None;
    let points = (0..=last)
        .map(|i| {
            let at = if i == last { to } else { from + signed * i as f64 };
            let by = path.wheels();
            let travel = [0, 1].map(|w| model.ride[w] + by[w] * at);
            let turn = if path == Path::Steer { Turn::Mean(at.to_radians()) } else { held };
            let there = match &track {
                Some(track) => solve_along(model, travel, track),
                None => solve_near(model, travel, &ride).map(|pose| (pose, None)),
            };
            let found = there.map(|(pose, matrix)| {
                let matrix = matrix.or_else(|| factored(model, &pose));
                let motions = matrix.map(|matrix| Motions::of(model, &matrix));
                match (&motions, &mut track) {
                    (Some((_, steps)), Some(track)) => track.go(&pose, travel, steps),
                    (Some((_, steps)), None) => track = Some(Track::begin(&pose, travel, steps)),
                    (None, _) => track = None,
                }
                let motions = motions.as_ref().map(|(motions, _)| motions);
                let here = wheels.as_ref().map_or_else(
                    || Wheels::of(model, &pose, turn),
                    |near| Wheels::near(model, &pose, turn, near),
                );
                wheels = Some(here);
                read(model, &pose, motions, &here)
            });
            SweepPoint { at, found }
        })
        .collect();
    Ok(Sweep { path, points })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        axle::{Output, attitude_turned, solve},
        truck::{Axle, End, LayoutKind, State, Truck},
    };

    fn model(kind: LayoutKind) -> AxleModel<f64> {
        let mut axle = Axle::typical(kind, End::Front);
        axle.sitting.lift_mm.value = 60.0;
        AxleModel::of(&Truck::with_axle(axle, End::Front), End::Front, State::Sitting).unwrap()
    }

    #[test]
    fn each_point_is_what_a_solve_of_its_own_finds() {
        for kind in LayoutKind::ALL {
            let m = model(kind);
            let ride = solve_ride(&m).unwrap();
            let held = m.gear(&ride).unwrap().solve(Turn::Straight).unwrap().pitman;
            for path in Path::ALL {
                let sweep = sweep(&m, path, -40.0, 30.0, 3.5).unwrap();
                assert_eq!(sweep.points.len(), 21);
                for point in &sweep.points {
                    let by = path.wheels();
                    let travel = [0, 1].map(|w| m.ride[w] + by[w] * point.at);
                    let turn = match path {
                        Path::Steer => Turn::Mean(point.at.to_radians()),
                        _ => Turn::Pitman(held),
                    };
                    let alone = attitude_turned(&m, &solve(&m, travel).unwrap(), turn);
                    let found = point.found.unwrap();
                    for output in Output::ALL {
                        match (found.get(output), alone.get(output)) {
                            (Some(a), Some(b)) => assert!(
                                (a - b).abs() < 1e-7 * (1.0 + b.abs()),
                                "{kind:?} {path:?} {} {output:?}: {a} {b}",
                                point.at
                            ),
                            (a, b) => assert_eq!(a.is_some(), b.is_some(), "{kind:?} {output:?}"),
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn points_out_of_reach_say_why_and_the_rest_stand() {
        let m = model(LayoutKind::ThreeLink);
        let sweep = sweep(&m, Path::Heave, -900.0, 900.0, 50.0).unwrap();
        let reached = |p: &&SweepPoint| p.found.is_ok();
        let middle: Vec<_> = sweep.points.iter().skip_while(|p| !reached(p)).collect();
        let run = middle.iter().take_while(|p| reached(p)).count();
        assert!(run > 3 && run < sweep.points.len(), "{run}");
        assert!(middle[run..].iter().all(|p| p.found.is_err()), "one stretch is reached");
        let why = sweep.points[0].found.unwrap_err();
        assert!(matches!(why, Unreachable::OutOfReach { .. }), "{why}");
    }

    #[test]
    fn the_end_is_always_a_point_and_either_way_will_do() {
        let m = model(LayoutKind::ThreeLink);
        let at = |from, to, step| {
            let points = sweep(&m, Path::Left, from, to, step).unwrap().points;
            points.iter().map(|p| p.at).collect::<Vec<_>>()
        };
        assert_eq!(at(0.0, 10.0, 4.0), [0.0, 4.0, 8.0, 10.0]);
        assert_eq!(at(10.0, 0.0, 5.0), [10.0, 5.0, 0.0]);
        assert_eq!(at(3.0, 3.0, 1.0), [3.0]);
    }

    #[test]
    fn what_makes_no_sweep_is_refused() {
        let m = model(LayoutKind::ThreeLink);
        let with = |from, to, step| sweep(&m, Path::Heave, from, to, step).unwrap_err();
        for step in [0.0, -1.0, f64::NAN, 1e-9] {
            assert!(matches!(with(-10.0, 10.0, step), SweepError::Step { .. }), "{step}");
        }
        for end in [f64::NAN, f64::INFINITY, 1001.0] {
            assert!(matches!(with(0.0, end, 1.0), SweepError::Range { .. }), "{end}");
        }
    }
}
