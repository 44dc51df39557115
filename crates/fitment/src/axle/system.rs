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
    linkage::{Bush, Link, Linkage, MAX_LIMBS, Watts},
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
    /// What a Watts linkage's crank is left with: the miss its own turn can make up for, or where the
    /// links give the slope of their energy by its turn.
    pub crank: T,
    /// The largest strain of anything elastic, mm: how far it binds.
    pub strain: f64,
}

/// Second slopes of the energy, holding forces included.
pub(crate) struct Stiffness {
    /// By the axle's step twice.
    pub axle: Matrix6<f64>,
    /// By each limb's step twice; and by its step and that of the body it hangs on. On the heap, since
    /// room for the most limbs there may be would cost more to move about.
    pub limbs: Vec<LimbStiffness>,
    /// How a Watts linkage's crank follows.
    pub crank: Option<Crank>,
}

/// Second slopes of the energy by a limb's step.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LimbStiffness {
    /// Twice.
    pub own: Matrix6<f64>,
    /// And by the step of the body it hangs on.
    pub cross: Matrix6<f64>,
}

/// How a Watts linkage's crank follows the axle: `slope`·(axle's step) + `rate`·(its own turn) makes
/// up for what it is left with.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Crank {
    pub slope: Vector6<f64>,
    pub rate: f64,
    /// What a turn of it alone adds to the axle's slope.
    pub bend: Vector6<f64>,
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
    let mut rest = Rest::none();
    for (side, travel) in Side::BOTH.into_iter().zip(travel) {
        let arm = wheel(pose, wheel_y, side);
        // Height of the wheel centre, and its slope: up, plus what rolling about x and y adds.
        let slope = Vector6::new(zero, zero, T::from(1.0), arm.y, -arm.x, zero);
        rest.exact(pose.axle.shift.z + arm.z - travel, slope);
    }
    let gives = gives(linkage);
    for_links(linkage, |link| {
        let (miss, slope) = stretch(link, &pose.axle);
        if gives {
            rest.strain = rest.strain.max(miss.re().abs());
            rest.axle += slope * miss;
        } else {
            rest.exact(miss, slope);
        }
    });
    if let Some(watts) = &linkage.watts {
        let l = watts::lengths(watts, &pose.axle, pose.crank);
        if gives {
            for i in [0, 1] {
                rest.strain = rest.strain.max(l.miss[i].re().abs());
                rest.axle += l.by_axle[i] * l.miss[i];
                rest.crank += l.by_crank[i] * l.miss[i];
            }
        } else {
            let (lead, hold) = l.combined();
            rest.crank = l.miss[0] * lead[0] + l.miss[1] * lead[1];
            rest.exact(
                l.miss[0] * hold[0] + l.miss[1] * hold[1],
                l.by_axle[0] * hold[0] + l.by_axle[1] * hold[1],
            );
        }
    }
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
        limbs: vec![
            LimbStiffness { own: Matrix6::zeros(), cross: Matrix6::zeros() };
            linkage.limbs().len()
        ],
        crank: None,
    };
    for (h, side) in Side::BOTH.into_iter().enumerate() {
        let arm = wheel(pose, wheel_y, side);
        bend(&mut s.axle, &arm, &(Vector3::z() * pose.holding[h]));
    }
    let gives = gives(linkage);
    let mut h = 2;
    for_links(linkage, |link| {
        let force = if gives {
            let (miss, slope) = stretch(link, &pose.axle);
            s.axle += slope * slope.transpose();
            miss
        } else {
            h += 1;
            pose.holding[h - 1]
        };
        s.axle += link_curvature(link, &pose.axle) * force;
    });
    if let Some(watts) = &linkage.watts {
        let force = pose.holding.get(h).copied().unwrap_or(0.0);
        let (stiffness, crank) = watts_stiffness(watts, pose, gives, force);
        s.axle += stiffness;
        s.crank = Some(crank);
    }
    for_bushes(linkage, pose, |limb, bush, body, other| {
        let at = &pose.limbs[limb];
        let pull = bush::pull(bush, at, body);
        rest.pulled(limb, other, &pull);
        let k = bush::stiffness(bush, &pull, at, other == Other::Chassis);
        s.limbs[limb].own += k.limb;
        match (other, k.body) {
            (Other::Axle, Some((body, cross))) => {
                s.axle += body;
                s.limbs[limb].cross += cross;
            }
            (Other::Limb(next), Some((body, cross))) => {
                // The one that follows hangs on this one.
                s.limbs[next].own += body;
                s.limbs[next].cross += cross.transpose();
            }
            _ => {}
        }
    });
    (rest, Some(s))
}

/// How the crank of a linkage that is otherwise rigid follows the axle; `None` without one.
pub(crate) fn rigid_crank(linkage: &Linkage<f64>, pose: &Pose<f64>) -> Option<Crank> {
    let l = watts::lengths(linkage.watts.as_ref()?, &pose.axle, pose.crank);
    Some(exact_crank(&l))
}

/// The crank of links that keep their lengths; how the axle's slope bends with it is left open.
fn exact_crank(l: &watts::Lengths<f64>) -> Crank {
    let (lead, _) = l.combined();
    Crank {
        slope: l.by_axle[0] * lead[0] + l.by_axle[1] * lead[1],
        rate: l.by_crank[0].hypot(l.by_crank[1]),
        bend: Vector6::zeros(),
    }
}

/// Second slope of what a Watts linkage stores or holds, by the axle's step with the crank following;
/// and how the crank follows.
fn watts_stiffness(
    watts: &Watts<f64>,
    pose: &Pose<f64>,
    gives: bool,
    force: f64,
) -> (Matrix6<f64>, Crank) {
    let l = watts::lengths(watts, &pose.axle, pose.crank);
    let (_, hold) = l.combined();
    let forces = if gives { l.miss } else { hold.map(|share| share * force) };
    let bend = watts::curvature(watts, &pose.axle, pose.crank, forces);
    let own = bend.fixed_view::<6, 6>(0, 0).into_owned();
    let cross = bend.fixed_view::<6, 1>(0, 6).into_owned();
    if gives {
        let [left, right] = l.by_axle;
        let slope = left * l.by_crank[0] + right * l.by_crank[1] + cross;
        let rate = l.by_crank[0].powi(2) + l.by_crank[1].powi(2) + bend[(6, 6)];
        // The crank's own freedom is worked out of the way.
        let rest = own + left * left.transpose() + right * right.transpose()
            - slope * slope.transpose() / rate;
        return (rest, Crank { slope, rate, bend: slope });
    }
    let crank = exact_crank(&l);
    // The crank's turn for each step of the axle.
    let led = crank.slope / -crank.rate;
    let bend_axle = cross + led * bend[(6, 6)];
    let rest = own + cross * led.transpose() + led * bend_axle.transpose();
    (rest, Crank { bend: bend_axle, ..crank })
}

impl<T: Real> Rest<T> {
    /// No conditions and nothing missed.
    pub fn none() -> Self {
        let zero = T::from(0.0);
        let none = Vector6::from_element(zero);
        Self {
            axle: none,
            limbs: [none; MAX_LIMBS],
            hard: [zero; MAX_HARD],
            count: 0,
            slope: [none; MAX_HARD],
            crank: zero,
            strain: 0.0,
        }
    }

    fn exact(&mut self, miss: T, slope: Vector6<T>) {
        self.hard[self.count] = miss;
        self.slope[self.count] = slope;
        self.count += 1;
    }

    fn pulled(&mut self, limb: usize, other: Other, pull: &Pull<T>) {
        self.strain = self.strain.max(norm(&pull.shift).re());
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
            crank: self.crank.slope(),
            strain: self.strain,
        }
    }

    /// The worst miss of an exact condition, mm.
    pub fn miss(&self) -> f64 {
        self.hard.iter().take(self.count).chain([&self.crank]).fold(0.0, |most, c| {
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
fn for_links<T: Real>(linkage: &Linkage<T>, each: impl FnMut(&Link<T>)) {
    linkage.links().iter().chain(&linkage.panhard).for_each(each);
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
fn stretch<T: Real>(link: &Link<T>, axle: &Body<T>) -> (T, Vector6<T>) {
    let (length, slope) = reach(&link.axle, &link.chassis, axle);
    (length - link.length, slope)
}

/// How far a point of the axle is from one of the chassis, mm, and the slope of that by the axle's
/// step: first the unit vector between them.
pub(crate) fn reach<T: Real>(
    on_axle: &Vector3<T>,
    on_chassis: &Vector3<T>,
    axle: &Body<T>,
) -> (T, Vector6<T>) {
    let arm = axle.turn * on_axle;
    let d = axle.shift + arm - on_chassis;
    let length = norm(&d);
    if length.re() == 0.0 {
        // Coincident ends have no direction; the solver sees a singular system and says so.
        return (length, Vector6::from_element(T::from(0.0)));
    }
    let u = d / length;
    let turn = arm.cross(&u);
    (length, Vector6::new(u.x, u.y, u.z, turn.x, turn.y, turn.z))
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
