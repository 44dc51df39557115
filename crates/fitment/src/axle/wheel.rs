//! Where each wheel stands and points, and where its steering axis meets the ground.

use super::{
    model::AxleModel,
    pose::{Body, Pose},
    real::{Real, norm},
    rotation::about_y,
    steering::turned_by,
};
use crate::truck::Side;
use nalgebra::{Matrix3, Vector3};

/// A wheel in the chassis frame (axle's stock origin), mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WheelPose<T> {
    /// Centre of the rim, on its centreline plane.
    pub centre: Vector3<T>,
    /// Unit spin axis, outboard.
    pub outboard: Vector3<T>,
    /// Unit vector in the wheel's plane, level: where the wheel heads.
    pub heading: Vector3<T>,
    /// Lowest point of the loaded tire: the middle of the ground contact.
    pub contact: Vector3<T>,
}

/// How a steering axis stands over its ground contact, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroundOffsets<T> {
    /// Mechanical trail: contact behind the axis, along the wheel's heading.
    pub trail: T,
    /// Scrub radius: axis inboard of the contact, across the wheel's heading.
    pub scrub: T,
}

/// A wheel's centre and its spin axis on the axle: what stays as it is steered, what goes with the
/// steer's cosine and what with its sine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Spindle<T> {
    centre: [Vector3<T>; 3],
    outboard: [Vector3<T>; 3],
}

impl<T: Real> Spindle<T> {
    /// The wheel's centre and its unit spin axis, outboard, by the sine and cosine of its steer.
    pub fn at(&self, axle: &Body<T>, (sin, cos): (T, T)) -> [Vector3<T>; 2] {
        let turned =
            |[stays, by_cos, by_sin]: &[Vector3<T>; 3]| stays + by_cos * cos + by_sin * sin;
        [axle.point(&turned(&self.centre)), axle.direction(&turned(&self.outboard))]
    }
}

impl<T: Real> AxleModel<T> {
    /// A wheel at a pose, turned about its own steering axis by `steer` (rad, left positive).
    ///
    /// On an axle that does not steer, `steer` is ignored.
    pub fn wheel(&self, pose: &Pose<T>, side: Side, steer: T) -> WheelPose<T> {
        let o = T::from(0.0);
        let sign = side.sign();
        let [centre, outboard] = self.spindle(side).at(&pose.axle, steer.sin_cos());
        // Leftward spin axis × up = heading, on both sides.
        let left = outboard * T::from(sign);
        let level = Vector3::new(left.y, -left.x, o);
        let heading = level / norm(&level);
        // Down within the wheel's plane.
        let down = Vector3::new(
            outboard.x * outboard.z,
            outboard.y * outboard.z,
            outboard.z * outboard.z - T::from(1.0),
        );
        let contact = centre + down * (self.loaded_radius / norm(&down));
        WheelPose { centre, outboard, heading, contact }
    }

    /// How a side's wheel is carried, for any pose and steer.
    pub(crate) fn spindle(&self, side: Side) -> Spindle<T> {
        let o = T::from(0.0);
        let hub = Vector3::new(o, self.wheel_y * side.sign(), o);
        let outboard = Vector3::new(o, T::from(side.sign()), o);
        let none = Vector3::from_element(o);
        let Some(axes) = &self.steering else {
            return Spindle { centre: [hub, none, none], outboard: [outboard, none, none] };
        };
        let axis = &axes[side.index()];
        let unit = axis.unit();
        let parts = |v: Vector3<T>| {
            let along = unit * unit.dot(&v);
            [along, v - along, unit.cross(&v)]
        };
        let [along, by_cos, by_sin] = parts(hub - axis.point);
        Spindle { centre: [axis.point + along, by_cos, by_sin], outboard: parts(outboard) }
    }

    /// A side's knuckle at a pose, turned by `steer` (rad, left positive): where it went from its
    /// stock straight-ahead position. On an axle that does not steer it goes with the axle.
    pub(crate) fn knuckle(&self, pose: &Pose<T>, side: Side, steer: T) -> Body<T> {
        let Some(axes) = &self.steering else { return pose.axle };
        let axis = &axes[side.index()];
        let unit = axis.unit();
        let (s, c) = steer.sin_cos();
        let columns = [0, 1, 2].map(|i| {
            let mut one = Vector3::from_element(T::from(0.0));
            one[i] = T::from(1.0);
            turned_by(&one, &unit, s, c)
        });
        let turn = Matrix3::from_columns(&columns);
        let shift = pose.axle.point(&(axis.point - turn * axis.point));
        // What it carries was measured before the knuckle was turned on the axle's end.
        Body { shift, turn: pose.axle.turn * turn * about_y(-self.flange) }
    }

    /// The upward steering axis of a side at a pose: its point at hub height and its direction.
    /// `None` on an axle that does not steer.
    pub fn steering_axis(&self, pose: &Pose<T>, side: Side) -> Option<(Vector3<T>, Vector3<T>)> {
        self.steering.as_ref().map(|axes| {
            let axis = &axes[side.index()];
            (pose.axle.point(&axis.point), pose.axle.direction(&axis.direction))
        })
    }

    /// Trail and scrub radius of a side; `None` on an axle that does not steer.
    pub fn ground_offsets(&self, pose: &Pose<T>, side: Side, steer: T) -> Option<GroundOffsets<T>> {
        self.offsets_of(pose, side, &self.wheel(pose, side, steer))
    }

    /// The same where the wheel is known.
    pub(crate) fn offsets_of(
        &self,
        pose: &Pose<T>,
        side: Side,
        wheel: &WheelPose<T>,
    ) -> Option<GroundOffsets<T>> {
        let (point, direction) = self.steering_axis(pose, side)?;
        let meets = point + direction * ((wheel.contact.z - point.z) / direction.z);
        let ahead = meets - wheel.contact;
        // Across the heading, level, outboard.
        let across =
            Vector3::new(-wheel.heading.y, wheel.heading.x, T::from(0.0)) * T::from(side.sign());
        Some(GroundOffsets { trail: ahead.dot(&wheel.heading), scrub: -ahead.dot(&across) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        axle::solve,
        truck::{End, State, Truck},
    };

    fn front() -> AxleModel<f64> {
        let truck = Truck::example();
        AxleModel::of(&truck, End::Front, State::Stock).unwrap()
    }

    #[test]
    fn trail_and_scrub_follow_from_caster_and_inclination() {
        // trail = e + r·tan τ and scrub = q − r·tan σ (Dixon, Suspension Geometry; Reimpell ch. 3).
        let m = front();
        let pose = solve(&m, [0.0, 0.0]).unwrap();
        let axis = m.steering.unwrap()[0];
        for side in Side::BOTH {
            let got = m.ground_offsets(&pose, side, 0.0).unwrap();
            let tan_caster = -axis.direction.x / axis.direction.z;
            let tan_inclination = -axis.direction.y / axis.direction.z;
            let want_trail = axis.point.x + m.loaded_radius * tan_caster;
            let want_scrub = (m.wheel_y - axis.point.y) - m.loaded_radius * tan_inclination;
            assert!((got.trail - want_trail).abs() < 1e-9, "{side:?} trail {}", got.trail);
            assert!((got.scrub - want_scrub).abs() < 1e-9, "{side:?} scrub {}", got.scrub);
        }
    }

    #[test]
    fn steering_left_turns_both_wheels_left() {
        let m = front();
        let pose = solve(&m, [0.0, 0.0]).unwrap();
        for side in Side::BOTH {
            let w = m.wheel(&pose, side, 0.3);
            assert!(w.heading.y > 0.25 && w.heading.x > 0.9, "{side:?} heads {}", w.heading);
            assert!((w.outboard.norm() - 1.0).abs() < 1e-12);
            assert!((w.contact - w.centre).norm() - m.loaded_radius < 1e-9);
        }
    }
}
