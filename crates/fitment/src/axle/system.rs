//! The equations of a pose: which conditions hold exactly, and what the rubber and the over-many
//! links have to say.
//!
//! Exact conditions (`c = 0`): rigid links keep their length, each stock wheel centre stands at its
//! prescribed travel. Energy (least under those conditions): bushes by the law on
//! [`crate::truck::BushRates`]; elastic links ½·(change of length)², all alike. Only vertical
//! forces act at the wheel centres, since only their heights are prescribed.

use super::{
    linkage::{Arm, Bush, Link, Linkage, Members},
    model::AxleModel,
    pose::{Body, MAX_HARD, Pose},
    real::{Real, cross_matrix, norm},
    rotation::{about_y, left_jacobian_inverse, log},
};
use crate::truck::Side;
use nalgebra::{Matrix3, Matrix6, Vector6};

/// The equations at a pose, with what a Newton step needs of them.
pub(crate) struct Equations<T> {
    /// How many exact conditions there are.
    pub hard: usize,
    /// By how much each exact condition is missed, mm.
    pub miss: [T; MAX_HARD],
    /// Slope of each exact condition by the axle's step.
    pub slope: [Vector6<T>; MAX_HARD],
    /// Slope of the energy by the axle's step.
    pub pull: Vector6<T>,
    /// Second slope of the energy by the axle's step (first-order part).
    pub rate: Matrix6<T>,
    /// The same for each arm.
    pub arms: Option<[ArmTerms<T>; 2]>,
}

/// An arm's share of the equations.
pub(crate) struct ArmTerms<T> {
    /// Slope of the energy by the arm's step.
    pub pull: Vector6<T>,
    /// Second slope by the arm's step twice.
    pub rate: Matrix6<T>,
    /// Second slope by the arm's step and the axle's.
    pub cross: Matrix6<T>,
}

/// Number of exact conditions of a linkage.
pub(crate) const fn hard_conditions<T>(linkage: &Linkage<T>) -> usize {
    match linkage.members {
        Members::ThreeLinks(_) => 6,
        Members::FourLinks(_) => 2,
        Members::Arms(_) => 3,
    }
}

/// Builds the equations of `linkage` at `pose` for the prescribed wheel travels.
pub(crate) fn equations<T: Real>(
    model: &AxleModel<T>,
    linkage: &Linkage<T>,
    travel: [T; 2],
    pose: &Pose<T>,
) -> Equations<T> {
    let zero = T::from(0.0);
    let mut e = Equations {
        hard: 0,
        miss: [zero; MAX_HARD],
        slope: [Vector6::from_element(zero); MAX_HARD],
        pull: Vector6::from_element(zero),
        rate: Matrix6::from_element(zero),
        arms: None,
    };
    for (side, travel) in Side::BOTH.into_iter().zip(travel) {
        let arm = pose.axle.turn * model.stock_wheel(side);
        // Height of the wheel centre, and its slope: up, plus what rolling about x and y adds.
        let slope = Vector6::new(zero, zero, T::from(1.0), arm.y, -arm.x, zero);
        e.exact(pose.axle.shift.z + arm.z - travel, slope);
    }
    match &linkage.members {
        Members::ThreeLinks(links) => {
            for link in links.iter().chain([&linkage.panhard]) {
                let (miss, slope) = stretch(link, &pose.axle);
                e.exact(miss, slope);
            }
        }
        Members::FourLinks(links) => {
            for link in links.iter().chain([&linkage.panhard]) {
                let (miss, slope) = stretch(link, &pose.axle);
                e.pull += slope * miss;
                e.rate += slope * slope.transpose();
            }
        }
        Members::Arms(arms) => {
            let (miss, slope) = stretch(&linkage.panhard, &pose.axle);
            e.exact(miss, slope);
            if let Some([left, right]) = &pose.arms {
                e.arms = Some([
                    arm_terms(&arms[0], left, &pose.axle, &mut e.pull, &mut e.rate),
                    arm_terms(&arms[1], right, &pose.axle, &mut e.pull, &mut e.rate),
                ]);
            }
        }
    }
    e
}

impl<T: Real> Equations<T> {
    fn exact(&mut self, miss: T, slope: Vector6<T>) {
        self.miss[self.hard] = miss;
        self.slope[self.hard] = slope;
        self.hard += 1;
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

/// Adds one arm's three bushes; the parts that touch the axle go to `pull` and `rate`.
fn arm_terms<T: Real>(
    arm: &Arm<T>,
    body: &Body<T>,
    axle: &Body<T>,
    pull: &mut Vector6<T>,
    rate: &mut Matrix6<T>,
) -> ArmTerms<T> {
    let zero = T::from(0.0);
    let mut terms = ArmTerms {
        pull: Vector6::from_element(zero),
        rate: Matrix6::from_element(zero),
        cross: Matrix6::from_element(zero),
    };
    for bush in [&arm.far, &arm.near] {
        let b = bush_terms(bush, body, axle);
        terms.pull += b.by_arm.tr_mul(&b.force);
        terms.rate += b.by_arm.tr_mul(&weighted(&b.by_arm, &b.rates));
        let w = weighted(&b.by_body, &b.rates);
        terms.cross += b.by_arm.tr_mul(&w);
        *pull += b.by_body.tr_mul(&b.force);
        *rate += b.by_body.tr_mul(&w);
    }
    let b = bush_terms(&arm.eye, body, &Body::home());
    terms.pull += b.by_arm.tr_mul(&b.force);
    terms.rate += b.by_arm.tr_mul(&weighted(&b.by_arm, &b.rates));
    terms
}

/// One bush: forces (N) and moments (N·mm) along the arm's axes, and the slopes of its strains.
pub(crate) struct BushTerms<T> {
    pub strain: Vector6<T>,
    force: Vector6<T>,
    rates: Vector6<T>,
    by_arm: Matrix6<T>,
    by_body: Matrix6<T>,
}

/// Strain of a bush between an arm and the body it is tied to, seen in the arm's frame.
pub(crate) fn bush_terms<T: Real>(bush: &Bush<T>, arm: &Body<T>, body: &Body<T>) -> BushTerms<T> {
    let to_arm = arm.turn.transpose();
    let lever_arm = arm.turn * bush.on_arm;
    let lever_body = body.turn * bush.on_body;
    let gap = body.shift + lever_body - arm.shift - lever_arm;
    let shift = to_arm * gap;
    let turn = log(&(to_arm * body.turn * about_y(-bush.set)));
    let jacobian = left_jacobian_inverse(&turn) * to_arm;

    let mut by_body = Matrix6::from_element(T::from(0.0));
    let mut by_arm = Matrix6::from_element(T::from(0.0));
    let put = |m: &mut Matrix6<T>, row: usize, col: usize, b: &Matrix3<T>| {
        m.fixed_view_mut::<3, 3>(row, col).copy_from(b);
    };
    put(&mut by_body, 0, 0, &to_arm);
    put(&mut by_body, 0, 3, &(-(to_arm * cross_matrix(&lever_body))));
    put(&mut by_body, 3, 3, &jacobian);
    put(&mut by_arm, 0, 0, &-to_arm);
    put(&mut by_arm, 0, 3, &(to_arm * cross_matrix(&(lever_arm + gap))));
    put(&mut by_arm, 3, 3, &-jacobian);

    let strain = Vector6::new(shift.x, shift.y, shift.z, turn.x, turn.y, turn.z);
    let (s, t) = (&bush.rates.shift, &bush.rates.turn);
    let rates = Vector6::new(s.x, s.y, s.z, t.x, t.y, t.z);
    BushTerms { strain, force: strain.component_mul(&rates), rates, by_arm, by_body }
}

/// Rows of `m` times their rates.
fn weighted<T: Real>(m: &Matrix6<T>, rates: &Vector6<T>) -> Matrix6<T> {
    Matrix6::from_fn(|i, j| m[(i, j)] * rates[i])
}

/// The largest strain of anything elastic in the linkage at a pose, mm: how far it binds.
pub(crate) fn binding(linkage: &Linkage<f64>, pose: &Pose<f64>) -> f64 {
    match (&linkage.members, &pose.arms) {
        (Members::FourLinks(links), _) => links
            .iter()
            .chain([&linkage.panhard])
            .map(|l| stretch(l, &pose.axle).0.abs())
            .fold(0.0, f64::max),
        (Members::Arms(arms), Some(bodies)) => arms
            .iter()
            .zip(bodies)
            .flat_map(|(arm, body)| {
                [(&arm.far, pose.axle), (&arm.near, pose.axle), (&arm.eye, Body::home())]
                    .map(|(bush, other)| bush_terms(bush, body, &other).strain.xyz().norm())
            })
            .fold(0.0, f64::max),
        _ => 0.0,
    }
}
