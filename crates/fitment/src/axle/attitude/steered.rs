//! What the steering does: trail and scrub, where the wheels head, the drag link beside the bar,
//! Ackermann's condition, bump steer.

use super::{Sheet, across, degrees};
use crate::{
    axle::{
        model::AxleModel,
        motion::Twist,
        output::Output,
        pose::Pose,
        real::Real,
        rotation::steer_roll_pitch,
        steering::{Gear, Turned},
        wheel::WheelPose,
    },
    truck::{End, Shaft, Side},
};
use nalgebra::Vector3;
use std::f64::consts::PI;

/// Travel that bump steer is given for, mm.
const BUMP: f64 = 25.0;

/// What the steering does.
pub(super) fn steered<T: Real>(
    out: &mut Sheet<T>,
    model: &AxleModel<T>,
    pose: &Pose<T>,
    turned: &Turned<T>,
) {
    let wheels = sides(turned).map(|(side, steer)| model.wheel(pose, side, steer));
    let offsets = Side::BOTH
        .into_iter()
        .zip(&wheels)
        .map(|(side, wheel)| model.offsets_of(pose, side, wheel));
    let outputs =
        [(Output::TrailLeft, Output::ScrubLeft), (Output::TrailRight, Output::ScrubRight)];
    for (offsets, (trail, scrub)) in offsets.zip(outputs) {
        if let Some(offsets) = offsets {
            out.put(trail, offsets.trail);
            out.put(scrub, offsets.scrub);
        }
    }
    if model.steering.is_none() {
        return;
    }
    let headings = wheels.each_ref().map(|w| w.heading.y.atan2(w.heading.x));
    out.put(Output::SteerLeft, degrees(headings[0]));
    out.put(Output::SteerRight, degrees(headings[1]));
    out.put(Output::Toe, degrees(headings[1] - headings[0]));
    if let Some(gear) = model.gear(pose) {
        drag_link(out, model, pose, &gear, turned);
        turning(out, model, pose, headings, &wheels);
    }
}

/// Both sides with their knuckle's steer.
const fn sides<T: Copy>(turned: &Turned<T>) -> [(Side, T); 2] {
    [(Side::Left, turned.left), (Side::Right, turned.right)]
}

/// The drag link beside the Panhard bar, in front view.
fn drag_link<T: Real>(
    out: &mut Sheet<T>,
    model: &AxleModel<T>,
    pose: &Pose<T>,
    gear: &Gear<'_, T>,
    turned: &Turned<T>,
) {
    if gear.linkage.shaft == Shaft::Across {
        return;
    }
    let (joint, end) = gear.drag_ends(turned);
    let drag = end - pose.axle.point(&joint);
    out.put(Output::DragLink, degrees(drag.z.atan2(across(drag.y))));
    let Some(bar) = &model.fitted.panhard else { return };
    let bar = bar.chassis - pose.axle.point(&bar.axle);
    if drag.y.re() == 0.0 || bar.y.re() == 0.0 {
        return;
    }
    let slope = |d: &Vector3<T>| (d.z / d.y).atan();
    let length = |d: &Vector3<T>| (d.y * d.y + d.z * d.z).sqrt();
    // Two lines are never more than a right angle apart.
    let apart = slope(&drag) - slope(&bar);
    let half_turns = (apart.re() / PI - 1e-12).round();
    out.put(Output::DragAngle, degrees(apart - T::from(half_turns * PI)));
    out.put(Output::DragLength, length(&drag) - length(&bar));
}

/// Ackermann error and turning circle of wheels that are turned.
fn turning<T: Real>(
    out: &mut Sheet<T>,
    model: &AxleModel<T>,
    pose: &Pose<T>,
    headings: [T; 2],
    wheels: &[WheelPose<T>; 2],
) {
    /// Less steer than this, rad, is straight ahead.
    const STRAIGHT: f64 = 1e-3;
    let (axle_steer, ..) = steer_roll_pitch(&pose.axle.turn);
    let steer = headings.map(|heading| heading - axle_steer);
    let mean = (steer[0] + steer[1]).re() * 0.5;
    if mean.abs() < STRAIGHT || model.end == End::Rear {
        return;
    }
    // Turning left the left wheel is the inner one.
    let (inner, outer) = if mean > 0.0 { (0, 1) } else { (1, 0) };
    let steer = steer.map(across);
    let meets = [0, 1].map(|i| {
        let (point, k) = model.steering_axis(pose, Side::BOTH[i])?;
        Some(point + k * ((wheels[i].contact.z - point.z) / k.z))
    });
    let [Some(left), Some(right)] = meets else { return };
    let apart = left - right;
    let spacing = (apart.x * apart.x + apart.y * apart.y).sqrt();
    let wheelbase = model.around.wheelbase;
    let ideal = {
        let cotangent = T::from(1.0) / steer[inner].tan() + spacing / wheelbase;
        (T::from(1.0) / cotangent).atan()
    };
    out.put(Output::Ackermann, degrees(steer[outer] - ideal));
    // The wheel rolls about a point on the rear axle's line, square to its own heading.
    let from_axle = wheels[outer].contact - pose.axle.shift;
    let (s, c) = axle_steer.sin_cos();
    let ahead = from_axle.x * c + from_axle.y * s;
    out.put(Output::TurningCircle, (wheelbase + ahead) / steer[outer].sin() * 2.0);
}

/// How the road wheels steer while both wheels travel and the pitman arm stays.
pub(super) fn bump_steer<T: Real>(
    out: &mut Sheet<T>,
    model: &AxleModel<T>,
    pose: &Pose<T>,
    heave: &Twist<T>,
    turned: &Turned<T>,
) {
    let Some(gear) = model.gear(pose) else { return };
    let Some(rates) = gear.steer_rates(turned, &heave.shift, &heave.turn) else { return };
    let road = |side: Side, steer: T, rate: T| {
        let (_, by_steer) = gear.heading(side, steer);
        // What the axle's own turning does to a heading, the knuckle held.
        let left = gear.left(side, steer);
        let swing = heave.turn.cross(&left);
        let level = left.x * left.x + left.y * left.y;
        by_steer * rate + (left.x * swing.y - left.y * swing.x) / level
    };
    let left = road(Side::Left, turned.left, rates[0]);
    let right = road(Side::Right, turned.right, rates[1]);
    out.put(Output::BumpSteerLeft, degrees(left) * BUMP);
    out.put(Output::BumpSteerRight, degrees(right) * BUMP);
    out.put(Output::BumpToe, (right - left) * BUMP * model.around.tire_diameter);
}
