//! The equations of a pose: which conditions hold exactly, and what the rubber and the over-many
//! links have to say.
//!
//! Exact conditions (`c = 0`): each stock wheel centre stands at its prescribed travel; rigid links,
//! the bar and a Watts linkage keep their lengths. Energy (least under those conditions): bushes by
//! the law on [`crate::truck::BushRates`]; where links are more than the freedoms, ½·(change of
//! length)² each, all alike. Only vertical forces act at the wheel centres, since only their heights
//! are prescribed.
//!
//! Slopes and second slopes are by steps of [`Body::step`]: shift, then rotation vector about the
//! body's own origin, chassis axes. Second derivatives of rotations are those of the exponential map
//! (Rodrigues), so that Newton's method converges quadratically on rubber too.

use super::{
    bush::{self, Pull},
    linkage::{Bush, Link, Linkage, MAX_LIMBS},
    pose::{Body, MAX_HARD, Pose},
    real::{Real, norm},
    watts,
};
use crate::truck::Side;
use nalgebra::{Matrix3, Matrix6, Vector3, Vector6};

/// What holds at a pose and by how much it is missed.
pub(crate) struct Rest<T> {
    /// Slope of the energy by the axle's step, holding forces included.
    pub axle: Vector6<T>,
    /// The same by each limb's step.
    pub limbs: [Vector6<T>; MAX_LIMBS],
    /// By how much each exact condition is missed, mm.
    pub hard: [T; MAX_HARD],
    /// How many exact conditions there are.
    pub count: usize,
    /// Slope of each exact condition by the axle's step.
    pub slope: [Vector6<T>; MAX_HARD],
}

/// Second slopes of the energy, holding forces included.
pub(crate) struct Stiffness {
    /// By the axle's step twice.
    pub axle: Matrix6<f64>,
    /// By each limb's step twice.
    pub own: [Matrix6<f64>; MAX_LIMBS],
    /// By each limb's step and that of the body it hangs on.
    pub cross: [Matrix6<f64>; MAX_LIMBS],
}

/// True when there are as many exact conditions as freedoms.
pub(crate) const fn is_rigid<T: Real>(linkage: &Linkage<T>) -> bool {
    linkage.limbs().is_empty() && conditions(linkage) == 4
}

/// True when links must give along their length: they are more than the freedoms.
const fn gives<T: Real>(linkage: &Linkage<T>) -> bool {
    linkage.limbs().is_empty() && conditions(linkage) > 4
}

/// Links, bar and Watts linkage: one condition each.
const fn conditions<T: Real>(linkage: &Linkage<T>) -> usize {
    linkage.links().len() + linkage.panhard.is_some() as usize + linkage.watts.is_some() as usize
}

/// Which body a limb hangs on: the limb before it, or the axle.
pub(crate) fn parent<T: Real>(linkage: &Linkage<T>, limb: usize) -> Option<usize> {
    let before = limb.checked_sub(1)?;
    linkage.limbs().get(before).is_some_and(|l| l.to_next.is_some()).then_some(before)
}

/// The conditions and slopes at a pose for the prescribed wheel travels.
pub(crate) fn rest<T: Real>(
    linkage: &Linkage<T>,
    wheel_y: T,
    travel: [T; 2],
    pose: &Pose<T>,
) -> Rest<T> {
    let mut rest = lengths(linkage, wheel_y, travel, pose);
    for_bushes(linkage, pose, |limb, bush, body, other| {
        rest.pulled(limb, other, &bush::pull(bush, &pose.limbs[limb], body));
    });
    rest
}

/// The same without what the rubber says.
fn lengths<T: Real>(linkage: &Linkage<T>, wheel_y: T, travel: [T; 2], pose: &Pose<T>) -> Rest<T> {
    let zero = T::from(0.0);
    let none = Vector6::from_element(zero);
    let mut rest = Rest {
        axle: none,
        limbs: [none; MAX_LIMBS],
        hard: [zero; MAX_HARD],
        count: 0,
        slope: [none; MAX_HARD],
    };
    for (side, travel) in Side::BOTH.into_iter().zip(travel) {
        let arm = wheel(pose, wheel_y, side);
        // Height of the wheel centre, and its slope: up, plus what rolling about x and y adds.
        let slope = Vector6::new(zero, zero, T::from(1.0), arm.y, -arm.x, zero);
        rest.exact(pose.axle.shift.z + arm.z - travel, slope);
    }
    let gives = gives(linkage);
    for_lengths(linkage, &pose.axle, |miss, slope| {
        if gives {
            rest.axle += slope * miss;
        } else {
            rest.exact(miss, slope);
        }
    });
    if !is_rigid(linkage) {
        for h in 0..rest.count {
            rest.axle += rest.slope[h] * pose.holding[h];
        }
    }
    rest
}

/// The conditions with their slopes, and the second slopes where there is any energy.
pub(crate) fn stiffness(
    linkage: &Linkage<f64>,
    wheel_y: f64,
    travel: [f64; 2],
    pose: &Pose<f64>,
) -> (Rest<f64>, Option<Stiffness>) {
    let mut rest = lengths(linkage, wheel_y, travel, pose);
    if is_rigid(linkage) {
        return (rest, None);
    }
    let mut s = Stiffness {
        axle: Matrix6::zeros(),
        own: [Matrix6::zeros(); MAX_LIMBS],
        cross: [Matrix6::zeros(); MAX_LIMBS],
    };
    for (h, side) in Side::BOTH.into_iter().enumerate() {
        let arm = wheel(pose, wheel_y, side);
        bend(&mut s.axle, &arm, &(Vector3::z() * pose.holding[h]));
    }
    let gives = gives(linkage);
    let mut h = 2;
    for_links(linkage, |link| {
        let force = length_force(gives, &rest, pose, &mut h, || stretch(link, &pose.axle));
        s.axle += force.0 + link_curvature(link, &pose.axle) * force.1;
    });
    if let Some(w) = &linkage.watts {
        let force = length_force(gives, &rest, pose, &mut h, || watts::stretch(w, &pose.axle));
        s.axle += force.0;
        if force.1 != 0.0 {
            s.axle += watts::curvature(w, &pose.axle) * force.1;
        }
    }
    for_bushes(linkage, pose, |limb, bush, body, other| {
        let at = &pose.limbs[limb];
        let pull = bush::pull(bush, at, body);
        rest.pulled(limb, other, &pull);
        let k = bush::stiffness(bush, &pull, at, other == Other::Chassis);
        s.own[limb] += k.limb;
        match (other, k.body) {
            (Other::Axle, Some((body, cross))) => {
                s.axle += body;
                s.cross[limb] += cross;
            }
            (Other::Limb(next), Some((body, cross))) => {
                // The one that follows hangs on this one.
                s.own[next] += body;
                s.cross[next] += cross.transpose();
            }
            _ => {}
        }
    });
    (rest, Some(s))
}

/// The first-order second slope of a length that gives, and the force that bends its path: its
/// stretch where it gives, the holding force where it does not.
fn length_force(
    gives: bool,
    rest: &Rest<f64>,
    pose: &Pose<f64>,
    at: &mut usize,
    stretch: impl FnOnce() -> (f64, Vector6<f64>),
) -> (Matrix6<f64>, f64) {
    if gives {
        let (miss, slope) = stretch();
        return (slope * slope.transpose(), miss);
    }
    let h = *at;
    *at += 1;
    debug_assert!(h < rest.count);
    (Matrix6::zeros(), pose.holding.get(h).copied().unwrap_or(0.0))
}

impl Rest<f64> {
    /// Nothing missed, of this many exact conditions.
    pub const fn none(count: usize) -> Self {
        let zero = Vector6::new(0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
        Self {
            axle: zero,
            limbs: [zero; MAX_LIMBS],
            hard: [0.0; MAX_HARD],
            count,
            slope: [zero; MAX_HARD],
        }
    }
}

impl<T: Real> Rest<T> {
    fn exact(&mut self, miss: T, slope: Vector6<T>) {
        self.hard[self.count] = miss;
        self.slope[self.count] = slope;
        self.count += 1;
    }

    fn pulled(&mut self, limb: usize, other: Other, pull: &Pull<T>) {
        self.limbs[limb] += pull.on_limb;
        match other {
            Other::Axle => self.axle += pull.on_body,
            Other::Limb(next) => self.limbs[next] += pull.on_body,
            Other::Chassis => {}
        }
    }

    /// The derivative part alone.
    pub fn slopes(&self) -> Rest<f64> {
        let six = |v: &Vector6<T>| v.map(Real::slope);
        Rest {
            axle: six(&self.axle),
            limbs: self.limbs.each_ref().map(six),
            hard: self.hard.map(Real::slope),
            count: self.count,
            slope: self.slope.each_ref().map(six),
        }
    }

    /// The worst miss of an exact condition, mm.
    pub fn miss(&self) -> f64 {
        self.hard.iter().take(self.count).fold(0.0, |most, c| {
            let c = c.re().abs();
            // NaN must not be lost.
            if c > most || c.is_nan() { c } else { most }
        })
    }
}

/// From the axle's origin to a straight-ahead stock wheel centre, chassis axes.
fn wheel<T: Real>(pose: &Pose<T>, wheel_y: T, side: Side) -> Vector3<T> {
    let o = T::from(0.0);
    pose.axle.turn * Vector3::new(o, wheel_y * side.sign(), o)
}

/// Every two-ended link, the bar last.
fn for_links<T: Real>(linkage: &Linkage<T>, mut each: impl FnMut(&Link<T>)) {
    linkage.links().iter().chain(&linkage.panhard).for_each(|link| each(link));
}

/// Every length that a link, the bar or the Watts linkage keeps: its miss and its slope.
fn for_lengths<T: Real>(linkage: &Linkage<T>, axle: &Body<T>, mut each: impl FnMut(T, Vector6<T>)) {
    for_links(linkage, |link| {
        let (miss, slope) = stretch(link, axle);
        each(miss, slope);
    });
    if let Some(w) = &linkage.watts {
        let (miss, slope) = watts::stretch(w, axle);
        each(miss, slope);
    }
}

/// What a limb's bush ties it to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Other {
    /// The axle.
    Axle,
    /// The chassis.
    Chassis,
    /// The limb of this index.
    Limb(usize),
}

/// Every bush: its limb's index, itself, where the body stands that it ties the limb to, and which.
pub(crate) fn for_bushes<T: Real>(
    linkage: &Linkage<T>,
    pose: &Pose<T>,
    mut each: impl FnMut(usize, &Bush<T>, &Body<T>, Other),
) {
    for (i, limb) in linkage.limbs().iter().enumerate() {
        for bush in limb.to_axle.iter().flatten() {
            each(i, bush, &pose.axle, Other::Axle);
        }
        if let Some(bush) = &limb.to_chassis {
            each(i, bush, &Body::home(), Other::Chassis);
        }
        if let (Some(bush), Some(next)) = (&limb.to_next, pose.limbs.get(i + 1)) {
            each(i, bush, next, Other::Limb(i + 1));
        }
    }
}

/// How much longer than its length a link would have to be, mm, and the slope of that.
pub(crate) fn stretch<T: Real>(link: &Link<T>, axle: &Body<T>) -> (T, Vector6<T>) {
    let arm = axle.turn * link.axle;
    let d = axle.shift + arm - link.chassis;
    let length = norm(&d);
    if length.re() == 0.0 {
        // Coincident ends have no direction; the solver sees a singular system and says so.
        return (-link.length, Vector6::from_element(T::from(0.0)));
    }
    let u = d / length;
    let turn = arm.cross(&u);
    (length - link.length, Vector6::new(u.x, u.y, u.z, turn.x, turn.y, turn.z))
}

/// Second slope of [`stretch`].
fn link_curvature(link: &Link<f64>, axle: &Body<f64>) -> Matrix6<f64> {
    let arm = axle.turn * link.axle;
    let d = axle.shift + arm - link.chassis;
    let length = d.norm();
    if length == 0.0 {
        return Matrix6::zeros();
    }
    let u = d / length;
    let across = (Matrix3::identity() - u * u.transpose()) / length;
    let mut k = bush::wrench(&across, &arm, &arm);
    bend(&mut k, &arm, &u);
    k
}

/// Adds what turning twice adds to the work of a force at the end of a lever: force·(w × (w × lever)).
pub(crate) fn bend(k: &mut Matrix6<f64>, lever: &Vector3<f64>, force: &Vector3<f64>) {
    let outer = lever * force.transpose();
    let block = (outer + outer.transpose()) * 0.5 - Matrix3::identity() * lever.dot(force);
    let mut turn = k.fixed_view_mut::<3, 3>(3, 3);
    turn += block;
}

/// The largest strain of anything elastic in the linkage at a pose, mm: how far it binds.
pub(crate) fn binding(linkage: &Linkage<f64>, pose: &Pose<f64>) -> f64 {
    let mut most = 0.0_f64;
    if gives(linkage) {
        for_lengths(linkage, &pose.axle, |miss, _| most = most.max(miss.abs()));
    }
    for_bushes(linkage, pose, |limb, bush, body, _| {
        let pull: Pull<f64> = bush::pull(bush, &pose.limbs[limb], body);
        most = most.max(pull.shift.norm());
    });
    most
}
