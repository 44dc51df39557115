//! Finds the pose for prescribed wheel travels, following the straight path from the design
//! position so that the answer stays on the assembly the truck was built in.

use super::{
    factored::{Factored, Freedom, free_motion},
    linkage::Linkage,
    model::AxleModel,
    pose::{Body, Pose, Step},
    real::{Real, at_rest},
    system::{self, is_rigid},
};
use num_dual::{Dual64, HyperDual64};

/// Wheel travels from the stock position, mm, bump positive: left, right.
pub type Travel = [f64; 2];

/// Exact conditions are met to this, mm.
const MISS_TOLERANCE: f64 = 1e-10;
/// A pose has settled when its last step is under this, mm (rotations count 1 m of lever): steps
/// shrink quadratically, and what is left after this one is below 1e-11 mm.
const STEP_TOLERANCE: f64 = 1e-5;
/// After a step this small, mm, the matrix is good for one more.
const CHORD: f64 = 0.01;
/// Newton steps allowed at one point of the path.
const MAX_STEPS: usize = 30;
/// Longest stretch of the path taken at once, mm of wheel travel.
const MAX_STRIDE: f64 = 40.0;
/// Shortest stretch tried before the path counts as ended, as a share of the whole.
const MIN_STRIDE: f64 = 1.0 / 4096.0;
/// Furthest a body may move in one stretch, as a multiple of the stretch plus a little slack, mm.
const LEAP: f64 = 3.0;
/// What may follow the tangent's step, as a share of it plus a little slack, mm: where the path folds
/// back the tangent runs away, and what lies beyond is another assembly.
const BEND: f64 = 0.3;
const BEND_SLACK: f64 = 0.05;
/// How much the path's direction may change in one stretch, as a share of the longer.
const TURN: f64 = 0.5;
/// An elastic member strained by more than this, mm, is broken or torn: the pose does not exist.
const TORN: f64 = 25.0;

/// Why a pose does not exist.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Unreachable {
    /// The links run out, or lock, on the way.
    #[error("the links run out after {:.1} % of the way to this position: they are too short, or lock in line; there the axle is only free {freedom}", fraction * 100.0)]
    OutOfReach {
        /// Share of the straight path that was reached, 0 to 1.
        fraction: f64,
        /// The motion that the links leave free where they lock.
        freedom: Freedom,
    },
    /// Rubber or links would have to give more than they can.
    #[error("the arms or links bind: after {:.1} % of the way to this position something would have to give more than {TORN:.0} mm, more than rubber can", fraction * 100.0)]
    Binds {
        /// Share of the straight path that was reached, 0 to 1.
        fraction: f64,
    },
    /// The hardpoints leave the axle free to move some way even with both wheels held.
    #[error(
        "the hardpoints do not locate the axle: it is free {0}; two links lie in one line, coincide or have no length, or one is missing: check the points"
    )]
    Loose(Freedom),
    /// The travel asked for is not a number.
    #[error("the wheel travel is not a finite number: give millimetres from the stock position")]
    NoTravel,
}

impl Unreachable {
    /// Share of the straight path that was reached, 0 to 1.
    pub const fn fraction(&self) -> f64 {
        match self {
            Self::OutOfReach { fraction, .. } | Self::Binds { fraction } => *fraction,
            Self::Loose(_) | Self::NoTravel => 0.0,
        }
    }
}

/// The pose of `model` with its parts fitted, at the wheel travels asked for.
///
/// # Errors
/// [`Unreachable`] when no such pose exists on the design assembly.
pub fn solve(model: &AxleModel<f64>, travel: Travel) -> Result<Pose<f64>, Unreachable> {
    if !travel.iter().all(|t| t.is_finite()) {
        return Err(Unreachable::NoTravel);
    }
    // Parts first, at stock height, then the travel.
    let start = if model.fitted == model.design {
        Pose::home()
    } else {
        let parts = |s| (model.design.toward(&model.fitted, s), [0.0, 0.0]);
        follow(model, &Pose::home(), 60.0, None, parts).map_err(restart)?
    };
    let far = travel[0].abs().max(travel[1].abs());
    follow(model, &start, far, Some(travel), |s| (model.fitted, travel.map(|t| t * s)))
}

/// The pose at `travel` from a solved pose near by, as when a slider moves; falls back to the
/// whole path when the near pose does not lead there.
///
/// # Errors
/// As [`solve`].
pub fn solve_near(
    model: &AxleModel<f64>,
    travel: Travel,
    near: &Pose<f64>,
) -> Result<Pose<f64>, Unreachable> {
    match newton(model, &model.fitted, travel, near) {
        Some(found)
            if found.straight && close(near, &found.pose, MAX_STRIDE) && found.strain <= TORN =>
        {
            Ok(found.pose)
        }
        _ => solve(model, travel),
    }
}

/// The same along a path, where the motion of the pose before says where the next one must be.
pub(crate) fn solve_along(
    model: &AxleModel<f64>,
    travel: Travel,
    from: (&Pose<f64>, Travel, &[Step; 2]),
) -> Result<Pose<f64>, Unreachable> {
    let (near, was, motions) = from;
    let mut ahead = *near;
    let limbs = model.fitted.limbs().len();
    for wheel in [0, 1] {
        ahead.advance(&motions[wheel].scaled(travel[wheel] - was[wheel]), limbs, 1.0);
    }
    match newton(model, &model.fitted, travel, &ahead) {
        // What follows the tangent is measured against the tangent itself.
        Some(found)
            if found.moved <= BEND * shift(near, &ahead) + BEND_SLACK
                && close(near, &found.pose, MAX_STRIDE)
                && found.strain <= TORN =>
        {
            Ok(found.pose)
        }
        _ => solve_near(model, travel, near),
    }
}

/// How far the axle has gone, mm; a rotation counts by a lever of one metre.
fn shift(from: &Pose<f64>, to: &Pose<f64>) -> f64 {
    let turn = (from.axle.turn - to.axle.turn).amax() * 1000.0;
    (from.axle.shift - to.axle.shift).amax().max(turn)
}

/// The truck's own rest position in the model's state.
///
/// # Errors
/// As [`solve`].
pub fn solve_ride(model: &AxleModel<f64>) -> Result<Pose<f64>, Unreachable> {
    solve(model, model.ride)
}

/// The matrix of a pose, to ask how it changes; `None` where some motion is free.
pub(crate) fn factored(model: &AxleModel<f64>, pose: &Pose<f64>) -> Option<Factored> {
    // The prescribed travels do not enter the slopes.
    let (rest, stiffness) = system::stiffness(&model.fitted, model.stock_wheel_y, [0.0; 2], pose);
    Factored::of(&model.fitted, &rest, stiffness.as_ref(), pose)
}

/// How everything moves per millimetre of travel of one wheel, the other held.
pub(crate) fn motion(model: &AxleModel<f64>, factored: &Factored, wheel: usize) -> Step {
    let mut push = system::Rest::none(2);
    push.hard[wheel] = -1.0;
    factored.solve(&model.fitted, &push)
}

/// Carries the solution `pose` of the plain model over to one whose inputs carry derivatives, by
/// the implicit function theorem: one Newton step in dual numbers with the plain matrix.
pub(crate) fn with_slopes(
    model: &AxleModel<Dual64>,
    travel: [Dual64; 2],
    pose: &Pose<f64>,
    plain: &AxleModel<f64>,
    factored: &Factored,
) -> Pose<Dual64> {
    let mut dual: Pose<Dual64> = pose.lift();
    let rest = system::rest(&model.fitted, model.stock_wheel_y, travel, &dual).slopes();
    let step = factored.solve(&plain.fitted, &rest);
    dual.advance(&step, plain.fitted.limbs().len(), Dual64::input(0.0, true));
    dual
}

/// How the motion `step` of the plain model changes with the input that `model` and `pose` carry
/// the derivative of: the same theorem, one order up.
pub(crate) fn motion_slopes(
    model: &AxleModel<Dual64>,
    travel: [Dual64; 2],
    wheel: usize,
    pose: &Pose<Dual64>,
    step: &Step,
    plain: &AxleModel<f64>,
    factored: &Factored,
) -> Step {
    let moving = HyperDual64::new(0.0, 1.0, 0.0, 0.0);
    let mut moved = pose.map(&mut at_rest);
    moved.advance(step, plain.fitted.limbs().len(), moving);
    let mut travel = travel.map(at_rest);
    travel[wheel] += moving;
    let linkage = model.fitted.map(&mut at_rest);
    let rest = system::rest(&linkage, at_rest(model.stock_wheel_y), travel, &moved).slopes();
    factored.solve(&plain.fitted, &rest)
}

/// Walks from `start` along `path(s)`, s from 0 to 1, halving the stride where it must; `along` is how
/// the travel grows with s, where that is all that changes.
fn follow(
    model: &AxleModel<f64>,
    start: &Pose<f64>,
    length: f64,
    along: Option<Travel>,
    path: impl Fn(f64) -> (Linkage<f64>, Travel),
) -> Result<Pose<f64>, Unreachable> {
    let matrix = |s: f64, pose: &Pose<f64>| {
        let (linkage, travel) = path(s);
        let (rest, stiffness) = system::stiffness(&linkage, model.stock_wheel_y, travel, pose);
        Factored::of(&linkage, &rest, stiffness.as_ref(), pose)
            .ok_or_else(|| free_motion(&linkage, &rest, stiffness.as_ref()))
    };
    let heading = |factored: &Factored| {
        let mut push = system::Rest::none(2);
        let along = along?;
        push.hard[0] = -along[0];
        push.hard[1] = -along[1];
        Some(factored.solve(&model.fitted, &push))
    };
    let mut here = *start;
    let mut done = 0.0_f64;
    let longest = (MAX_STRIDE / length.max(1e-12)).min(1.0);
    let mut stride = longest;
    let first = matrix(0.0, &here).map_err(Unreachable::Loose)?;
    let orientation = first.orientation();
    let mut tangent = heading(&first);
    while done < 1.0 {
        let next = if 1.0 - done <= stride * 1.000_001 { 1.0 } else { done + stride };
        let (linkage, travel) = path(next);
        let reached = newton(model, &linkage, travel, &here)
            .filter(|found| found.straight && close(&here, &found.pose, (next - done) * length));
        // On the same assembly the conditions stand the same way round, and the path goes on in about
        // the same direction.
        let reached = reached.and_then(|found| {
            let matrix = matrix(next, &found.pose).ok()?;
            let onward = heading(&matrix);
            let same =
                matrix.orientation() == orientation && agree(tangent.as_ref(), onward.as_ref());
            same.then_some((found, onward))
        });
        if let Some((found, onward)) = reached {
            if found.strain > TORN {
                return Err(Unreachable::Binds {
                    fraction: tears_at(model, &here, done, next, &path),
                });
            }
            here = found.pose;
            done = next;
            tangent = onward;
            stride = (stride * 2.0).min(longest);
        } else {
            stride = (next - done) * 0.5;
            if stride < MIN_STRIDE {
                let (linkage, travel) = path(done);
                let (rest, stiffness) =
                    system::stiffness(&linkage, model.stock_wheel_y, travel, &here);
                let freedom = free_motion(&linkage, &rest, stiffness.as_ref());
                return Err(Unreachable::OutOfReach { fraction: done, freedom });
            }
        }
    }
    Ok(here)
}

/// True when two directions of the path differ by no more than half of the longer.
fn agree(before: Option<&Step>, after: Option<&Step>) -> bool {
    let (Some(before), Some(after)) = (before, after) else { return true };
    let apart =
        Step { axle: after.axle - before.axle, crank: after.crank - before.crank, ..*before };
    apart.size(0) <= TURN * before.size(0).max(after.size(0))
}

/// The share of the path between `done` and `next` after which something would have torn.
fn tears_at(
    model: &AxleModel<f64>,
    here: &Pose<f64>,
    done: f64,
    next: f64,
    path: &impl Fn(f64) -> (Linkage<f64>, Travel),
) -> f64 {
    let (mut whole, mut torn) = (done, next);
    for _ in 0..14 {
        let middle = f64::midpoint(whole, torn);
        let (linkage, travel) = path(middle);
        let holds = newton(model, &linkage, travel, here).is_some_and(|found| found.strain <= TORN);
        if holds {
            whole = middle;
        } else {
            torn = middle;
        }
    }
    whole
}

/// Fitting parts is the start of the path: nothing of the travel was reached.
const fn restart(why: Unreachable) -> Unreachable {
    match why {
        Unreachable::OutOfReach { freedom, .. } => {
            Unreachable::OutOfReach { fraction: 0.0, freedom }
        }
        other => other,
    }
}

/// True when no body leapt: it moved about as far as the wheels did.
fn close(from: &Pose<f64>, to: &Pose<f64>, stretch: f64) -> bool {
    let limit = LEAP * stretch + 20.0;
    let near = |a: &Body<f64>, b: &Body<f64>| {
        (a.shift - b.shift).norm() < limit && (a.turn - b.turn).norm() < 0.5
    };
    near(&from.axle, &to.axle)
}

/// What Newton's method settled on.
struct Found {
    pose: Pose<f64>,
    /// True when little followed the first step, which goes along the path's tangent.
    straight: bool,
    /// How far the axle went in all, mm.
    moved: f64,
    /// The largest strain, mm.
    strain: f64,
}

/// Newton's method from `near`; `None` when it does not settle.
fn newton(
    model: &AxleModel<f64>,
    linkage: &Linkage<f64>,
    travel: Travel,
    near: &Pose<f64>,
) -> Option<Found> {
    let mut pose = *near;
    let (mut first, mut rest_of_way) = (None, 0.0);
    let found = |pose, first: Option<f64>, rest_of_way, strain| {
        let straight = rest_of_way <= BEND * first.unwrap_or(0.0) + BEND_SLACK;
        let moved = rest_of_way + first.unwrap_or(0.0);
        Some(Found { pose, straight, moved, strain })
    };
    let rigid = is_rigid(linkage);
    let limbs = linkage.limbs().len();
    for _ in 0..MAX_STEPS {
        let (rest, stiffness) = system::stiffness(linkage, model.stock_wheel_y, travel, &pose);
        let miss = rest.miss();
        if !miss.is_finite() {
            return None;
        }
        if rigid && miss < MISS_TOLERANCE {
            return found(pose, first, rest_of_way, rest.strain);
        }
        let factored = Factored::of(linkage, &rest, stiffness.as_ref(), &pose)?;
        let step = factored.solve(linkage, &rest);
        let size = step.size(limbs);
        if !size.is_finite() || size > 2000.0 {
            return None;
        }
        let way = step.size(0);
        if first.is_none() {
            first = Some(way);
        } else {
            rest_of_way += way;
        }
        pose.advance(&step, limbs, 1.0);
        if size < STEP_TOLERANCE {
            return found(pose, first, rest_of_way, rest.strain);
        }
        // Near the end the matrix hardly changes any more: one step with the same one settles it.
        if size < CHORD {
            let rest = system::rest(linkage, model.stock_wheel_y, travel, &pose);
            let step = factored.solve(linkage, &rest);
            pose.advance(&step, limbs, 1.0);
            rest_of_way += step.size(0);
            if step.size(limbs) < STEP_TOLERANCE {
                return found(pose, first, rest_of_way, rest.strain);
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        axle::{Output, answer, answer_at, attitude},
        measure::Known,
        truck::{Axle, Bar, Carrier, End, Layout, LayoutKind, Part, Point, State, Truck, Watts},
    };

    fn point(x: f64, y: f64, z: f64) -> Point {
        Point { x_mm: Known::exact(x), y_mm: Known::exact(y), z_mm: Known::exact(z) }
    }

    fn bar(a: [f64; 3], c: [f64; 3]) -> Bar {
        Bar { axle: point(a[0], a[1], a[2]), chassis: point(c[0], c[1], c[2]) }
    }

    /// Three level, parallel links so long that the axle moves straight up and down.
    fn lift_table(length: f64, rise: f64) -> Axle {
        let mut axle = Axle::typical(LayoutKind::ThreeLink, End::Front);
        let far = -1e7;
        axle.layout = Layout::ThreeLink {
            lower_left: bar([0.0, 450.0, -50.0], [far, 450.0, -50.0]),
            lower_right: None,
            upper: bar([0.0, -200.0, 150.0], [far, -200.0, 150.0]),
        };
        let span = (length * length - rise * rise).sqrt();
        axle.panhard = Some(bar([0.0, -450.0, 0.0], [0.0, -450.0 + span, rise]));
        axle
    }

    fn shift(axle: &Axle, travel: f64) -> f64 {
        let model =
            AxleModel::of(&Truck::with_axle(axle.clone(), End::Front), End::Front, State::Stock)
                .unwrap();
        let pose = solve(&model, [travel; 2]).unwrap();
        attitude(&model, &pose, 0.0).get(Output::LateralShift).unwrap()
    }

    #[test]
    fn panhard_arc_follows_its_closed_form() {
        // The axle end stays on a circle: span goes from sqrt(L² − v²) to sqrt(L² − (v − travel)²).
        let axle = lift_table(900.0, 60.0);
        for travel in [-100.0, -50.0, 60.0, 120.0] {
            let rise: f64 = 60.0 - travel;
            let want = (900.0_f64.powi(2) - 60.0_f64.powi(2)).sqrt()
                - (900.0_f64.powi(2) - rise * rise).sqrt();
            let got = shift(&axle, travel);
            assert!((got - want).abs() < 1e-6, "travel {travel}: got {got}, want {want}");
        }
    }

    #[test]
    fn a_bar_too_short_is_unreachable_and_says_how_far() {
        let axle = lift_table(200.0, 60.0);
        let model =
            AxleModel::of(&Truck::with_axle(axle.clone(), End::Front), End::Front, State::Stock)
                .unwrap();
        // The bar stands upright when the axle has dropped 140 mm: 140 of 160.
        let why = solve(&model, [-160.0; 2]).unwrap_err();
        assert!(matches!(why, Unreachable::OutOfReach { .. }), "{why}");
        assert!((why.fraction() - 140.0 / 160.0).abs() < 1e-3, "{why:?}");
    }

    #[test]
    fn links_that_bind_say_how_far_they_gave() {
        // Upper links a third as long as the lower: the axle wants two pitches at once when it
        // is crossed up, until the links would have to stretch.
        let mut axle = Axle::typical(LayoutKind::FourLink, End::Rear);
        if let Layout::FourLink { upper_left, .. } = &mut axle.layout {
            upper_left.chassis.x_mm = Known::exact(260.0);
            upper_left.chassis.z_mm = Known::exact(230.0);
        }
        let model =
            AxleModel::of(&Truck::with_axle(axle.clone(), End::Rear), End::Rear, State::Stock)
                .unwrap();
        let whole = [420.0, -420.0];
        let Err(why @ Unreachable::Binds { .. }) = solve(&model, whole) else {
            panic!("{:?}", solve(&model, whole));
        };
        let at = |share: f64| solve(&model, whole.map(|t| t * share));
        assert!(why.fraction() > 0.05 && why.fraction() < 1.0, "{why:?}");
        assert!(at(why.fraction()).is_ok(), "{why:?}");
        assert!(at(why.fraction() + 0.01).is_err(), "{why:?}");
    }

    #[test]
    fn every_layout_keeps_its_conditions_at_both_ends() {
        for end in [End::Front, End::Rear] {
            for (kind, axle) in every_kind(end) {
                let model =
                    AxleModel::of(&Truck::with_axle(axle.clone(), end), end, State::Stock).unwrap();
                for travel in [[0.0, 0.0], [-75.0, -75.0], [60.0, -40.0], [-120.0, 30.0]] {
                    let pose = solve(&model, travel)
                        .unwrap_or_else(|e| panic!("{kind} {end:?} {travel:?} {e}"));
                    let rest = system::rest(&model.fitted, model.stock_wheel_y, travel, &pose);
                    assert!(rest.miss() <= 1e-9, "{kind:?} {end:?} {travel:?} {}", rest.miss());
                    // Forces balance to a millinewton on bushes of kilonewtons per millimetre.
                    assert!(rest.axle.amax() < 1e-2, "{kind:?} {travel:?} {}", rest.axle);
                    let turn = pose.axle.turn;
                    assert!(
                        (turn * turn.transpose() - nalgebra::Matrix3::identity()).amax() < 1e-12
                    );
                }
            }
        }
    }

    #[test]
    fn stiff_rubber_turns_the_axle_as_a_rigid_arm_does() {
        // Caster lost = asin(v2/L) − asin(v1/L) for an arm clamped to the axle, pivot to axle
        // centreline v and L apart (derived from the rigid triangle).
        let mut axle = Axle::typical(LayoutKind::RadiusArms, End::Front);
        if let Layout::RadiusArms { left, axle_bush, chassis_bush, .. } = &mut axle.layout {
            // Arms straight ahead and a bar too long to pull sideways: the triangle lies in a plane.
            axle.panhard = Some(bar([95.0, -470.0, 90.0], [95.0, 1e6, 90.0]));
            left.chassis.y_mm.value = left.axle_far.y_mm.value;
            for b in [axle_bush, chassis_bush] {
                b.radial_n_per_mm = Known::exact(1e6);
                b.axial_n_per_mm = Known::exact(100.0);
                b.torsion_nm_per_deg = Known::exact(0.0);
                b.conical_nm_per_deg = Known::exact(15.0);
            }
        }
        let model =
            AxleModel::of(&Truck::with_axle(axle.clone(), End::Front), End::Front, State::Stock)
                .unwrap();
        let caster = |drop: f64| {
            let pose = solve(&model, [-drop; 2]).unwrap();
            attitude(&model, &pose, 0.0).get(Output::Caster).unwrap()
        };
        let length = 890.0_f64.hypot(60.0);
        let want = ((135.0 / length).asin() - (60.0 / length).asin()).to_degrees();
        let got = caster(0.0) - caster(75.0);
        assert!((got - want).abs() < 0.001, "got {got}, want {want}");
    }

    #[test]
    fn stock_to_lift_and_back_returns() {
        let axle = Axle::typical(LayoutKind::RadiusArms, End::Front);
        let model =
            AxleModel::of(&Truck::with_axle(axle.clone(), End::Front), End::Front, State::Stock)
                .unwrap();
        let up = solve(&model, [-75.0, -60.0]).unwrap();
        let back = solve_near(&model, [0.0, 0.0], &up).unwrap();
        assert!(back.axle.shift.amax() < 1e-8, "{}", back.axle.shift);
    }

    #[test]
    fn a_mirrored_truck_mirrors_exactly_the_odd_outputs() {
        let odd = [Output::LateralShift, Output::AxleSteer, Output::Roll];
        for kind in LayoutKind::ALL {
            let axle = Axle::typical(kind, End::Front);
            let mirror = mirrored(&axle);
            let at = |axle: &Axle, l, r| {
                answer_at(
                    &Truck::with_axle(axle.clone(), End::Front),
                    End::Front,
                    State::Stock,
                    [Some(l), Some(r)],
                    0.0,
                )
                .unwrap()
                .attitude
            };
            let (a, b) = (at(&axle, 40.0, -70.0), at(&mirror, -70.0, 40.0));
            for output in odd {
                let (a, b) = (a.get(output).unwrap(), b.get(output).unwrap());
                assert!((a + b).abs() < 1e-7, "{kind:?} {output:?}: {a} {b}");
            }
            for output in
                [Output::Caster, Output::Pinion, Output::Panhard, Output::RollCentreHeight]
            {
                let (Some(a), Some(b)) = (a.get(output), b.get(output)) else { continue };
                assert!((a - b).abs() < 1e-6, "{kind:?} {output:?}: {a} {b}");
            }
        }
    }

    fn mirrored(axle: &Axle) -> Axle {
        let flip = |p: &mut Point| p.y_mm.value = -p.y_mm.value;
        let flip_bar = |b: &mut Bar| {
            flip(&mut b.axle);
            flip(&mut b.chassis);
        };
        let mut m = axle.clone();
        if let Some(bar) = &mut m.panhard {
            flip_bar(bar);
        }
        // Symmetric pairs mirror into themselves; only the single upper link is on one side.
        if let Layout::ThreeLink { upper, .. } = &mut m.layout {
            flip_bar(upper);
        }
        m
    }

    #[test]
    fn a_parallelogram_four_link_does_not_pitch() {
        let mut axle = Axle::typical(LayoutKind::FourLink, End::Rear);
        axle.layout = Layout::FourLink {
            lower_left: bar([0.0, 450.0, -60.0], [700.0, 450.0, -40.0]),
            lower_right: None,
            upper_left: bar([20.0, 300.0, 140.0], [720.0, 300.0, 160.0]),
            upper_right: None,
        };
        let model =
            AxleModel::of(&Truck::with_axle(axle.clone(), End::Rear), End::Rear, State::Stock)
                .unwrap();
        for travel in [-100.0, -30.0, 70.0] {
            let pose = solve(&model, [travel; 2]).unwrap();
            let pitch = pose.axle.turn[(0, 2)];
            assert!(pitch.abs() < 1e-9, "travel {travel}: pitch {pitch}");
        }
    }

    #[test]
    fn slopes_agree_with_differences() {
        // A second method: central differences of the whole solve, every output by inputs of every
        // kind.
        for (kind, mut axle) in every_kind(End::Front) {
            axle.sitting.lift_mm = Known::exact(75.0);
            axle.sitting.lift_right_mm = Some(Known::exact(60.0));
            if let Some(steering) = &mut axle.steering {
                steering.drag_link.end.z_mm.value += 20.0;
            }
            let truck = Truck::with_axle(axle, End::Front);
            let get = |truck: &Truck| {
                answer_at(truck, End::Front, State::Sitting, [None; 2], 0.2).unwrap()
            };
            let found = get(&truck);
            for path in found.inputs().map(|i| i.path.clone()).collect::<Vec<_>>() {
                let moved = |d: f64| {
                    let mut truck = truck.clone();
                    by_path(&mut truck, &path)?.value += d;
                    Some(get(&truck).attitude)
                };
                let value = found.inputs().find(|i| i.path == path).unwrap().value;
                let d = if path.contains("n_per_mm") { value * 2e-3 } else { 0.1 };
                let at = [moved(-2.0 * d), moved(-d), moved(d), moved(2.0 * d)];
                let [Some(a), Some(b), Some(c), Some(e)] = at else { continue };
                for output in Output::ALL {
                    let Some(got) = found.slope(&path, output) else { continue };
                    // Far away the instant centre bends too fast for differences.
                    let far =
                        found.attitude.get(Output::InstantCentreX).is_none_or(|x| x.abs() > 8e3);
                    if far && matches!(output, Output::InstantCentreX | Output::InstantCentreZ) {
                        continue;
                    }
                    // Fourth order: what is left goes with d⁴.
                    let v = |at: &crate::axle::Attitude<f64>| at.get(output).unwrap();
                    let want = (v(&a) - v(&e) + 8.0 * (v(&c) - v(&b))) / (12.0 * d);
                    // What rounding leaves of a difference of two solves.
                    let noise = 1e-8 * (1.0 + found.attitude.get(output).unwrap().abs());
                    assert!(
                        (got - want).abs() < 1e-5 * want.abs() + noise,
                        "{kind:?} {path} {output:?}: got {got}, want {want}"
                    );
                }
            }
        }
    }

    /// A typical axle of every layout, and with a Watts linkage those that can have one.
    fn every_kind(end: End) -> Vec<(String, Axle)> {
        let mut all = Vec::new();
        for kind in LayoutKind::ALL {
            let axle = Axle::typical(kind, end);
            all.push((format!("{kind:?}"), axle.clone()));
            if axle.panhard.is_some() {
                for crank_on in [Carrier::Axle, Carrier::Chassis] {
                    let mut axle = axle.clone();
                    axle.panhard = None;
                    let mut watts = Watts::typical(end);
                    if crank_on == Carrier::Chassis {
                        watts.crank_on = crank_on;
                        for link in [&mut watts.left, &mut watts.right] {
                            std::mem::swap(&mut link.axle, &mut link.chassis);
                        }
                    }
                    axle.watts = Some(watts);
                    all.push((format!("{kind:?} with Watts on the {crank_on:?}"), axle));
                }
            }
        }
        all
    }

    /// A few inputs of each kind.
    fn by_path<'a>(truck: &'a mut Truck, path: &str) -> Option<&'a mut Known> {
        let axle = match path.strip_prefix("truck.") {
            Some("wheelbase_mm") => return Some(&mut truck.wheelbase_mm),
            Some("balance.cg_height_mm") => return Some(&mut truck.balance.cg_height_mm),
            _ => truck.front.as_mut()?,
        };
        let (first, rest) = path.split_once('.').unwrap_or((path, ""));
        let xyz = |p: &'a mut Point, last: &str| match last {
            "x_mm" => Some(&mut p.x_mm),
            "y_mm" => Some(&mut p.y_mm),
            _ => Some(&mut p.z_mm),
        };
        let bar = |b: &'a mut Bar, rest: &str| match rest.split_once('.')? {
            ("axle", last) => xyz(&mut b.axle, last),
            (_, last) => xyz(&mut b.chassis, last),
        };
        match (first, rest) {
            ("panhard", rest) => bar(axle.panhard.as_mut()?, rest),
            ("watts", rest) => {
                let w = axle.watts.as_mut()?;
                match rest.split_once('.')? {
                    ("pivot", last) => xyz(&mut w.pivot, last),
                    ("left", rest) => bar(&mut w.left, rest),
                    (_, rest) => bar(&mut w.right, rest),
                }
            }
            ("spring", rest) => bar(axle.spring.as_mut()?, rest),
            ("kingpin", "caster_deg") => Some(&mut axle.kingpin.as_mut()?.caster_deg),
            ("kingpin", "hub_offset_mm") => Some(&mut axle.kingpin.as_mut()?.hub_offset_mm),
            ("steering", rest) => {
                let s = axle.steering.as_mut()?;
                let (part, rest) = rest.split_once('.')?;
                let (point, last) = rest.split_once('.')?;
                match (part, point) {
                    ("pitman", "pivot") => xyz(&mut s.pitman.pivot, last),
                    ("pitman", _) => xyz(&mut s.pitman.end, last),
                    ("drag_link", _) => xyz(&mut s.drag_link.end, last),
                    _ => xyz(&mut s.tie_rod.left, last),
                }
            }
            ("layout", rest) => {
                let (member, rest) = rest.split_once('.')?;
                match (&mut axle.layout, member) {
                    (Layout::RadiusArms { left, .. }, "left") => match rest.split_once('.')? {
                        ("axle_far", last) => xyz(&mut left.axle_far, last),
                        ("axle_near", last) => xyz(&mut left.axle_near, last),
                        (_, last) => xyz(&mut left.chassis, last),
                    },
                    (Layout::RadiusArms { axle_bush, .. }, "axle_bush") => match rest {
                        "radial_n_per_mm" => Some(&mut axle_bush.radial_n_per_mm),
                        "conical_nm_per_deg" => Some(&mut axle_bush.conical_nm_per_deg),
                        _ => None,
                    },
                    (Layout::ThreeLink { upper, .. }, "upper") => bar(upper, rest),
                    (Layout::FourLink { lower_left, .. }, "lower_left") => bar(lower_left, rest),
                    (Layout::FourLink { upper_left, .. }, "upper_left") => bar(upper_left, rest),
                    (Layout::LeafSprings { left, .. }, "left") => match rest.split_once('.')? {
                        ("seat", last) => xyz(&mut left.seat, last),
                        ("fixed_eye", last) => xyz(&mut left.fixed_eye, last),
                        ("shackle_eye", last) => xyz(&mut left.shackle_eye, last),
                        (_, last) => xyz(&mut left.shackle_chassis, last),
                    },
                    (Layout::LeafSprings { rates, .. }, "rates") => match rest {
                        "vertical_n_per_mm" => Some(&mut rates.vertical_n_per_mm),
                        "clamped_mm" => Some(&mut rates.clamped_mm),
                        _ => None,
                    },
                    _ => None,
                }
            }
            _ => None,
        }
    }

    #[test]
    fn what_degenerate_hardpoints_leave_free_is_named() {
        type Change = fn(&mut Axle);
        let upper = |axle: &mut Axle, with: Bar| {
            if let Layout::ThreeLink { upper, .. } = &mut axle.layout {
                *upper = with;
            }
        };
        let cases: [(&str, Change, &str); 6] = [
            ("no upper link", |a| zero_length(a), "to turn about its own tube"),
            ("links in one place", |a| duplicate(a), "to turn about its own tube"),
            ("an upright bar", |a| upright(a), "to slide sideways"),
            ("no bar", |a| a.panhard = None, "to slide sideways"),
            ("a bar along the links", |a| along(a), "to slide sideways"),
            ("a bar of no length", |a| no_bar(a), "to slide sideways"),
        ];
        fn zero_length(a: &mut Axle) {
            if let Layout::ThreeLink { upper, .. } = &mut a.layout {
                upper.chassis = upper.axle.clone();
            }
        }
        fn duplicate(a: &mut Axle) {
            if let Layout::ThreeLink { lower_left, upper, .. } = &mut a.layout {
                *upper = lower_left.clone();
            }
        }
        fn upright(a: &mut Axle) {
            let bar = a.panhard.as_mut().unwrap();
            bar.chassis = bar.axle.clone();
            bar.chassis.z_mm.value += 300.0;
        }
        fn along(a: &mut Axle) {
            let bar = a.panhard.as_mut().unwrap();
            bar.chassis = bar.axle.clone();
            bar.chassis.x_mm.value -= 700.0;
        }
        fn no_bar(a: &mut Axle) {
            let bar = a.panhard.as_mut().unwrap();
            bar.chassis = bar.axle.clone();
        }
        for (name, change, free) in cases {
            let mut axle = lift_table(900.0, 60.0);
            // Links of a length that pitch and slide do not share.
            upper(&mut axle, bar([0.0, -200.0, 150.0], [-700.0, -200.0, 150.0]));
            change(&mut axle);
            let truck = Truck::with_axle(axle, End::Front);
            let model = AxleModel::of(&truck, End::Front, State::Stock).unwrap();
            let why = solve(&model, [-50.0; 2]).unwrap_err();
            assert!(matches!(why, Unreachable::Loose(_)), "{name}: {why}");
            assert!(why.to_string().contains(free), "{name}: {why}");
            assert!(solve(&model, [f64::NAN, 0.0]).is_err());
        }
    }

    #[test]
    fn where_links_lock_the_free_motion_is_named() {
        // The bar stands upright at the end of its reach: nothing holds the axle sideways there.
        let truck = Truck::with_axle(lift_table(200.0, 60.0), End::Front);
        let model = AxleModel::of(&truck, End::Front, State::Stock).unwrap();
        let why = solve(&model, [-160.0; 2]).unwrap_err();
        assert!(why.to_string().contains("free to slide sideways"), "{why}");
    }

    #[test]
    fn caster_bushes_turn_the_axle_by_their_angle() {
        let mut axle = Axle::typical(LayoutKind::RadiusArms, End::Front);
        let at = |axle: &Axle| {
            answer(&Truck::with_axle(axle.clone(), End::Front), End::Front, State::Planned)
                .unwrap()
                .attitude
                .get(Output::Caster)
                .unwrap()
        };
        let before = at(&axle);
        axle.planned.parts =
            vec![Part::CasterBush { angle_deg: Known::exact(3.0), choices_deg: vec![3.0] }];
        let after = at(&axle);
        // The axle turns about the middle of its bushes, which lie 30 mm under its centreline, so
        // at held wheel height the arm itself swings by only thousandths of a degree.
        assert!((after - before - 3.0).abs() < 0.05, "{before} -> {after}");
    }

    #[test]
    fn the_example_shows_what_a_lift_does() {
        let truck = Truck::example();
        let front = truck.front.as_ref().unwrap();
        let stock =
            answer(&Truck::with_axle(front.clone(), End::Front), End::Front, State::Stock).unwrap();
        let now = answer(&Truck::with_axle(front.clone(), End::Front), End::Front, State::Sitting)
            .unwrap();
        let get = |a: &super::super::Answer, o| a.attitude.get(o).unwrap();
        assert!(get(&stock, Output::LateralShift).abs() < 1e-9);
        // The chassis end is on the left and the bar steepens: the axle goes left.
        assert!(get(&now, Output::LateralShift) > 4.0);
        assert!(get(&now, Output::Caster) < get(&stock, Output::Caster) - 3.0);
        assert!(get(&now, Output::Panhard) > get(&stock, Output::Panhard) + 3.0);
    }
}
