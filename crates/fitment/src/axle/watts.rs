//! A Watts linkage: the lengths of its two links with the crank turned.
//!
//! The crank's turn is an unknown of the pose beside the axle's own six, so that the linkage goes
//! through the places where one of its links lies in line with its crank arm and the other holds.

use super::{linkage::Watts, pose::Body, real::Real, system::reach};
use nalgebra::{SMatrix, Vector3, Vector6};
use num_dual::Dual64;

/// The left and the right link: by how much each would have to stretch, mm, and the slopes of that.
pub(crate) struct Lengths<T> {
    pub miss: [T; 2],
    pub by_axle: [Vector6<T>; 2],
    pub by_crank: [T; 2],
}

impl<T: Real> Lengths<T> {
    /// The shares of the two links in what the crank's turn can make up for, and in what it cannot:
    /// the one condition that is left for the axle. Smooth, and alike in a mirror.
    pub fn combined(&self) -> ([T; 2], [T; 2]) {
        let [left, right] = self.by_crank;
        let size = (left * left + right * right).sqrt();
        ([left / size, right / size], [-right / size, left / size])
    }
}

/// Both links with the axle where it is and the crank turned by `crank` (rad about x).
pub(crate) fn lengths<T: Real>(watts: &Watts<T>, axle: &Body<T>, crank: T) -> Lengths<T> {
    let zero = T::from(0.0);
    let mut found =
        Lengths { miss: [zero; 2], by_axle: [Vector6::from_element(zero); 2], by_crank: [zero; 2] };
    for (i, link) in watts.links.iter().enumerate() {
        let turned = about_x(&lever(watts, i), crank);
        let joint = watts.pivot + turned;
        let (on_axle, on_chassis) =
            if watts.on_axle { (joint, link.chassis) } else { (link.axle, joint) };
        let (length, slope) = reach(&on_axle, &on_chassis, axle);
        found.miss[i] = length - link.length;
        found.by_axle[i] = slope;
        // The joint moves along x × lever.
        let u = Vector3::new(slope[0], slope[1], slope[2]);
        let along = Vector3::new(zero, -turned.z, turned.y);
        found.by_crank[i] =
            if watts.on_axle { u.dot(&(axle.turn * along)) } else { -u.dot(&along) };
    }
    found
}

/// Second slopes of Σ force·length by the axle's step (first six) and the crank's turn.
pub(crate) fn curvature(
    watts: &Watts<f64>,
    axle: &Body<f64>,
    crank: f64,
    force: [f64; 2],
) -> SMatrix<f64, 7, 7> {
    let dual = watts.map(&mut Dual64::from);
    let mut second = SMatrix::<f64, 7, 7>::zeros();
    for j in 0..7 {
        let moving = |here: usize| Dual64::input(0.0, here == j);
        let mut moved: Body<Dual64> = axle.lift();
        moved.step(&Vector6::from_fn(|i, _| moving(i)));
        let l = lengths(&dual, &moved, moving(6) + crank);
        for i in 0..6 {
            second[(i, j)] = l.by_axle[0][i].eps * force[0] + l.by_axle[1][i].eps * force[1];
        }
        second[(6, j)] = l.by_crank[0].eps * force[0] + l.by_crank[1].eps * force[1];
    }
    // Turns do not commute; the half that is the same both ways round belongs to the straight step.
    (second + second.transpose()) * 0.5
}

/// Where the crank's two joints are and between them its pivot, chassis frame, mm.
pub(crate) fn joints<T: Real>(watts: &Watts<T>, axle: &Body<T>, crank: T) -> [Vector3<T>; 3] {
    let place = |p: &Vector3<T>| if watts.on_axle { axle.point(p) } else { *p };
    let joint = |i: usize| place(&(watts.pivot + about_x(&lever(watts, i), crank)));
    [joint(0), place(&watts.pivot), joint(1)]
}

/// From the crank's pivot to its joint with a link.
fn lever<T: Real>(watts: &Watts<T>, i: usize) -> Vector3<T> {
    let link = &watts.links[i];
    (if watts.on_axle { link.axle } else { link.chassis }) - watts.pivot
}

fn about_x<T: Real>(v: &Vector3<T>, angle: T) -> Vector3<T> {
    let (s, c) = angle.sin_cos();
    Vector3::new(v.x, v.y * c - v.z * s, v.y * s + v.z * c)
}
