//! The one condition a Watts linkage sets, with its crank's turn worked out of the way.

use super::{
    linkage::Watts,
    pose::Body,
    real::{Real, norm},
};
use nalgebra::{Matrix6, Vector3, Vector6};
use num_dual::Dual64;

/// By how much the right link would have to stretch, mm, once the left one has turned the crank,
/// and the slope of that by the axle's step. Not a number where the left link cannot reach.
pub(crate) fn stretch<T: Real>(watts: &Watts<T>, axle: &Body<T>) -> (T, Vector6<T>) {
    let angle = crank_turn(watts, axle);
    let [left, right] = [0, 1].map(|i| arm(watts, axle, i, angle));
    // The left link holds its length: what the axle's step would change of it, the crank undoes.
    let lead = right.by_crank / left.by_crank;
    (right.length - watts.links[1].length, right.by_axle - left.by_axle * lead)
}

/// Where the crank's two joints and its pivot are, chassis frame, mm.
pub(crate) fn joints<T: Real>(watts: &Watts<T>, axle: &Body<T>) -> [Vector3<T>; 3] {
    let angle = crank_turn(watts, axle);
    let place = |p: &Vector3<T>| if watts.on_axle { axle.point(p) } else { *p };
    let joint = |i: usize| place(&(watts.pivot + about_x(&lever(watts, i), angle)));
    [joint(0), place(&watts.pivot), joint(1)]
}

/// Second slope of [`stretch`] by the axle's step, along the rotations of [`Body::step`].
pub(crate) fn curvature(watts: &Watts<f64>, axle: &Body<f64>) -> Matrix6<f64> {
    let map = |v: &Vector3<f64>| v.map(Dual64::from);
    let dual = Watts {
        on_axle: watts.on_axle,
        pivot: map(&watts.pivot),
        links: watts.links.map(|l| l.map(&mut Dual64::from)),
    };
    let mut second = Matrix6::zeros();
    for j in 0..6 {
        let mut moved: Body<Dual64> = axle.lift();
        let mut step = Vector6::from_element(Dual64::from(0.0));
        step[j] = Dual64::input(0.0, true);
        moved.step(&step);
        let (_, slope) = stretch(&dual, &moved);
        second.set_column(j, &slope.map(Real::slope));
    }
    // A step after a step is a little less or more than their sum: rotations do not commute. The
    // half that is the same both ways round belongs to the straight step.
    (second + second.transpose()) * 0.5
}

struct Arm<T> {
    length: T,
    by_axle: Vector6<T>,
    by_crank: T,
}

/// One link with the crank turned: its length and what changes it.
fn arm<T: Real>(watts: &Watts<T>, axle: &Body<T>, i: usize, angle: T) -> Arm<T> {
    let link = &watts.links[i];
    let turned = about_x(&lever(watts, i), angle);
    let crank = watts.pivot + turned;
    let (on_axle, on_chassis) =
        if watts.on_axle { (crank, link.chassis) } else { (link.axle, crank) };
    let far = axle.turn * on_axle;
    let d = axle.shift + far - on_chassis;
    let length = norm(&d);
    let u = d / length;
    let moment = far.cross(&u);
    // The crank's joint moves along x × lever.
    let o = T::from(0.0);
    let along = Vector3::new(o, -turned.z, turned.y);
    let by_crank = if watts.on_axle { u.dot(&(axle.turn * along)) } else { -u.dot(&along) };
    let by_axle = Vector6::new(u.x, u.y, u.z, moment.x, moment.y, moment.z);
    Arm { length, by_axle, by_crank }
}

/// From the crank's pivot to its joint with a link.
fn lever<T: Real>(watts: &Watts<T>, i: usize) -> Vector3<T> {
    let link = &watts.links[i];
    (if watts.on_axle { link.axle } else { link.chassis }) - watts.pivot
}

/// The crank's turn about x that lets the left link keep its length: a·cos + b·sin = c, on the
/// branch that is no turn in the design position.
fn crank_turn<T: Real>(watts: &Watts<T>, axle: &Body<T>) -> T {
    let link = &watts.links[0];
    let q = lever(watts, 0);
    let terms = |axle: &Body<T>| {
        let (g, q) = if watts.on_axle {
            let to_body = axle.turn.transpose();
            (watts.pivot + to_body * (axle.shift - link.chassis), q)
        } else {
            (axle.point(&link.axle) - watts.pivot, -q)
        };
        let a = g.y * q.y + g.z * q.z;
        let b = g.z * q.y - g.y * q.z;
        let c = (link.length * link.length - g.dot(&g) - q.dot(&q)) * 0.5 - g.x * q.x;
        (a, b, c)
    };
    // In the design position the turn is 0, which says which of the two solutions it is.
    let (_, b, _) = terms(&Body::home());
    let side = if b.re() >= 0.0 { -1.0 } else { 1.0 };
    let (a, b, c) = terms(axle);
    let reach = (a * a + b * b).sqrt();
    let half = (c / reach).acos() * side;
    let turn = b.atan2(a) + half;
    // Wrap once: the branch is near no turn.
    let wrap = std::f64::consts::TAU * (turn.re() / std::f64::consts::TAU).round();
    turn - T::from(wrap)
}

fn about_x<T: Real>(v: &Vector3<T>, angle: T) -> Vector3<T> {
    let (s, c) = angle.sin_cos();
    Vector3::new(v.x, v.y * c - v.z * s, v.y * s + v.z * c)
}
