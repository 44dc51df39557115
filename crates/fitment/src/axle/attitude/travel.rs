//! What travel of the wheels does: roll centre, roll steer and stiffness, instant centre and what
//! follows from it, motion ratios.

use super::Sheet;
use crate::{
    axle::{
        linkage::Link,
        model::AxleModel,
        motion::Twist,
        output::Output,
        pose::Pose,
        real::{Real, norm},
    },
    truck::{End, Side},
};
use nalgebra::Vector3;
use std::f64::consts::PI;

/// Below this pitch per millimetre of travel, rad/mm, the instant centre lies beyond 100 m: the links
/// are parallel.
const PARALLEL: f64 = 1e-5;

/// What opposite travel of the wheels does.
pub(super) fn roll<T: Real>(
    out: &mut Sheet<T>,
    model: &AxleModel<T>,
    pose: &Pose<T>,
    roll: &Twist<T>,
    ground: T,
) {
    // Sideways velocity on the centre plane over the axle: v = s' + ω × r, none at z.
    let rise = roll.shift.y / roll.turn.x;
    out.put(Output::RollCentreKinematic, pose.axle.shift.z + rise - ground);
    let (steer, lean) = attitude_rates(pose, roll);
    out.put(Output::RollSteer, steer / lean * 100.0);
    if !model.fitted.limbs().is_empty() {
        // The couple of the wheels' forces over the lean; N·mm/rad to N·m/deg.
        let couple = (roll.wheels[0] - roll.wheels[1]) * model.stock_wheel_y;
        let per_degree = couple / lean * (PI / 180.0 / 1000.0);
        // The holding forces are what the wheels push with against the rubber.
        out.put(Output::RollStiffness, -per_degree);
    }
}

/// How fast the axle steers and leans in a motion, rad per mm.
fn attitude_rates<T: Real>(pose: &Pose<T>, twist: &Twist<T>) -> (T, T) {
    let r = &pose.axle.turn;
    let w = &twist.turn;
    // How the axle's own left direction swings.
    let d1 = w.cross(&r.column(1).into_owned());
    // steer = atan2(−R01, R11), roll = asin(R21).
    let (a, b) = (-r[(0, 1)], r[(1, 1)]);
    let steer = (-d1.x * b - a * d1.y) / (a * a + b * b);
    let lean = d1.z / (T::from(1.0) - r[(2, 1)] * r[(2, 1)]).sqrt();
    (steer, lean)
}

/// What travel of both wheels together does.
pub(super) fn heave<T: Real>(
    out: &mut Sheet<T>,
    model: &AxleModel<T>,
    pose: &Pose<T>,
    heave: &Twist<T>,
    ground: T,
) {
    // The pole in the plane y = 0, where neither of the velocities in that plane is left.
    let w = &heave.turn;
    let y = -pose.axle.shift.y;
    if w.y.re().abs() > PARALLEL {
        let x = (heave.shift.z + w.x * y) / w.y;
        let z = -(heave.shift.x - w.z * y) / w.y;
        out.put(Output::InstantCentreX, pose.axle.shift.x + x);
        out.put(Output::InstantCentreZ, pose.axle.shift.z + z - ground);
    }
    let mounts = [
        (&model.spring, [Output::SpringRatioLeft, Output::SpringRatioRight]),
        (&model.shock, [Output::ShockRatioLeft, Output::ShockRatioRight]),
    ];
    for (mount, outputs) in mounts {
        let Some(mount) = mount else { continue };
        for (side, output) in Side::BOTH.into_iter().zip(outputs) {
            let (axle, chassis) = on_side(mount, side);
            let end = pose.axle.point(&axle);
            let d = end - chassis;
            let velocity = heave.at(pose, &end);
            out.put(output, -(d.dot(&velocity) / norm(&d)));
        }
    }
}

/// What of the pitching under brakes and drive the linkage takes.
pub(super) fn anti<T: Real>(
    out: &mut Sheet<T>,
    model: &AxleModel<T>,
    pose: &Pose<T>,
    heave: &Twist<T>,
) {
    // How fast the ground contact, as a point of the axle's own body, goes forward; wheels straight.
    let contacts = Side::BOTH.map(|side| model.wheel(pose, side, T::from(0.0)).contact);
    let forward = heave.at(pose, &((contacts[0] + contacts[1]) * T::from(0.5))).x;
    let a = &model.around;
    let scale = a.wheelbase / a.cg_height * 100.0;
    if model.end == End::Front {
        out.put(Output::AntiDive, a.front_brake * forward * scale);
    } else {
        let one = T::from(1.0);
        out.put(Output::AntiLift, -(one - a.front_brake) * forward * scale);
        out.put(Output::AntiSquat, -(one - a.front_drive) * forward * scale);
    }
}

/// A left-hand mount or its mirror image.
pub(crate) fn on_side<T: Real>(mount: &Link<T>, side: Side) -> (Vector3<T>, Vector3<T>) {
    let place = |p: &Vector3<T>| Vector3::new(p.x, p.y * side.sign(), p.z);
    (place(&mount.axle), place(&mount.chassis))
}
