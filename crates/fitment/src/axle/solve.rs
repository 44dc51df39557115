//! Finds the pose for prescribed wheel travels, following the straight path from the design
//! position so that the answer stays on the assembly the truck was built in.

use super::{
    factored::{Factored, Freedom, free_motion},
    linkage::Linkage,
    model::AxleModel,
    pose::{Body, Pose, Step},
    real::{Real, at_rest},
    system::{self, is_rigid},
    track::Track,
};
use crate::truck::Side;
use nalgebra::Vector3;
use num_dual::{Dual64, HyperDual64};

/// Wheel travels from the stock position, mm, bump positive: left, right.
pub type Travel = [f64; 2];

/// Exact conditions are met to this, mm.
const MISS_TOLERANCE: f64 = 1e-10;
/// A pose has settled when its last step is under this, mm (rotations count 1 m of lever): steps
/// shrink quadratically, and what is left after this one is below 1e-11 mm.
const STEP_TOLERANCE: f64 = 1e-5;
/// After a step this small, mm, the matrix is good for more: each is then shorter than the one before by
/// about the same share.
const CHORD: f64 = 1.0;
/// A pose has settled when what such steps leave is under this, mm.
const LEFT: f64 = 1e-11;
/// A share by which they must be shorter, or the matrix is made anew.
const SHORTER: f64 = 0.1;
/// After a step this small, mm, the matrix is the one at the end of the step: it changes by as small a
/// share as the step is of the links' lengths, and so by less than 1e-11.
const SAME_MATRIX: f64 = 1e-9;
/// Newton steps allowed at one point of the path.
const MAX_STEPS: usize = 30;
/// Longest stretch of the path taken at once, mm of wheel travel.
const MAX_STRIDE: f64 = 40.0;
/// A pose is near by when no wheel is farther than this from it, mm of travel.
const NEAR: f64 = 60.0;
/// Longest and shortest stretch tried from there, as shares of the whole: all at once it was tried
/// before, and where a quarter is too far the way from stock is shorter.
const FROM_NEAR: [f64; 2] = [0.5, 0.25];
/// Shortest stretch tried before the path counts as ended, as a share of the whole.
const MIN_STRIDE: f64 = 1.0 / 65536.0;
/// Furthest a body may move in one stretch, as a multiple of the stretch plus a little slack, mm.
const LEAP: f64 = 3.0;
/// What may follow the tangent's step, as a share of it plus a little slack, mm: where the path folds
/// back the tangent runs away, and what lies beyond is another assembly.
const BEND: f64 = 0.3;
const BEND_SLACK: f64 = 0.05;
/// How much the path's direction may change in one stretch, as a share of the longer.
const TURN: f64 = 0.3;
/// An elastic member strained by more than this, mm, is broken or torn: the pose does not exist.
const TORN: f64 = 25.0;
/// When something tears is known when its strain is this near, mm, or after so many tries.
const TORN_WITHIN: f64 = 1e-3;
const MOST_TRIES: usize = 14;

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
        follow(model, &Pose::home(), 60.0, [1.0, MIN_STRIDE], None, parts).map_err(restart)?
    };
    let far = travel[0].abs().max(travel[1].abs());
    follow(model, &start, far, [1.0, MIN_STRIDE], Some(travel), |s| {
        (model.fitted, travel.map(|t| t * s))
    })
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
    match near_by(model, travel, near) {
        Some((pose, strain)) if strain <= TORN => Ok(pose),
        _ => solve(model, travel),
    }
}

/// The same where nobody asks why there is none.
pub(crate) fn reached_near(
    model: &AxleModel<f64>,
    travel: Travel,
    near: &Pose<f64>,
) -> Option<Pose<f64>> {
    match near_by(model, travel, near) {
        Some((pose, strain)) => (strain <= TORN).then_some(pose),
        None => solve(model, travel).ok(),
    }
}

/// The pose at the next of evenly spaced travels, from those at the last three, the last one first.
///
/// # Errors
/// As [`solve`].
pub(crate) fn solve_next(
    model: &AxleModel<f64>,
    travel: Travel,
    [last, before, first]: [&Pose<f64>; 3],
) -> Result<Pose<f64>, Unreachable> {
    let limbs = model.fitted.limbs().len();
    // On by as much again, and by how that changed.
    let mut on = Step::none();
    on.add(&last.since(before, limbs), limbs, 2.0);
    on.add(&before.since(first, limbs), limbs, -1.0);
    let mut ahead = *last;
    ahead.advance(&on, limbs, 1.0);
    solve_ahead(model, travel, last, &ahead).map(|reached| reached.pose)
}

/// The pose half-way between two near by, about which it lies; nothing where it does not.
pub(crate) fn reached_between(
    model: &AxleModel<f64>,
    travel: Travel,
    [from, to]: [&Pose<f64>; 2],
) -> Option<Pose<f64>> {
    let limbs = model.fitted.limbs().len();
    let mut half = *from;
    half.advance(&to.since(from, limbs), limbs, 0.5);
    let found = reached_ahead(model, travel, from, &half).map(|reached| reached.pose);
    found.or_else(|| reached_near(model, travel, from))
}

/// Where a near pose leads, and the largest strain there; `None` when it does not lead to `travel`.
fn near_by(model: &AxleModel<f64>, travel: Travel, near: &Pose<f64>) -> Option<(Pose<f64>, f64)> {
    match newton(model, &model.fitted, travel, near) {
        Some(found) if found.straight && close(near, &found.pose, MAX_STRIDE) => {
            Some((found.pose, found.strain))
        }
        // Nothing that tears on the way gets there.
        _ => in_strides(model, travel, near).map(|pose| (pose, 0.0)),
    }
}

/// The pose in strides short enough, where the near pose leads there: on rubber what is far for the
/// limbs is near for the wheels.
fn in_strides(model: &AxleModel<f64>, travel: Travel, near: &Pose<f64>) -> Option<Pose<f64>> {
    let from = Side::BOTH.map(|side| {
        let hub = Vector3::new(0.0, side.sign() * model.stock_wheel_y, 0.0);
        near.axle.point(&hub).z
    });
    let by = [travel[0] - from[0], travel[1] - from[1]];
    let far = by[0].abs().max(by[1].abs());
    let path = |s: f64| (model.fitted, [from[0] + s * by[0], from[1] + s * by[1]]);
    (0.0 < far && far <= NEAR)
        .then(|| follow(model, near, far, FROM_NEAR, Some(by), path).ok())
        .flatten()
}

/// The next point of a path, from how it went so far; and the matrix there, where the solution came
/// by one.
pub(crate) fn solve_along(
    model: &AxleModel<f64>,
    travel: Travel,
    track: &Track,
) -> Result<(Pose<f64>, Option<Factored>), Unreachable> {
    let ahead = track.ahead(travel, model.fitted.limbs().len());
    let Reached { pose, matrix } = solve_ahead(model, travel, &track.pose, &ahead)?;
    let there = matrix.filter(|(_, off)| *off < SAME_MATRIX);
    Ok((pose, there.map(|(matrix, _)| matrix)))
}

/// A pose, and the last matrix on the way there, where the solution came by one: of a pose about so far
/// from it, mm.
pub(crate) struct Reached {
    pub pose: Pose<f64>,
    pub matrix: Option<(Factored, f64)>,
}

/// The pose at `travel` from one near by that leads about to the one `ahead`.
pub(crate) fn solve_ahead(
    model: &AxleModel<f64>,
    travel: Travel,
    near: &Pose<f64>,
    ahead: &Pose<f64>,
) -> Result<Reached, Unreachable> {
    match reached_ahead(model, travel, near, ahead) {
        Some(reached) => Ok(reached),
        None => solve_near(model, travel, near).map(|pose| Reached { pose, matrix: None }),
    }
}

/// The same where it lies about there; nothing where it does not.
fn reached_ahead(
    model: &AxleModel<f64>,
    travel: Travel,
    near: &Pose<f64>,
    ahead: &Pose<f64>,
) -> Option<Reached> {
    let found = newton(model, &model.fitted, travel, ahead)?;
    (found.follows(near, ahead) && close(near, &found.pose, MAX_STRIDE) && found.strain <= TORN)
        .then_some(Reached { pose: found.pose, matrix: found.matrix })
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

/// How everything moves for a small travel of the two wheels, left and right.
pub(crate) fn motion(model: &AxleModel<f64>, factored: &Factored, travel: Travel) -> Step {
    let mut push = system::Rest::none();
    push.count = travel.len();
    for (miss, travel) in push.hard.iter_mut().zip(travel) {
        *miss = -travel;
    }
    factored.solve(&model.fitted, &push)
}

/// Carries the solution `pose` of the plain model over to one whose inputs carry derivatives, by
/// the implicit function theorem: one Newton step in dual numbers with the plain matrix. The step is how
/// the pose moves for a unit of the input; nothing where it does not hang on it.
pub(crate) fn with_slopes(
    model: &AxleModel<Dual64>,
    travel: [Dual64; 2],
    pose: &Pose<f64>,
    plain: &AxleModel<f64>,
    factored: &Factored,
) -> (Pose<Dual64>, Option<Step>) {
    let mut dual: Pose<Dual64> = pose.lift();
    if !model.moves(travel) {
        return (dual, None);
    }
    let rest = system::rest(&model.fitted, model.stock_wheel_y, travel, &dual).slopes();
    let step = factored.solve(&plain.fitted, &rest);
    dual.advance(&step, plain.fitted.limbs().len(), Dual64::input(0.0, true));
    (dual, Some(step))
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

/// Walks from `start` along `path(s)`, s from 0 to 1, of a length in mm, halving the stride where it
/// must, between the longest and the shortest share of the whole; `along` is how the travel grows with s,
/// where that is all that changes.
fn follow(
    model: &AxleModel<f64>,
    start: &Pose<f64>,
    length: f64,
    [longest, shortest]: [f64; 2],
    along: Option<Travel>,
    path: impl Fn(f64) -> (Linkage<f64>, Travel),
) -> Result<Pose<f64>, Unreachable> {
    let matrix = |s: f64, pose: &Pose<f64>| {
        let (linkage, travel) = path(s);
        let (rest, stiffness) = system::stiffness(&linkage, model.stock_wheel_y, travel, pose);
        Factored::of(&linkage, &rest, stiffness.as_ref(), pose)
            .ok_or_else(|| free_motion(&linkage, &rest, stiffness.as_ref()))
    };
    let heading = |factored: &Factored| along.map(|along| motion(model, factored, along));
    let mut here = *start;
    let mut done = 0.0_f64;
    let longest = (MAX_STRIDE / length.max(1e-12)).min(longest);
    let mut stride = longest;
    let first = matrix(0.0, &here).map_err(Unreachable::Loose)?;
    let orientation = first.orientation();
    let mut tangent = heading(&first);
    // The path's direction one point back, and how far back that is.
    let mut before: Option<(Step, f64)> = None;
    let mut strain = 0.0;
    while done < 1.0 {
        let next = if 1.0 - done <= stride * 1.000_001 { 1.0 } else { done + stride };
        let (linkage, travel) = path(next);
        let reached = match (&tangent, &before) {
            (Some(tangent), Some((before, back))) => {
                let limbs = linkage.limbs().len();
                let ahead = ahead(&here, (tangent, before), [next - done, *back], limbs);
                newton(model, &linkage, travel, &ahead).filter(|found| found.follows(&here, &ahead))
            }
            _ => newton(model, &linkage, travel, &here).filter(|found| found.straight),
        };
        let reached = reached.filter(|found| close(&here, &found.pose, (next - done) * length));
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
                    fraction: tears_at(model, &here, (done, strain), (next, found.strain), &path),
                });
            }
            before = tangent.map(|tangent| (tangent, next - done));
            here = found.pose;
            strain = found.strain;
            done = next;
            tangent = onward;
            stride = (stride * 2.0).min(longest);
        } else {
            stride = (next - done) * 0.5;
            if stride < shortest {
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

/// Where the path is about to be: along its direction here, bent on as it bent since the point before,
/// by Adams and Bashforth's formula for uneven steps.
fn ahead(
    here: &Pose<f64>,
    (tangent, before): (&Step, &Step),
    [stride, back]: [f64; 2],
    limbs: usize,
) -> Pose<f64> {
    let bend = 0.5 * stride / back;
    let mut way = Step::none();
    way.add(tangent, limbs, stride * (1.0 + bend));
    way.add(before, limbs, -stride * bend);
    let mut ahead = *here;
    ahead.advance(&way, limbs, 1.0);
    ahead
}

/// True when two directions of the path differ by no more than [`TURN`] of the longer.
fn agree(before: Option<&Step>, after: Option<&Step>) -> bool {
    let (Some(before), Some(after)) = (before, after) else { return true };
    let apart =
        Step { axle: after.axle - before.axle, crank: after.crank - before.crank, ..*before };
    apart.size(0) <= TURN * before.size(0).max(after.size(0))
}

/// The share of the path after which something would have torn: between `done`, with that strain, and
/// `next`, with that, by the rule of false position with the halving of Illinois (Dowell and Jarratt,
/// BIT 11, 1971).
fn tears_at(
    model: &AxleModel<f64>,
    here: &Pose<f64>,
    (done, holds): (f64, f64),
    (next, tears): (f64, f64),
    path: &impl Fn(f64) -> (Linkage<f64>, Travel),
) -> f64 {
    let (mut whole, mut torn) = ((done, holds - TORN), (next, tears - TORN));
    let mut near = *here;
    for _ in 0..MOST_TRIES {
        let share = whole.1 / (whole.1 - torn.1);
        let at = whole.0 + (torn.0 - whole.0) * share.clamp(0.0, 1.0);
        let (linkage, travel) = path(at);
        let Some(found) = newton(model, &linkage, travel, &near) else { break };
        near = found.pose;
        let off = found.strain - TORN;
        if off.abs() <= TORN_WITHIN {
            return at;
        }
        // An end that stays counts half the next time, or it would stay for long.
        if off <= 0.0 {
            whole = (at, off);
            torn.1 *= 0.5;
        } else {
            torn = (at, off);
            whole.1 *= 0.5;
        }
    }
    whole.0
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
    /// The last matrix, and how far the pose went from there, mm.
    matrix: Option<(Factored, f64)>,
}

impl Found {
    /// Whether it lies where it was looked for: what follows a prediction is measured against the
    /// prediction itself.
    fn follows(&self, from: &Pose<f64>, ahead: &Pose<f64>) -> bool {
        self.moved <= BEND * shift(from, ahead) + BEND_SLACK
    }
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
    let found = |pose, first: Option<f64>, rest_of_way, strain, matrix| {
        let straight = rest_of_way <= BEND * first.unwrap_or(0.0) + BEND_SLACK;
        let moved = rest_of_way + first.unwrap_or(0.0);
        Some(Found { pose, straight, moved, strain, matrix })
    };
    let rigid = is_rigid(linkage);
    let limbs = linkage.limbs().len();
    for _ in 0..MAX_STEPS {
        let (rest, stiffness) = system::stiffness(linkage, model.stock_wheel_y, travel, &pose);
        let miss = rest.miss();
        if !miss.is_finite() {
            return None;
        }
        // Where it was told to start is not taken on trust.
        if rigid && miss < MISS_TOLERANCE && first.is_some() {
            return found(pose, first, rest_of_way, rest.strain, None);
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
            return found(pose, first, rest_of_way, rest.strain, Some((factored, size)));
        }
        // Near the end the matrix hardly changes any more: a few steps with the same one settle it.
        let mut last = size;
        while last < CHORD {
            let rest = system::rest(linkage, model.stock_wheel_y, travel, &pose);
            let step = factored.solve(linkage, &rest);
            pose.advance(&step, limbs, 1.0);
            rest_of_way += step.size(0);
            let next = step.size(limbs);
            if next * next < LEFT * last {
                return found(pose, first, rest_of_way, rest.strain, Some((factored, size)));
            }
            if next >= SHORTER * last || next.is_nan() {
                break;
            }
            last = next;
        }
    }
    None
}

#[cfg(test)]
mod tests;
